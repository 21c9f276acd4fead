"""No battery is charged at more than its chemistry stands.

Why
---
Too many volts dry a sealed battery out, boil a vented one, and make a lithium one part itself.

Applies to
----------
Batteries that something with a written setpoint charges.

Known limits
------------
Compares with the figures for a warm battery; a charger that raises its volts in the cold is right to. Of a
range the upper end counts.
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
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP011",
    slug="charged-above-chemistry",
    topic="charging volts",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "is_charged",
        "chemistry",
        "highest_charge_v",
        "most_charge_v",
    ),
    only_where=("is_charged",),
    sources=(
        "common-practice, bands of charging volts",
        "maker-battery-data, lithium iron phosphate",
    ),
    follows=("SUP014", "SUP015"),
    remedy=words("Set the charger for this chemistry, or charge it through a converter of its own."),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_charged: bool,
    chemistry: str | None,
    highest_charge_v: float | None,
    most_charge_v: float | None,
) -> Verdict:
    """Judge one supply."""
    if not is_charged or highest_charge_v is None or most_charge_v is None:
        return not_applicable("nothing with a written setpoint charges it")
    told = pair(highest_charge_v, most_charge_v, "V")
    if not above(highest_charge_v, most_charge_v):
        text = f"it is charged at {told.value}, within the {told.limit} that it stands"
        return passed(text, highest_charge_v, most_charge_v, "V")
    if chemistry is None:
        return unknown(
            told.words("it is charged at {value}, above the {limit} of a vented one: write its `chemistry`"),
            highest_charge_v,
            most_charge_v,
            "V",
            level=Level.NOTE,
        )
    text = told.words(
        "it is charged at {value}, above the {limit} that {chemistry} stands", chemistry=chemistry
    )
    return failed(text, highest_charge_v, most_charge_v, "V")
