"""No stud holds more rings than it may.

Why
---
Each ring is one more joint that settles; the nut loosens, and the lowest rings carry heat from all above.

Applies to
----------
Blocks whose stud is written.

Known limits
------------
Rings that the job does not draw are not counted; heavier rings belong underneath.
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
    id="TRM004",
    slug="too-many-rings-on-stud",
    topic="rings",
    status=Status.STABLE,
    since="0.1",
    about=About.GEAR,
    level=Level.CAUTION,
    needs=(
        "is_stud",
        "rings_there",
        "studs_there",
        "most_rings",
    ),
    only_where=("is_stud",),
    sources=(
        "abyc-e11, four terminals on a stud",
        "own-judgement, the same on the road",
    ),
    remedy=words("Spread them over more studs, or put a busbar beside it."),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_stud: bool,
    rings_there: int,
    studs_there: int | None,
    most_rings: int,
) -> Verdict:
    """Judge one block."""
    if not is_stud:
        return not_applicable("it is no block with a stud that is written")
    if studs_there is None and rings_there > most_rings:
        text = words(
            "{rings_there} rings come to it, {most_rings} may sit on one stud: write `ways`, how many it has",
            rings_there=rings_there,
            most_rings=most_rings,
        )
        return unknown(text, level=Level.NOTE)
    most = most_rings * (studs_there or 1)
    told = pair(rings_there, most, "rings")
    if rings_there > most:
        return failed(
            told.words("{value} come to it, above {limit}: {most_rings} on a stud", most_rings=most_rings),
            rings_there,
            most,
            "rings",
        )
    return passed(f"{told.value} come to it, within {told.limit}", rings_there, most, "rings")
