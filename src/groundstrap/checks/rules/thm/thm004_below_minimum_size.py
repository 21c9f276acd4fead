"""No wire is thinner than the basis asks for by strength.

Why
---
Thin conductors break at crimps and clips by shaking, whatever their current.

Applies to
----------
Every cable. On a boat, where the law asks for it, a failure of new cable stops.

Known limits
------------
Conductors within one sheath or panel may be thinner; a sheath can't be written yet.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Outcome,
    Rule,
    Status,
    Verdict,
    below,
    failed,
    passed,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="THM004",
    slug="below-minimum-size",
    topic="least size",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.CAUTION,
    needs=("area_mm2", "minimum_mm2", "on_boat", "is_existing"),
    sources=(
        "cfr-33-183-425, (d) to (g): 16 AWG, 18 AWG in a sheath",
        "iso-10133, clause 7.7",
        "common-practice, 0.75 mm2 on the road",
    ),
    follows=("RET001", "MAT001", "THM001", "VDP001"),
    remedy=words("Lay at least the size that the basis asks for, by strength alone."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.NOT_APPLICABLE}),
)


def check(
    *,
    area_mm2: float | None,
    minimum_mm2: float | None,
    on_boat: bool,
    is_existing: bool,
) -> Verdict:
    """Judge one wire."""
    if area_mm2 is None or minimum_mm2 is None:
        return unknown(words("its size is not known: measure strands and diameter"), level=Level.NOTE)
    told = pair(area_mm2, minimum_mm2, "mm2")
    source = "cfr-33-183-425" if on_boat else "common-practice"
    if below(area_mm2, minimum_mm2):
        level = Level.STOP if on_boat and not is_existing else None
        return failed(
            told.words("{value} is below the {limit} asked for by strength"),
            area_mm2,
            minimum_mm2,
            "mm2",
            level=level,
            source=source,
        )
    return passed(
        f"{told.value} is at least the {told.limit} asked for by strength",
        area_mm2,
        minimum_mm2,
        "mm2",
        source=source,
    )
