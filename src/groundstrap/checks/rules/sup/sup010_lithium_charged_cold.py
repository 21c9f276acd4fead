"""No lithium battery is charged below 0 degC.

Why
---
In the cold the charge plates out as metal instead of going in: the battery loses room for good, and may
short inside later.

Applies to
----------
Lithium batteries that something charges.

Known limits
------------
Looks at the temperature that is written for the battery, else at the spans of the day in which it is
charged, else at its zone. A protection that stops the charge in the cold cannot be written: answer for it
in a waiver, with its data sheet.
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
    below,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

LEAST_C: Final = 0.0
"""Coldest that lithium iron phosphate is charged at. [degC]"""

RULE = Rule(
    id="SUP010",
    slug="lithium-charged-cold",
    topic="cold charge",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "is_lithium",
        "is_charged",
        "coldest_charged_c",
        "place_low_c",
    ),
    only_where=("is_lithium", "is_charged"),
    sources=("maker-battery-data, charging temperature of lithium iron phosphate",),
    remedy=words(
        "Put it where it stays above 0 degC, heat it before charging, or take a charger "
        "that stops by its temperature."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_lithium: bool,
    is_charged: bool,
    coldest_charged_c: float | None,
    place_low_c: float,
) -> Verdict:
    """Judge one supply."""
    if not is_lithium or not is_charged:
        return not_applicable("it is no lithium battery that something charges")
    if coldest_charged_c is None and below(place_low_c, LEAST_C):
        told = pair(place_low_c, LEAST_C, "degC")
        return unknown(
            told.words(
                "it may be charged at {value} where it stands, below {limit}: read in its data "
                "sheet whether its protection stops that, or write its `temperature`"
            ),
            place_low_c,
            LEAST_C,
            "degC",
        )
    coldest_c = place_low_c if coldest_charged_c is None else coldest_charged_c
    told = pair(coldest_c, LEAST_C, "degC")
    if below(coldest_c, LEAST_C):
        return failed(told.words("it is charged at {value}, below {limit}"), coldest_c, LEAST_C, "degC")
    return passed(f"it is charged at {told.value}, not below {told.limit}", coldest_c, LEAST_C, "degC")
