"""In no span of the days is a lithium battery charged below 0 degC.

Why
---
In the cold the charge plates out as metal instead of going in: the battery loses room for good, and may
short inside later.

Applies to
----------
Lithium batteries that something charges in a span.

Known limits
------------
The temperature of a span is that of the air. A battery that is warm from running is warmer; one whose own
protection stops the charge is not harmed, and not charged either.
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
    below,
    failed,
    not_applicable,
    passed,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

LEAST_C: Final = 0.0
"""Coldest that lithium iron phosphate is charged at. [degC]"""

RULE = Rule(
    id="END006",
    slug="charged-below-freezing",
    topic="cold charge",
    status=Status.STABLE,
    since="0.1",
    about=About.BATTERY_RUN,
    level=Level.CAUTION,
    needs=(
        "is_lfp",
        "coldest_charge_c",
    ),
    only_where=("is_lfp",),
    never=frozenset({Outcome.UNDETERMINED}),
    sources=("maker-battery-data, charging temperature of lithium iron phosphate",),
    remedy=words(
        "Put it where it stays above 0 degC, heat it before charging, or take a charger that stops by its "
        "temperature."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_lfp: bool,
    coldest_charge_c: float | None,
) -> Verdict:
    """Judge one battery."""
    if not is_lfp or coldest_charge_c is None:
        return not_applicable("it is no lithium battery that something charges")
    told = pair(coldest_charge_c, LEAST_C, "degC")
    compared = (coldest_charge_c, LEAST_C, "degC")
    if below(coldest_charge_c, LEAST_C):
        return failed(told.words("something charges it at {value}, below {limit}"), *compared)
    return passed(f"it is charged at {told.value}, not below {told.limit}", *compared)
