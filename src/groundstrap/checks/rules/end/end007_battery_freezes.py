"""No lead battery is so empty in the cold that it freezes.

Why
---
The acid of an empty lead battery is nearly water. Ice breaks plates and case, and a frozen battery that is
charged or jumped may burst.

Applies to
----------
Lead batteries.

Known limits
------------
The acid's own freezing is taken for the battery's; what stands in the wind cools to the air in some hours.
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
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="END007",
    slug="battery-freezes",
    topic="freezing",
    status=Status.STABLE,
    since="0.1",
    about=About.BATTERY_RUN,
    level=Level.CAUTION,
    needs=(
        "is_lead",
        "coldest_c",
        "freezes_below_c",
    ),
    only_where=("is_lead",),
    sources=(
        "own-computation, charge over the days that were run",
        "handbook-battery, freezing point of sulphuric acid by its density",
    ),
    remedy=words(
        "Charge it before the cold, or take it in. Never charge or jump one that has frozen: let it "
        "thaw first."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_lead: bool,
    coldest_c: float,
    freezes_below_c: float | None,
) -> Verdict:
    """Judge one battery."""
    if not is_lead:
        return not_applicable("it is no lead battery")
    if freezes_below_c is None:
        return unknown(words("at which temperature it freezes is not known"), level=Level.NOTE)
    told = pair(coldest_c, freezes_below_c, "degC")
    compared = (coldest_c, freezes_below_c, "degC")
    if below(coldest_c, freezes_below_c):
        return failed(
            told.words("in its lowest state it freezes below {limit}, and it gets {value}"), *compared
        )
    return passed(f"it gets {told.value}, and in its lowest state it freezes below {told.limit}", *compared)
