"""A lithium battery takes its charge through something that limits it.

Why
---
It takes whatever the alternator gives, for hours and at low engine speed, where the fan cools least; lead-
acid would have throttled it within minutes.

Applies to
----------
Lithium batteries.

Known limits
------------
The range of its current has the ends of volts, heat and resistance for usual parts, not the cable of this
job. An alternator with a regulator that watches its own temperature is good for it: answer for it in a
waiver.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP015",
    slug="lithium-straight-on-alternator",
    topic="alternator",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "is_lithium",
        "straight_from",
        "alternator_written",
        "straight_low_a",
        "straight_high_a",
    ),
    only_where=("is_lithium",),
    sources=("common-practice, lithium on an alternator through a charging converter",),
    remedy=words(
        "Put a charging converter between that takes no more than the alternator gives "
        "hot at idle, or measure its case and current over 20 min at idle."
    ),
    caution=Caution.LICENSED,
    follows=("SUP014",),
)


def check(
    *,
    is_lithium: bool,
    straight_from: str,
    alternator_written: bool,
    straight_low_a: float | None,
    straight_high_a: float | None,
) -> Verdict:
    """Judge one supply."""
    if not is_lithium:
        return not_applicable("it is no lithium battery")
    if straight_from and not alternator_written:
        text = words("an alternator is assumed on it: list what charges it, or write `alternator: none`")
        return unknown(text, level=Level.NOTE)
    if straight_from and straight_low_a is not None and straight_high_a is not None:
        told = pair(straight_low_a, straight_high_a, "A")
        return failed(
            told.words(
                "{straight_from} feeds it straight, and nothing else limits its current: "
                "{value} to {limit}, by volts, heat and what resistance stands between",
                straight_from=straight_from,
            )
        )
    if straight_from:
        return failed(
            words(
                "{straight_from} feeds it straight, and nothing else limits its current",
                straight_from=straight_from,
            )
        )
    return passed("no alternator feeds it straight")
