"""Where a cable gets thinner without a fuse, the fuse before it suits the thinner one.

Why
---
Whoever sees a thick cable at the fuse takes it that the fuse suits all of it.

Applies to
----------
Cable that a thicker one runs into with no fuse between, in one circuit.

Known limits
------------
A step at a block that another circuit begins at is judged by the fuse's own rule.
"""

from __future__ import annotations

from typing import Final

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
    surely_above,
    unknown,
)
from groundstrap.checks.words import READ_THE_PRINT, pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT007",
    slug="step-without-fuse",
    topic="step in size",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.STOP,
    needs=(
        "is_step_down",
        "area_before_mm2",
        "area_all_mm2",
        "has_fuse_ahead",
        "fuse_a",
        "known_fuse_a",
        "ampacity_a",
        "ampacity_best_a",
    ),
    only_where=("is_step_down",),
    sources=(
        "own-judgement, where a conductor gets thinner the fuse before it must suit the thinner one",
        "vde-0298-4, recommended ampacity",
    ),
    follows=("RET001", "THM001"),
    remedy=words("Put a fuse where the thinner cable begins, or lay the thicker one through."),
    caution=Caution.LICENSED,
)

_GIVE: Final = words("give the rating of the fuse before it, and the insulation")


def check(
    *,
    is_step_down: bool,
    area_before_mm2: float | None,
    area_all_mm2: float | None,
    has_fuse_ahead: bool,
    fuse_a: float | None,
    known_fuse_a: float | None,
    ampacity_a: float | None,
    ampacity_best_a: float | None,
) -> Verdict:
    """Judge one wire."""
    if not is_step_down or area_before_mm2 is None or area_all_mm2 is None:
        return not_applicable("no thicker cable runs into it without a fuse between")
    step = words(
        "from {area_before_mm2} to {area_all_mm2}",
        area_before_mm2=quantity(area_before_mm2, "mm2"),
        area_all_mm2=quantity(area_all_mm2, "mm2"),
    )
    if not has_fuse_ahead:
        return failed(words("the cable steps down {step} and no fuse stands before it", step=step))
    rating_a = known_fuse_a if fuse_a is None else fuse_a
    limit_a = ampacity_best_a if ampacity_a is None else ampacity_a
    if rating_a is not None and limit_a is not None and surely_above(rating_a, limit_a, ampacity_best_a):
        told = pair(rating_a, limit_a, "A")
        text = told.words("the cable steps down {step}; fuse {value} is above its {limit}", step=step)
        return failed(text, rating_a, limit_a, "A")
    if fuse_a is None or ampacity_a is None:
        return unknown(words("the cable steps down {step}: {give}", step=step, give=_GIVE))
    told = pair(fuse_a, ampacity_a, "A")
    if above(fuse_a, ampacity_a):
        text = told.words(
            "the cable steps down {step}; fuse {value} is above its {limit} {look}",
            step=step,
            look=READ_THE_PRINT,
        )
        return unknown(text, fuse_a, ampacity_a, "A", hangs_on=("ampacity_best_a",))
    said = f"the cable steps down {step}; fuse {told.value} is within its {told.limit}"
    return passed(said, fuse_a, ampacity_a, "A")
