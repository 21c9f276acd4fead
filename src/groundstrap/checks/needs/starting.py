"""What rules need to know about starts through a fuse, and about the fuses behind it."""

from __future__ import annotations

from groundstrap.assess.start_results import FuseStart, Selectivity
from groundstrap.checks.facts import FuseSubject
from groundstrap.words import joined, words

__all__: list[str] = []

_MANY = 3
_LET_PASS = 1e-9
"""Below every share of what can flow that a pair opens in the wrong order over."""


def has_starts(subject: FuseSubject) -> bool:
    """Whether something behind it takes more at its start than running."""
    return _hardest(subject) is not None


def starts_what(subject: FuseSubject) -> str:
    """What starts, of which it holds the start worst."""
    start = _hardest(subject)
    return "" if start is None else _named(start)


def start_peak_a(subject: FuseSubject) -> float | None:
    """Highest current through it then, with everything else that may run. [A]"""
    start = _hardest(subject)
    return None if start is None else start.peak_a


def start_used_pct(subject: FuseSubject) -> float | None:
    """Share of the least time that it surely holds which that start takes. [%]"""
    start = _hardest(subject)
    return None if start is None or start.share is None else 100.0 * start.share


def start_usual_pct(subject: FuseSubject) -> float | None:
    """The same of the time that fuses of its type usually hold. [%]"""
    start = _hardest(subject)
    return None if start is None or start.usual_share is None else 100.0 * start.usual_share


def start_most_pct(subject: FuseSubject) -> float | None:
    """The same at the most that loads of such kinds take at their start. [%]"""
    shares = [start.most_share for start in _starts(subject) if start.most_share is not None]
    return 100.0 * max(shares) if shares else None


def start_written(subject: FuseSubject) -> bool:
    """Whether somebody wrote how that starts."""
    start = _hardest(subject)
    return start is not None and start.written


def has_pulses(subject: FuseSubject) -> bool:
    """Whether somebody wrote how a load behind it starts, or how often it runs."""
    return _wearing(subject) is not None


def pulses_of(subject: FuseSubject) -> str:
    """What starts, of which the starts wear it most."""
    start = _wearing(subject)
    return "" if start is None else _named(start)


def pulse_swing_pct(subject: FuseSubject) -> float | None:
    """Share of its melting integral that each such start adds. [%]"""
    start = _wearing(subject)
    return None if start is None or start.swing is None else 100.0 * start.swing


def pulse_limit_pct(subject: FuseSubject) -> float | None:
    """What its element stands of that as often as it starts in its life. [%]"""
    start = _wearing(subject)
    return None if start is None or start.swing_limit is None else 100.0 * start.swing_limit


def pulses_in_life(subject: FuseSubject) -> float | None:
    """How often it starts in its life."""
    start = _wearing(subject)
    return None if start is None else start.pulses


def cycling_pct(subject: FuseSubject) -> float | None:
    """Share of melting that its element comes to where the written runs follow each other without end. [%]"""
    shares = [s.cycling for s in _starts(subject) if s.cycling is not None and (s.share or 0.0) < 1.0]
    return 100.0 * max(shares) if shares else None


def fuses_behind(subject: FuseSubject) -> bool:
    """Whether fuses of known rating stand behind it."""
    return bool(_pairs(subject))


def opens_before(subject: FuseSubject) -> str:
    """The fuse behind it that it is the worst match for."""
    pair = _worst(subject)
    return "" if pair is None else pair.lower


def opens_before_from_a(subject: FuseSubject) -> float | None:
    """Least current behind that fuse which may open this one first; None where none does. [A]"""
    pair = _worst(subject)
    return pair.ranges[0].low_a if pair is not None and pair.ranges else None


def opens_before_to_a(subject: FuseSubject) -> float | None:
    """Greatest current that may. [A]"""
    pair = _worst(subject)
    return pair.ranges[-1].high_a if pair is not None and pair.ranges else None


def short_behind_a(subject: FuseSubject) -> float | None:
    """Most current that can flow through both. [A]"""
    pair = _worst(subject)
    return None if pair is None else pair.most_a


def series_known(subject: FuseSubject) -> bool:
    """Whether gates say when it and each fuse behind it open."""
    return all(pair.ranges is not None for pair in _pairs(subject))


def series_ratio(subject: FuseSubject) -> float | None:
    """Its rating over that of the fuse behind it. [1]"""
    pair = _worst(subject)
    return None if pair is None else pair.ratio


def series_ratio_rule(subject: FuseSubject) -> float | None:
    """What the trade takes for enough of that. [1]"""
    pair = _worst(subject)
    return None if pair is None else pair.ratio_limit


def series_alike(subject: FuseSubject) -> bool:
    """Whether both are of one type."""
    pair = _worst(subject)
    return pair is not None and pair.alike


def also_dead(subject: FuseSubject) -> str:
    """What goes out with it that the other fuse does not feed."""
    pair = _worst(subject)
    names = () if pair is None else (*pair.critical, *(n for n in pair.others if n not in pair.critical))
    if len(names) <= _MANY:
        return (
            joined(words(" and "), names)
            if len(names) < _MANY
            else words("{first}, {second} and {third}", first=names[0], second=names[1], third=names[2])
        )
    return words("{first}, {second} and {rest} more", first=names[0], second=names[1], rest=len(names) - 2)


def critical_dead(subject: FuseSubject) -> bool:
    """Whether some of that is critical."""
    pair = _worst(subject)
    return pair is not None and bool(pair.critical)


def _starts(subject: FuseSubject) -> tuple[FuseStart, ...]:
    return subject.facts.assessment.starting.fuses.get(subject.part.name, ())


def _hardest(subject: FuseSubject) -> FuseStart | None:
    return max(_starts(subject), key=lambda s: (s.share or 0.0, s.peak_a), default=None)


def _wearing(subject: FuseSubject) -> FuseStart | None:
    known = [s for s in _starts(subject) if s.written or s.pulses_written]
    return max(known, key=lambda s: (s.swing or 0.0) / (s.swing_limit or 1.0), default=None)


def _named(start: FuseStart) -> str:
    if start.switch is None or len(start.loads) < _MANY:
        return joined(words(" and "), start.loads)
    return words(
        "{first} and {rest} more on {switch}",
        first=start.loads[0],
        rest=len(start.loads) - 1,
        switch=start.switch,
    )


def _pairs(subject: FuseSubject) -> tuple[Selectivity, ...]:
    """Pairs of known rating; a fuse that is too large for its own wires is told there."""
    pairs = subject.facts.assessment.starting.series.get(subject.part.name, ())
    return tuple(pair for pair in pairs if pair.ratio is not None and not _too_large(subject, pair.lower))


def _too_large(subject: FuseSubject, fuse: str) -> bool:
    found = subject.facts.fuses.get(fuse)
    if found is None or found.rating_a is None or found.window.most_limit_a is None:
        return False
    return found.rating_a > found.window.most_limit_a


def _worst(subject: FuseSubject) -> Selectivity | None:
    """The pair that opens in the wrong order over most of what can flow, else the nearest ratings."""
    return max(_pairs(subject), key=lambda pair: (_span(pair), -(pair.ratio or 0.0)), default=None)


def _span(pair: Selectivity) -> float:
    if pair.ranges is None:
        return 0.5
    if not pair.ranges or pair.most_a is None:
        return 0.0
    if pair.alike and (pair.ratio or 0.0) >= (pair.ratio_limit or 0.0):
        # Of one type and far apart: an unlike or near one is the worse match, over however little.
        return _LET_PASS
    return pair.ranges[-1].high_a / pair.most_a
