"""On a boat a fuse breaks what the standard asks for by the bank's cranking current.

Why
---
The table stands in for a fault current that nobody reckons on a boat.

Applies to
----------
Fuses and breakers of a boat; main ones at the battery, branch ones elsewhere.

Known limits
------------
A draft: the table was read at second hand only, so it does not decide.
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
    id="BOA004",
    slug="interrupt-below-standard",
    topic="breaking capacity by the standard",
    status=Status.DRAFT,
    since="0.1",
    about=About.FUSE,
    level=Level.STOP,
    needs=("on_boat", "is_main", "breaks_a", "interrupt_need_a"),
    only_where=("on_boat",),
    sources=("abyc-e11, table of interrupting capacity, at second hand",),
    follows=("PRT015", "PRT008", "BOA005", "BOA004"),
    remedy=words("Fit a type that breaks the current the standard asks for."),
    caution=Caution.LICENSED,
)


def check(
    *,
    on_boat: bool,
    is_main: bool,
    breaks_a: float | None,
    interrupt_need_a: float | None,
) -> Verdict:
    """Judge one fuse."""
    if not on_boat:
        return not_applicable("the job is no boat")
    if interrupt_need_a is None:
        return unknown(
            words("the bank's cranking current is not known: write it, as its label says"), level=Level.NOTE
        )
    if breaks_a is None:
        return unknown(
            words("what it breaks at this voltage is not known: give 'breaks' from its data sheet"),
            level=Level.NOTE,
        )
    told = pair(breaks_a, interrupt_need_a, "A")
    place = words("main") if is_main else words("branch")
    if below(breaks_a, interrupt_need_a):
        return failed(
            told.words("it breaks {value}; a {place} device needs {limit} behind this bank", place=place),
            breaks_a,
            interrupt_need_a,
            "A",
        )
    return passed(
        f"it breaks {told.value}; a {place} device needs {told.limit} behind this bank",
        breaks_a,
        interrupt_need_a,
        "A",
    )
