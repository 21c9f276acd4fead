"""A blade in a holder with leads carries for hours at most three quarters of what the holder is made for.

Why
---
The holder burns and the fuse lives: 20 milliohm at 25 A are 12 W in a thimble of plastic, and no fuse
opens on that.

Applies to
----------
Regular blades between two pieces of cable.

Known limits
------------
A holder for 30 A, the most that such holders are sold for; a fuse inside a block is judged with the
block.
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
    failed,
    not_applicable,
    passed,
    surely_above,
    unknown,
)
from groundstrap.checks.words import NOT_THE_SPOT, pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

HOLDER_A: Final = 22.5
"""Three quarters of 30 A, the most that holders with leads are sold for; own judgement. [A]"""

RULE = Rule(
    id="TRM008",
    slug="holder-near-its-limit",
    topic="holder",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.CAUTION,
    needs=(
        "is_inline_blade",
        "holder_load_a",
        "known_holder_load_a",
    ),
    only_where=("is_inline_blade",),
    sources=(
        "own-judgement, three quarters of 30 A for hours",
        "common-practice, holders with leads for regular blades go up to 30 A",
    ),
    follows=("LOD003", "PLU001", "THM001", "PRT002"),
    remedy=words(
        "Take the next larger type of fuse with its holder, bolted where it can be, and "
        "measure the millivolts across it under load."
    )
    + NOT_THE_SPOT,
    caution=Caution.LICENSED,
)


def check(
    *,
    is_inline_blade: bool,
    holder_load_a: float | None,
    known_holder_load_a: float | None,
) -> Verdict:
    """Judge one fuse."""
    if not is_inline_blade:
        return not_applicable("it is no regular blade between two pieces of cable")
    if holder_load_a is None and surely_above(known_holder_load_a, HOLDER_A):
        holder_load_a = known_holder_load_a
    if holder_load_a is None:
        return unknown(
            words("what passes its holder is not known: give what its loads take"), level=Level.NOTE
        )
    told = pair(holder_load_a, HOLDER_A, "A")
    if above(holder_load_a, HOLDER_A):
        text = told.words(
            "{value} pass its holder for hours, above the {limit} that one for 30 A takes without cooking"
        )
        return failed(text, holder_load_a, HOLDER_A, "A")
    return passed(f"{told.value} pass its holder, within {told.limit}", holder_load_a, HOLDER_A, "A")
