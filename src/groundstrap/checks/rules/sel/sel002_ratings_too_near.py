"""Fuses in series of which nobody knows when they open lie far enough apart in rating.

Why
---
Without gates or a maker's curve only the ratings tell which of two fuses opens first in an overload; near
each other either may.

Applies to
----------
Fuses and breakers with others of known rating behind them, where the type of one has no gates for it.

Known limits
------------
A rule of thumb: in a dead short the quicker element opens, whatever the ratings are.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Level,
    Rule,
    Status,
    Verdict,
    below,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SEL002",
    slug="ratings-too-near",
    topic="fuses in series",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.NOTE,
    needs=(
        "fuses_behind",
        "series_known",
        "opens_before",
        "series_ratio",
        "series_ratio_rule",
        "critical_dead",
    ),
    only_where=("fuses_behind",),
    sources=(
        "handbook-installation-work, 2 : 1",
        "common-practice, 3 : 1 where a class T stands before another type, from memory",
    ),
    follows=("PRT002", "PRT001", "PRT014"),
    remedy=words("Fit ratings further apart where cables allow it, or write each maker's `curve`."),
)


def check(
    *,
    fuses_behind: bool,
    series_known: bool,
    opens_before: str,
    series_ratio: float | None,
    series_ratio_rule: float | None,
    critical_dead: bool,
) -> Verdict:
    """Judge one fuse."""
    if not fuses_behind or series_known or series_ratio is None or series_ratio_rule is None:
        return not_applicable("no fuse stands behind it, or gates say which of them opens first")
    far = pair(series_ratio, series_ratio_rule, "times")
    told = far.words("it is rated {value} {opens_before}; {limit} is enough", opens_before=opens_before)
    if below(series_ratio, series_ratio_rule):
        return failed(
            words("{told}, and nobody knows when one of them opens", told=told),
            series_ratio,
            series_ratio_rule,
            "times",
        )
    if critical_dead:
        return unknown(
            words(
                "{told} for an overload; what a short opens first nobody knows: write each maker's `curve`",
                told=told,
            ),
            series_ratio,
            series_ratio_rule,
            "times",
        )
    return passed(f"{told} for an overload", series_ratio, series_ratio_rule, "times")
