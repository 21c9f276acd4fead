"""No lithium battery stands where it gets hotter than 60 degC.

Why
---
Its protection parts it there, and each summer costs it room that does not come back.

Applies to
----------
Lithium batteries.

Known limits
------------
Looks at the air of the zone; its own heat comes on top.
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
"""Hottest that lithium iron phosphate gives current at, by its makers. [degC]"""

RULE = Rule(
    id="SUP020",
    slug="lithium-in-the-heat",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "is_lithium",
        "place_high_c",
    ),
    only_where=("is_lithium",),
    sources=("maker-battery-data, working temperature of lithium iron phosphate",),
    remedy=words("Put it in the cabin or in a box of its own away from the engine."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    is_lithium: bool,
    place_high_c: float,
) -> Verdict:
    """Judge one supply."""
    if not is_lithium:
        return not_applicable("it is no lithium battery")
    told = pair(place_high_c, MOST_C, "degC")
    if above(place_high_c, MOST_C):
        return failed(told.words("it stands in up to {value}, above {limit}"), place_high_c, MOST_C, "degC")
    return passed(f"it stands in up to {told.value}, within {told.limit}", place_high_c, MOST_C, "degC")
