"""No inverter, charger or other electronics stands in air above 60 degC.

Why
---
Makers rate them at 25 to 40 degC; from 60 degC on they give less, shut down, and their capacitors last a
season.

Applies to
----------
Inverters, chargers and electronics.

Known limits
------------
Looks at the air of the zone. A part that is made for the engine bay is good for it: answer for it in a
waiver.
"""

from __future__ import annotations

from typing import Final

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Outcome,
    Rule,
    Status,
    Verdict,
    above,
    failed,
    not_applicable,
    passed,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

MOST_C: Final = 60.0
"""The hottest that a closed cabin gets; own judgement. [degC]"""

RULE = Rule(
    id="PLC003",
    slug="electronics-in-the-heat",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.NOTE,
    needs=(
        "minds_heat",
        "place_high_c",
    ),
    only_where=("minds_heat",),
    sources=(
        "own-judgement, electronics of the cabin",
        "common-practice, electronics away from engine and roof",
    ),
    remedy=words("Put it in the cabin and lead only cable to the hot place."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    minds_heat: bool,
    place_high_c: float,
) -> Verdict:
    """Judge one load."""
    if not minds_heat:
        return not_applicable("it is no electronics")
    told = pair(place_high_c, MOST_C, "degC")
    if above(place_high_c, MOST_C):
        return failed(
            told.words("it stands in up to {value}, above {limit}"),
            place_high_c,
            MOST_C,
            "degC",
        )
    return passed(f"it stands in up to {told.value}, within {told.limit}", place_high_c, MOST_C, "degC")
