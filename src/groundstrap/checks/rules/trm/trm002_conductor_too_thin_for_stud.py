"""A conductor is heavy enough for rings of its stud.

Why
---
No ring is made from a thick stud down to a thin wire: what is fitted then is a loop, a washer or a ring
crimped on air, and it works loose.

Applies to
----------
Cable that ends on a stud whose thread is written.

Known limits
------------
Rings that are usual in the trade; some makers have thinner ones.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
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
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="TRM002",
    slug="conductor-too-thin-for-stud",
    topic="ring",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.NOTE,
    needs=(
        "on_written_stud",
        "light_stud",
        "area_mm2",
        "light_stud_mm2",
    ),
    only_where=("on_written_stud",),
    sources=("common-practice, conductors that rings of a stud are made for",),
    remedy=words("Take it from a busbar or fuse block with thinner studs, fed from this one."),
    caution=Caution.LICENSED,
)


def check(
    *,
    on_written_stud: bool,
    light_stud: str,
    area_mm2: float | None,
    light_stud_mm2: float | None,
) -> Verdict:
    """Judge one piece of cable."""
    if not on_written_stud or light_stud_mm2 is None:
        return not_applicable("no stud is written at its ends")
    if area_mm2 is None:
        return unknown(
            words(
                "its size is not known; rings for {light_stud} start at {light_stud_mm2}",
                light_stud=light_stud,
                light_stud_mm2=quantity(light_stud_mm2, "mm2"),
            )
        )
    told = pair(area_mm2, light_stud_mm2, "mm2")
    text = told.words("{value} comes to {light_stud}, whose rings start at {limit}", light_stud=light_stud)
    if below(area_mm2, light_stud_mm2):
        return failed(text, area_mm2, light_stud_mm2, "mm2")
    return passed(text, area_mm2, light_stud_mm2, "mm2")
