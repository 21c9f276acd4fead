"""A relay pulls in with its coil hot at the least volts that it gets.

Why
---
Copper in a hot coil has more ohms, so the pick-up voltage rises with its temperature just when the engine
bay is hot and cranking holds the volts down.

Applies to
----------
Relays whose coil is drawn; while cranking where something behind the contact runs then.

Known limits
------------
A coil of unknown make: 8 V at 12 V from cold. The heat of its own after a long run is not counted, nor
what it holds once it has pulled in.
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
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SWI003",
    slug="relay-may-not-pull-in",
    topic="coil",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "has_coil",
        "switches_critical",
        "coil_when",
        "coil_c",
        "coil_least_v",
        "pick_up_hot_v",
    ),
    only_where=("has_coil",),
    sources=(
        "iec-60028, resistance of copper by temperature",
        "common-practice, a relay of unknown make pulls in from two thirds of its nominal voltage",
    ),
    follows=("RET001", "THM001", "VDP001"),
    remedy=words(
        "Feed the coil over thicker or shorter cable, move the relay to a cooler place, "
        "or fit one with a lower pick-up voltage."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    has_coil: bool,
    switches_critical: bool,
    coil_when: str,
    coil_c: float,
    coil_least_v: float | None,
    pick_up_hot_v: float | None,
) -> Verdict:
    """Judge one part."""
    if not has_coil:
        return not_applicable("it is no relay with its coil drawn")
    if coil_least_v is None or pick_up_hot_v is None:
        text = words(
            "whether it pulls in {coil_when} is not known: its data sheet gives the pick-up voltage",
            coil_when=coil_when,
        )
        return unknown(text, level=Level.NOTE)
    told = pair(coil_least_v, pick_up_hot_v, "V")
    hot = quantity(coil_c, "degC")
    if below(coil_least_v, pick_up_hot_v):
        text = told.words(
            "its coil gets {value} {coil_when}; at {hot} it needs {limit} to pull in",
            coil_when=coil_when,
            hot=hot,
        )
        level = Level.STOP if switches_critical else None
        return failed(text, coil_least_v, pick_up_hot_v, "V", level=level)
    return passed(
        f"its coil gets {told.value} {coil_when}; at {hot} it pulls in from {told.limit}",
        coil_least_v,
        pick_up_hot_v,
        "V",
    )
