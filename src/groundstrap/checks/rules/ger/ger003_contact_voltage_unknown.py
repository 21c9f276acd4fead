"""At 48 V a contact is rated for direct current at that voltage.

Why
---
A rating at 12 V or for alternating current says nothing there: the arc does not go out.

Applies to
----------
Switches, relays, isolators and breakers above 32 V.

Known limits
------------
The voltage of a rating can't be written yet, so it stays undecided.
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
    not_applicable,
    unknown,
)
from groundstrap.checks.words import quantity

__all__ = ["RULE", "check"]

ARC_V: Final = 32.0
"""Usual vehicle contacts are made for 12 and 24 V; own judgement. [V]"""

RULE = Rule(
    id="GER003",
    slug="contact-voltage-unknown",
    topic="contact",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=("breaks_current", "kind", "system_v"),
    sources=(
        "own-judgement, at 48 V a contact wants a rating for direct current of 60 V or more",
        "maker-relay-data, contact ratings by voltage",
    ),
    remedy="Read its rating for direct current off the data sheet: 60 V or more.",
    caution=Caution.LICENSED,
    never=frozenset({Outcome.FAIL, Outcome.PASS}),
)


def check(
    *,
    breaks_current: bool,
    kind: str,
    system_v: float,
) -> Verdict:
    """Judge one part."""
    if not breaks_current or not above(system_v, ARC_V):
        return not_applicable("it breaks no current, or the voltage is low enough for usual contacts")
    return unknown(
        f"its rating for direct current at {quantity(system_v, 'V')} is not known: a {kind} needs 60 V"
    )
