"""Above 32 V something takes the current off before a connector is pulled.

Why
---
At 48 V the arc between parting contacts does not go out by itself: it burns the contacts, and the hand.

Applies to
----------
Connectors in systems above 32 V.

Known limits
------------
Whether the switch is used is not seen; connectors made to be pulled under load are not known.
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
    failed,
    not_applicable,
    passed,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

ARC_V: Final = 32.0
"""Usual vehicle contacts are made for 12 and 24 V; own judgement. [V]"""

RULE = Rule(
    id="PLU004",
    slug="unplugging-draws-an-arc",
    topic="arc",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "is_connector",
        "system_v",
        "dead_before_unplugging",
    ),
    only_where=("is_connector",),
    sources=("own-judgement, an arc at 48 V does not go out by itself",),
    remedy=words(
        "Put a switch or isolator for that voltage before it, and label the connector: not under load."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    is_connector: bool,
    system_v: float,
    dead_before_unplugging: bool,
) -> Verdict:
    """Judge one part."""
    if not is_connector or not above(system_v, ARC_V):
        return not_applicable("it is no connector, or the voltage is too low to keep an arc")
    if not dead_before_unplugging:
        text = words(
            "nothing on its way takes the current off: pulled under load it draws an arc at {system_v} V",
            system_v=f"{system_v:g}",
        )
        return failed(text)
    return passed("a switch, isolator, relay or breaker on its way takes the current off first")
