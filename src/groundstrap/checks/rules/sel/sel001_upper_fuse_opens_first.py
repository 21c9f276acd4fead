"""A fault behind a fuse opens that one and not the fuse before it.

Why
---
When the feeder's fuse goes first, everything on it goes dark with the one thing that failed, and the fuse of
that one is still whole: the fault is looked for in the wrong place.

Applies to
----------
Every fuse and breaker with others of known rating behind it, over all currents that can flow through both;
the quickest of the upper against the slowest of the lower.

Known limits
------------
Gates are the ends of what a type allows; two fuses out of one box are nearer each other. So where ratings are
as far apart as the trade asks for, two of one type are let pass, and others where a dead short opens the
right one. What flows through the upper one beside the fault is not counted, nor is a fuse behind it that is
too large for its own wires.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Level,
    Outcome,
    Rule,
    Status,
    Verdict,
    below,
    failed,
    not_applicable,
    passed,
)
from groundstrap.checks.words import number, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SEL001",
    slug="upper-fuse-opens-first",
    topic="fuses in series",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.CAUTION,
    needs=(
        "fuses_behind",
        "series_known",
        "opens_before",
        "opens_before_from_a",
        "opens_before_to_a",
        "short_behind_a",
        "series_ratio",
        "series_ratio_rule",
        "series_alike",
        "also_dead",
        "critical_dead",
    ),
    only_where=("fuses_behind",),
    sources=(
        "iso-8820-3, least and longest operating times",
        "handbook-installation-work, ratings 2 : 1",
        "common-practice, two of one type as far apart pass, whatever their gates say of a dead short",
        "own-judgement, a stop where a critical load goes dark and ratings are near",
    ),
    follows=("PRT002", "PRT001", "PRT014"),
    remedy=words(
        "Fit a slower type or a larger rating here where the cable allows, or a smaller one behind it."
    ),
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    fuses_behind: bool,
    series_known: bool,
    opens_before: str,
    opens_before_from_a: float | None,
    opens_before_to_a: float | None,
    short_behind_a: float | None,
    series_ratio: float | None,
    series_ratio_rule: float | None,
    series_alike: bool,
    also_dead: str,
    critical_dead: bool,
) -> Verdict:
    """Judge one fuse."""
    if not fuses_behind or short_behind_a is None:
        return not_applicable("no fuse of known rating stands behind it")
    if opens_before_from_a is None or opens_before_to_a is None:
        if not series_known:
            return not_applicable("no gate says when one of them opens")
        return passed(f"behind each fuse up to {quantity(short_behind_a, 'A')} open that one first")
    near = (
        series_ratio is not None and series_ratio_rule is not None and below(series_ratio, series_ratio_rule)
    )
    dead_short = not below(opens_before_to_a, short_behind_a)
    text = words(
        "{opens_before_from_a} A to {opens_before_to_a} behind {opens_before} may open it first",
        opens_before_from_a=number(opens_before_from_a),
        opens_before_to_a=quantity(opens_before_to_a, "A"),
        opens_before=opens_before,
    )
    if not near and (series_alike or not dead_short):
        short = ", a dead short among them," if dead_short else ""
        why = "both are of one type and far apart" if series_alike else "a dead short opens that one first"
        return passed(f"{text}{short} by their gates; {why}")
    text += words(", a dead short among them") if dead_short else ""
    text += words(": then {also_dead} would be off too", also_dead=also_dead) if also_dead else ""
    level = Level.STOP if critical_dead and dead_short and near else None
    return failed(text, level=level)
