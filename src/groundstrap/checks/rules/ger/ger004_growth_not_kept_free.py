"""A block keeps free what was set aside for growth.

Why
---
Every vehicle gets more equipment; a panel that is full on the first day is fed from elsewhere on the second.

Applies to
----------
Blocks for which `spare` is written.

Known limits
------------
Its rating alone: whether its feed carries the growth as well shows when the load is written into the job.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    above,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="GER004",
    slug="growth-not-kept-free",
    status=Status.STABLE,
    since="0.1",
    about=About.GEAR,
    level=Level.CAUTION,
    needs=("spare_pct", "through_a", "rating_a"),
    sources=("own-judgement, the share of a block's rating that the job sets aside",),
    follows=("GER002",),
    remedy=words("Fit a larger block, feed part of it from elsewhere, or write less `spare`."),
    caution=Caution.NONE,
)


def check(*, spare_pct: float | None, through_a: float | None, rating_a: float | None) -> Verdict:
    """Judge one gear."""
    if spare_pct is None:
        return not_applicable("nothing is set aside on it")
    if rating_a is None or through_a is None:
        return unknown(words("what is left on it is not known: write its rating and what its loads take"))
    left_a = rating_a * (1.0 - spare_pct / 100.0)
    told = pair(through_a, left_a, "A")
    if above(through_a, left_a):
        text = told.words(
            "{value} pass it, above the {limit} that leave {spare_pct} % of it for growth",
            spare_pct=f"{spare_pct:g}",
        )
        return failed(text, through_a, left_a, "A")
    return passed(
        f"{told.value} pass it, within the {told.limit} that leave {spare_pct:g} % of it for growth",
        through_a,
        left_a,
        "A",
    )
