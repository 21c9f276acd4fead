"""A contact is rated for direct current at the voltage that it breaks.

Why
---
A rating at a lower voltage or for alternating current says nothing there: at 24 V the arc burns longer than
at 12 V, and at 48 V it does not go out.

Applies to
----------
Switches, relays, isolators and breakers above 32 V, and below that where the rating's voltage is written.

Known limits
------------
The current of the rating is judged by its own rule; how often the contact may break at that voltage is not
known.
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
    above,
    below,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair, quantity
from groundstrap.words import term, words

__all__ = ["RULE", "check"]

ARC_V: Final = 32.0
"""Usual vehicle contacts are made for 12 and 24 V; own judgement. [V]"""
NEEDED_V: Final = 60.0
"""What a contact at 48 V is rated for at least; own judgement. [V]"""

RULE = Rule(
    id="GER003",
    slug="contact-voltage-unknown",
    topic="contact",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=("breaks_current", "kind", "system_v", "rated_at_v"),
    only_where=("breaks_current",),
    sources=(
        "own-judgement, at 48 V a contact wants a rating for direct current of 60 V or more",
        "maker-relay-data, contact ratings by voltage",
    ),
    remedy=words(
        "Fit one whose data sheet rates it for direct current at 60 V or more, and write it into the job."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    breaks_current: bool,
    kind: str,
    system_v: float,
    rated_at_v: float | None,
) -> Verdict:
    """Judge one part."""
    if not breaks_current or (rated_at_v is None and not above(system_v, ARC_V)):
        return not_applicable("it breaks no current, or the voltage is low enough for usual contacts")
    if rated_at_v is None:
        return unknown(
            words(
                "its rating for direct current at {system_v} is not known: a {kind} needs 60 V",
                system_v=quantity(system_v, "V"),
                kind=term(kind),
            )
        )
    if not above(system_v, ARC_V):
        return _at_low_volts(kind, system_v, rated_at_v)
    told = pair(rated_at_v, NEEDED_V, "V")
    text = told.words(
        "this {kind} is rated at {value} direct current; {system_v} wants {limit}",
        kind=term(kind),
        system_v=quantity(system_v, "V"),
    )
    if below(rated_at_v, NEEDED_V):
        return failed(text, rated_at_v, NEEDED_V, "V")
    return passed(text, rated_at_v, NEEDED_V, "V")


def _at_low_volts(kind: str, system_v: float, rated_at_v: float) -> Verdict:
    """At 12 and 24 V what is written is as good as the system's nominal voltage."""
    told = pair(rated_at_v, system_v, "V")
    text = told.words(
        "this {kind} is rated at {value} direct current; the system has {limit}", kind=term(kind)
    )
    if below(rated_at_v, system_v):
        remedy = told.words("Fit one whose data sheet rates it for direct current at {limit} or more.")
        return failed(text, rated_at_v, system_v, "V", remedy=remedy)
    return passed(text, rated_at_v, system_v, "V")
