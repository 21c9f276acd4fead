"""A relay has something that works it.

Why
---
A coil that nobody fed is found on the day of the first power; and a control circuit without a fuse of its
own is the thin wire that burns.

Applies to
----------
Relays that are to be fitted.

Known limits
------------
What works it is believed as it is drawn.
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
    not_applicable,
    passed,
    unknown,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SWI005",
    slug="relay-without-control",
    topic="control",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.NOTE,
    needs=(
        "is_new_relay",
        "worked_by",
    ),
    only_where=("is_new_relay",),
    sources=("common-practice, the control circuit is a circuit like any other",),
    remedy=words(
        "Draw the circuit of its coil with its fuse and switch, or write `when`, `closes` or `opens`."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.FAIL}),
)


def check(
    *,
    is_new_relay: bool,
    worked_by: str | None,
) -> Verdict:
    """Judge one part."""
    if not is_new_relay:
        return not_applicable("it is no relay, or in the vehicle already")
    if worked_by is None:
        text = words(
            "what works it is not drawn: draw a circuit that ends at its coil, or write `when` or `closes`"
        )
        return unknown(text)
    return passed(f"{worked_by} works it")
