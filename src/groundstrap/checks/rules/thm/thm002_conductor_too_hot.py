"""A conductor's steady temperature stays within the class of its insulation.

Why
---
Tables know standard conditions; the heat balance knows this zone, bundle and duty.

Applies to
----------
Every cable that a load's or charger's current passes.

Known limits
------------
Heat from a neighbour outside the job is known only where it is written.
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
from groundstrap.checks.words import READ_THE_PRINT, pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="THM002",
    slug="conductor-too-hot",
    topic="temperature",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.STOP,
    needs=("carries_current", "heats_without_end", "conductor_c", "class_c", "best_class_c"),
    only_where=("carries_current",),
    sources=("iso-6722, temperature classes", "own-computation, heat balance of an insulated conductor"),
    follows=("LOD009", "THM003", "RET001", "RET002", "MAT001", "THM001"),
    remedy=words("Lay thicker cable, or take it out of the bundle or the heat."),
    caution=Caution.LICENSED,
)


def check(
    *,
    carries_current: bool,
    heats_without_end: bool,
    conductor_c: float | None,
    class_c: float | None,
    best_class_c: float | None,
) -> Verdict:
    """Judge one wire."""
    if not carries_current:
        return not_applicable("no load's current passes it")
    if heats_without_end:
        return failed(words("what it carries heats its conductor on and on until something melts"))
    if conductor_c is None or class_c is None:
        # A note: the rule on ampacity asks for the same, and weighs it.
        return unknown(
            words("its temperature is not known: give its size, insulation and what its loads take"),
            level=Level.NOTE,
        )
    told = pair(conductor_c, class_c, "degC")
    if above(conductor_c, class_c) and best_class_c is not None and not above(conductor_c, best_class_c):
        return unknown(
            told.words(
                "its conductor reaches {value}, above the {limit} {how}",
                how=READ_THE_PRINT,
            ),
            conductor_c,
            class_c,
            "degC",
            level=Level.NOTE,
            hangs_on=("best_class_c",),
        )
    if above(conductor_c, class_c):
        text: str = told.words("its conductor reaches {value}, above the {limit} of its insulation")
        return failed(text, conductor_c, class_c, "degC")
    text = f"its conductor reaches {told.value}, within the {told.limit} of its insulation"
    return passed(text, conductor_c, class_c, "degC")
