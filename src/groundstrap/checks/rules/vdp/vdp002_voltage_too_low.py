"""A load never gets less voltage than it works at while it may run.

Why
---
A fridge or an inverter that cuts out under load starts again a minute later, and so on until the battery is
flat.

Applies to
----------
Loads whose voltage range is written.

Known limits
------------
Drops at switch-on are shorter and deeper; they are not looked at here.
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
    id="VDP002",
    slug="voltage-too-low",
    topic="lowest voltage",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=("works_given", "lowest_v", "lowest_best_v", "works_low_v", "is_critical"),
    only_where=("works_given",),
    sources=("maker-appliance-data, voltages that a device works between",),
    follows=(
        "LOD009",
        "BOA001",
        "RET001",
        "RET002",
        "MAT001",
        "THM001",
        "VDP001",
        "SUP005",
        "SUP006",
        "SUP001",
        "VDP002",
    ),
    remedy=(
        words(
            "Lay thicker cable, feed it from nearer the battery, or set its cut-out lower "
            "where its maker allows."
        )
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    works_given: bool,
    lowest_v: float | None,
    lowest_best_v: float | None,
    works_low_v: float | None,
    is_critical: bool,
) -> Verdict:
    """Judge one load."""
    if not works_given:
        return not_applicable("no voltage that it works between is written")
    best_v, level = lowest_best_v, Level.STOP if is_critical else None
    if lowest_v is None and best_v is not None and works_low_v is not None and below(best_v, works_low_v):
        lowest_v = best_v
    if lowest_v is None or works_low_v is None:
        text = words("its lowest voltage is not known: give size and length of every piece that feeds it")
        return unknown(text, level=level)
    told = pair(lowest_v, works_low_v, "V")
    if below(lowest_v, works_low_v) and best_v is not None and not below(best_v, works_low_v):
        return unknown(
            told.words(
                "it gets as little as {value}, under the {limit} it works at, if the body is "
                "at its worst: measure the body's millivolts under load"
            ),
            lowest_v,
            works_low_v,
            "V",
            level=level,
            hangs_on=("lowest_best_v",),
        )
    if below(lowest_v, works_low_v):
        return failed(
            told.words("it gets as little as {value}, under the {limit} it works at"),
            lowest_v,
            works_low_v,
            "V",
            level=level,
        )
    return passed(f"it gets at least {told.value}; it works from {told.limit}", lowest_v, works_low_v, "V")
