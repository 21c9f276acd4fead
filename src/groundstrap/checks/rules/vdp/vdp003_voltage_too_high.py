"""A load never gets more voltage than it stands.

Why
---
Equalising chargers and cold regulators go higher than the label of a 12 V device.

Applies to
----------
Loads whose voltage range is written, alone on a cold network with the supply at its high end.

Known limits
------------
Spikes, such as the load dump of an alternator that loses its battery, are far above it.
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
    id="VDP003",
    slug="voltage-too-high",
    topic="highest voltage",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.STOP,
    needs=("works_given", "is_unfed", "highest_v", "works_high_v"),
    only_where=("works_given",),
    sources=("maker-appliance-data, voltages that a device works between",),
    remedy=words("Feed it through a converter of its own voltage, or lower the charger's highest stage."),
    caution=Caution.LICENSED,
)


def check(
    *,
    works_given: bool,
    is_unfed: bool,
    highest_v: float | None,
    works_high_v: float | None,
) -> Verdict:
    """Judge one load."""
    if not works_given:
        return not_applicable("no voltage that it works between is written")
    if is_unfed:
        return not_applicable("no source feeds it")
    if highest_v is None or works_high_v is None:
        return unknown(
            words("its highest voltage is not known: give the setpoints of alternator and chargers")
        )
    told = pair(highest_v, works_high_v, "V")
    if above(highest_v, works_high_v):
        return failed(
            told.words("it gets up to {value}, above the {limit} it stands"),
            highest_v,
            works_high_v,
            "V",
        )
    return passed(f"it gets up to {told.value}; it stands {told.limit}", highest_v, works_high_v, "V")
