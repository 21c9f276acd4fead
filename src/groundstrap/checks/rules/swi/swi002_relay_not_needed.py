"""A relay stands only where the switch could not carry the load by itself.

Why
---
Every relay is two more circuits, a coil that draws all day and a part that fails; where the switch is
good for the load it buys nothing.

Applies to
----------
New relays that one rated switch works, with loads whose surge is known by class.

Known limits
------------
Shorter heavy cable, or a switch that is easier to reach, may be reason enough: then waive it.
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
    id="SWI002",
    slug="relay-not-needed",
    topic="relay",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.NOTE,
    needs=(
        "spares_a_switch",
        "spared_switch",
        "spared_switch_a",
        "contact_needed_a",
    ),
    only_where=("spares_a_switch",),
    sources=(
        "faa-ac-43-13-1b, table 11-4 switch derating factors",
        "common-practice, a relay where the switch can not carry the load",
    ),
    remedy=words(
        "Lead the load over the switch and leave the relay out, unless it shortens the heavy cable."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    spares_a_switch: bool,
    spared_switch: str,
    spared_switch_a: float | None,
    contact_needed_a: float | None,
) -> Verdict:
    """Judge one part."""
    if not spares_a_switch or contact_needed_a is None or spared_switch_a is None:
        return not_applicable("no rated switch works it, or the surge of its loads is not known by class")
    told = pair(contact_needed_a, spared_switch_a, "A")
    if below(contact_needed_a, spared_switch_a):
        text = told.words(
            "its loads ask for a plain rating of {value}: {spared_switch} with {limit} carries them",
            spared_switch=spared_switch,
        )
        return failed(text, contact_needed_a, spared_switch_a, "A")
    return passed(
        f"its loads ask for a plain rating of {told.value}, which leaves {spared_switch} with "
        f"{told.limit} no room",
        contact_needed_a,
        spared_switch_a,
        "A",
    )
