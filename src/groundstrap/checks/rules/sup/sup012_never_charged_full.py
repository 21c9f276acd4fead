"""Something charges each battery at more than the volts that only keep it full.

Why
---
A battery that is only ever floated stays half empty: lead sulphates within weeks, and lithium never
balances.

Applies to
----------
Batteries of known chemistry, where the setpoint of everything that charges them is written.

Known limits
------------
Does not see how long the charge lasts. Of a range the upper end counts.
"""

from __future__ import annotations

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

RULE = Rule(
    id="SUP012",
    slug="never-charged-full",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "every_setpoint_written",
        "highest_charge_v",
        "float_v",
    ),
    only_where=("every_setpoint_written",),
    sources=(
        "common-practice, bands of charging volts",
        "maker-battery-data, lithium iron phosphate",
    ),
    remedy=words(
        "Raise the setpoint to the absorption volts of its chemistry, or add a charger that has them."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    every_setpoint_written: bool,
    highest_charge_v: float | None,
    float_v: float | None,
) -> Verdict:
    """Judge one supply."""
    if highest_charge_v is None or float_v is None or not every_setpoint_written:
        return not_applicable("its chemistry or a setpoint of what charges it is not written")
    told = pair(highest_charge_v, float_v, "V")
    if below(highest_charge_v, float_v):
        text = told.words("it is charged at no more than {value}, below the {limit} that only keep it full")
        return failed(text, highest_charge_v, float_v, "V")
    return passed(
        f"it is charged at up to {told.value}, not below {told.limit}", highest_charge_v, float_v, "V"
    )
