"""Near a magnetic compass no cable lies without its way back beside it.

Why
---
A single cable with 10 A half a metre away turns the card by 11 degrees, and only while the load is on.

Applies to
----------
On boats: circuits that lead to the place of a compass, or to something there.

Known limits
------------
Takes half a metre between cable and compass, and the field of middle latitudes. A pair is to be twisted all
the same.
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
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

MOST_DEG: Final = 2.0
"""What a helmsman steers by; own judgement. [deg]"""

RULE = Rule(
    id="BOA008",
    slug="single-cable-at-compass",
    topic="compass",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.CAUTION,
    needs=(
        "near_compass",
        "laid_as_pair",
        "turns_compass_deg",
    ),
    only_where=("near_compass",),
    sources=(
        "own-computation, field of a straight wire against that of the earth",
        "own-judgement, two degrees",
    ),
    remedy=words("Lay the way back beside it and twist the two within a metre of the compass."),
    caution=Caution.LICENSED,
)


def check(
    *,
    near_compass: bool,
    laid_as_pair: bool,
    turns_compass_deg: float | None,
) -> Verdict:
    """Judge one circuit."""
    if not near_compass or laid_as_pair:
        return not_applicable("it leads to no compass, or out and back lie together")
    if turns_compass_deg is None:
        return unknown(
            words("its current is not known, and it passes a compass as a single cable: measure it")
        )
    told = pair(turns_compass_deg, MOST_DEG, "deg")
    if above(turns_compass_deg, MOST_DEG):
        text = told.words("its single cable may turn the compass by {value}, above {limit}")
        return failed(text, turns_compass_deg, MOST_DEG, "deg")
    return passed(
        f"its single cable turns the compass by {told.value}, within {told.limit}",
        turns_compass_deg,
        MOST_DEG,
        "deg",
    )
