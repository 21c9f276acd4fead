"""A coil beside electronics has a diode or resistor across it.

Why
---
Switched off, a bare coil of 12 V throws hundreds of volts on its wires; electronics on the same supply
take them, and the switch pits.

Applies to
----------
New relays whose coil hangs on a supply that electronics hang on too: inverters, chargers and the inputs of
converters are such.

Known limits
------------
A diode slows the release, so that a contact under motor load opens more slowly; a resistor, or a diode
with a zener, slows it less.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SWI004",
    slug="coil-without-suppressor",
    topic="suppressor",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.NOTE,
    needs=(
        "coil_beside_electronics",
        "suppressor",
    ),
    only_where=("coil_beside_electronics",),
    sources=("maker-relay-data, peak at switching off with and without a part across the coil",),
    remedy=words(
        "Fit a relay with a resistor or diode built in, the diode the right way round, "
        "and write `suppressor`."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    coil_beside_electronics: bool,
    suppressor: str | None,
) -> Verdict:
    """Judge one part."""
    if not coil_beside_electronics:
        return not_applicable(
            "no electronics hang on the supply of its coil, or it is in the vehicle already"
        )
    if suppressor is None:
        return unknown(
            words("what lies across its coil is not written: look for diode or resistor on its diagram")
        )
    if suppressor == "none":
        return failed(words("nothing lies across its coil, and electronics hang on the same supply"))
    return passed(f"a {suppressor} lies across its coil")
