"""What became of a joint from one visit to the next, in words."""

from __future__ import annotations

from groundstrap.locate import Growth, Reach, Trend
from groundstrap.report.figures import number, ohms
from groundstrap.words import Words, plural, words

__all__ = ["GROWTH_CAUTION", "growth_mark", "growth_words", "limit_words", "rest_words", "trend_words"]

GROWTH_CAUTION = words(
    "A joint with too many ohms gets warm under load and goes on growing: with the battery off, open it, "
    "clean it, crimp or tighten it anew, and read again. Keep to local rules; leave to those who are "
    "licensed what is theirs."
)


def growth_words(growth: Growth) -> Words:
    """Return how much more it has than at first, with its uncertainty, or that nothing surely changed.

    >>> from groundstrap.locate import Measured, compare
    >>> at = {"red": "pump -", "black": "chassis", "place": None, "standard_ohm": 4e-4}
    >>> built, later = Measured(day="2026-03-01", ohm=2e-3, **at), Measured(day="2026-11-28", ohm=9e-3, **at)
    >>> print(growth_words(compare([built, later])[0]))
    grew from 2 mohm to 9 mohm (by 7 mohm, 5.68 mohm to 8.32 mohm at 95 %)

    Of a meter that shows 0 mV only the uncertainty is known: 0.8 mohm are two standard deviations of 0.4.

    >>> print(growth_words(compare([Measured(day="2026-03-01", ohm=0.0, **at)])[0]))
    less than this meter tells: 0.8 mohm at most (read once)
    """
    last = growth.visits[-1]
    if growth.more_ohm is None:
        if last.ohm <= last.standard_ohm:
            most = ohms(max(last.ohm, 0.0) + 2.0 * last.standard_ohm)
            return words("less than this meter tells: {most} at most (read once)", most=most)
        share = number(200.0 * last.standard_ohm / last.ohm, 2)
        return words("{value} within {share} % (read once)", value=ohms(last.ohm), share=share)
    more, told = growth.more_ohm, {"first": ohms(growth.visits[0].ohm), "last": ohms(last.ohm)}
    if growth.grown:
        return words(
            "grew from {first} to {last} (by {more}, {low} to {high} at 95 %)",
            **told, more=ohms(more.value), low=ohms(more.low), high=ohms(more.high),
        )  # fmt: skip
    if growth.fallen:
        return words(
            "fell from {first} to {last} (by {less}, {low} to {high} at 95 %): was it mended?",
            **told, less=ohms(-more.value), low=ohms(-more.high), high=ohms(-more.low),
        )  # fmt: skip
    return words(
        "{first}, now {last}: no change that these readings could show ({low} to {high} more at 95 %)",
        **told, low=ohms(more.low), high=ohms(more.high),
    )  # fmt: skip


def growth_mark(growth: Growth) -> str:
    """Return the one word that stands before it: over its limit, read once, grown, fallen, as it was."""
    if growth.over:
        return words("over its limit")
    if growth.more_ohm is None:
        return words("read once")
    if growth.grown:
        return words("grown")
    return words("fallen") if growth.fallen else words("as it was")


def rest_words(count: int, visits: int) -> Words:
    """Return how many places over so many visits have not changed."""
    if visits == 1:
        return plural("{count} place is kept as built.", "{count} places are kept as built.", count)
    return plural("{count} place is as it was.", "{count} places are as they were.", count)


def limit_words(growth: Growth) -> Words | None:
    """Return what it may have; None where no rule says so."""
    limit = growth.visits[-1].limit_ohm
    if limit is None:
        return None
    if growth.over:
        return words("over the {limit} at which its circuit loses more volts than it may", limit=ohms(limit))
    return words("at {limit} its circuit loses all the volts that it may", limit=ohms(limit))


def trend_words(growth: Growth) -> Words | None:
    """Return how fast it grows and when it comes to its limit; None where the visits do not bear that."""
    trend = growth.trend
    if trend is None:
        return None
    told = _slope(trend, len(growth.visits))
    if trend.reach is None:
        return told
    return words("{slope}; {reach}", slope=told, reach=_reach(trend.reach))


def _slope(trend: Trend, visits: int) -> Words:
    slope = trend.ohm_per_year
    return words(
        "over {visits} visits it grows by {slope} a year ({low} to {high} at 95 %)",
        visits=visits,
        slope=ohms(slope.value),
        low=ohms(slope.low),
        high=ohms(slope.high),
    )


def _reach(reach: Reach) -> Words:
    if reach.latest is None:
        return words(
            "going on like this it comes to its limit about {day}, {first} at the earliest",
            day=reach.likeliest, first=reach.earliest,
        )  # fmt: skip
    return words(
        "going on like this it comes to its limit about {day} ({first} to {last} at 95 %)",
        day=reach.likeliest, first=reach.earliest, last=reach.latest,
    )  # fmt: skip
