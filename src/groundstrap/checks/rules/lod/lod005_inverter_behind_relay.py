"""No relay switches on an inverter without a precharge.

Why
---
Empty capacitors are a short for a moment: the contact welds, and then nothing switches it off.

Applies to
----------
Inverters.

Known limits
------------
A precharge can't be written yet: where there is one, answer for it in a waiver.
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
    failed,
    not_applicable,
    passed,
)
from groundstrap.checks.words import quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="LOD005",
    slug="inverter-behind-relay",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=("is_inverter", "behind_relay", "inrush_a"),
    only_where=("is_inverter",),
    sources=(
        "maker-appliance-data, switch-on currents",
        "own-judgement, capacitors behind a relay want a precharge",
    ),
    remedy=words("Switch it by its own remote input, or precharge its capacitors through a resistor."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    is_inverter: bool,
    behind_relay: bool,
    inrush_a: float | None,
) -> Verdict:
    """Judge one load."""
    if not is_inverter:
        return not_applicable("it is no inverter")
    if behind_relay:
        said = "" if inrush_a is None else words(" at {inrush_a}", inrush_a=quantity(inrush_a, "A"))
        return failed(words("a relay closes onto its empty capacitors{said}", said=said))
    return passed("no relay closes onto its capacitors")
