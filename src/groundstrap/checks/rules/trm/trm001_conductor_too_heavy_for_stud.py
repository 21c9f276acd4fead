"""A stud is thick enough for rings that take the conductor.

Why
---
A heavy lug with its hole drilled small leaves a rim of copper that carries all the current, on a thread
that cannot hold its torque.

Applies to
----------
Cable that ends on a stud whose thread is written.

Known limits
------------
Rings that are usual in the trade; some makers have heavier ones.
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
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="TRM001",
    slug="conductor-too-heavy-for-stud",
    topic="ring",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.CAUTION,
    needs=(
        "on_written_stud",
        "heavy_stud",
        "area_mm2",
        "heavy_stud_mm2",
    ),
    only_where=("on_written_stud",),
    sources=("common-practice, conductors that rings of a stud are made for",),
    remedy=words("End it on a thicker stud, or on a busbar that a lighter cable joins to this one."),
    caution=Caution.LICENSED,
)


def check(
    *,
    on_written_stud: bool,
    heavy_stud: str,
    area_mm2: float | None,
    heavy_stud_mm2: float | None,
) -> Verdict:
    """Judge one piece of cable."""
    if not on_written_stud or heavy_stud_mm2 is None:
        return not_applicable("no stud is written at its ends")
    if area_mm2 is None:
        return unknown(
            words(
                "its size is not known; rings for {heavy_stud} go up to {heavy_stud_mm2}",
                heavy_stud=heavy_stud,
                heavy_stud_mm2=quantity(heavy_stud_mm2, "mm2"),
            ),
            level=Level.NOTE,
        )
    told = pair(area_mm2, heavy_stud_mm2, "mm2")
    if above(area_mm2, heavy_stud_mm2):
        text: str = told.words(
            "{value} comes to {heavy_stud}, whose rings go up to {limit}", heavy_stud=heavy_stud
        )
        return failed(text, area_mm2, heavy_stud_mm2, "mm2")
    text = f"{told.value} comes to {heavy_stud}, whose rings go up to {told.limit}"
    return passed(text, area_mm2, heavy_stud_mm2, "mm2")
