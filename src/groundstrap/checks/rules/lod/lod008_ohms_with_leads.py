"""Ohms that were read on a load are its own and not those of the test leads.

Why
---
A pair of test leads holds 0.2 to 0.5 ohm, a quarter of a 2 ohm heater: its power then reads too low by as
much, and its fuse and wire with it.

Applies to
----------
Loads with a reading in ohms that tells what they take, and none in amps or watts that outweighs it.

Known limits
------------
A share below 5 % of the reading is let go. Worn leads and oxide on the load's own pins hold more.
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
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

LET_GO_PCT: Final = 5.0
"""Share of a reading that leads may hold without a word; own judgement. [%]"""

RULE = Rule(
    id="LOD008",
    slug="ohms-with-leads",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=("ohms_read", "ohms_decide", "leads_pct", "leads_ohm"),
    only_where=("ohms_read", "ohms_decide"),
    sources=(
        "common-practice, a pair of test leads holds 0.2 to 0.5 ohm",
        "own-judgement, 5 % of a reading",
    ),
    remedy=(
        words(
            "Hold the probes together, read the leads and write them as `leads`; better, "
            "measure amps and volts at its own leads while it runs."
        )
    ),
    caution=Caution.NONE,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    ohms_read: bool,
    ohms_decide: bool,
    leads_pct: float | None,
    leads_ohm: float | None,
) -> Verdict:
    """Judge one load."""
    if not ohms_read:
        return not_applicable("nobody read ohms on it")
    if not ohms_decide:
        return not_applicable("what it takes does not rest on its ohms")
    if leads_pct is None or leads_ohm is None:
        return passed("the leads were nulled or given with every reading in ohms")
    told = pair(leads_pct, LET_GO_PCT, "%")
    said = told.words(
        "up to {leads_ohm} of leads nobody nulled is {value} of the ohms read",
        leads_ohm=quantity(leads_ohm, "ohm"),
    )
    if above(leads_pct, LET_GO_PCT):
        text = told.words("{said}, above {limit}: its true power may be higher by as much", said=said)
        return failed(text, leads_pct, LET_GO_PCT, "%")
    return passed(f"{said}, within {told.limit}", leads_pct, LET_GO_PCT, "%")
