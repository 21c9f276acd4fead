"""On a boat no hull or body carries a load's current.

Why
---
Current in a metal hull or in sea water eats fittings and propeller in weeks.

Applies to
----------
Every circuit of a boat.

Known limits
------------
A bonding strap that carries no load's current is fine.
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
    id="BOA001",
    slug="hull-as-conductor",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=("on_boat", "carries_on_body", "load_a"),
    only_where=("on_boat",),
    sources=(
        "iso-10133, the hull is no conductor, clause from memory",
        "own-judgement, current in a hull eats it",
    ),
    remedy=words("Lay a cable back to the negative bus."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    on_boat: bool,
    carries_on_body: bool,
    load_a: float | None,
) -> Verdict:
    """Judge one circuit."""
    if not on_boat:
        return not_applicable("the job is no boat")
    if carries_on_body:
        if load_a is None:
            return failed(words("load current passes through the hull or body"))
        return failed(
            words("{amps} of load current passes through the hull or body", amps=quantity(load_a, "A"))
        )
    return passed("it uses no hull as a conductor")
