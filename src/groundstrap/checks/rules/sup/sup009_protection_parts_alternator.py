"""A running alternator keeps a battery that does not part itself.

Why
---
A protection that opens while the alternator gives full current leaves its coils nowhere to go: for tenths
of a second a hundred volts and more stand on everything that is on.

Applies to
----------
Alternators that are joined to a battery.

Known limits
------------
Knows a protection by `limit` and by lithium. A surge clamp at the alternator, or a protection that tells it
to stop, cannot be written yet: answer for it in a waiver.
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
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP009",
    slug="protection-parts-alternator",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "is_alternator",
        "batteries_on_it",
        "batteries_that_part",
    ),
    only_where=("is_alternator",),
    sources=(
        "iso-16750-2, load dump",
        "common-practice, a battery stays on a running alternator",
    ),
    follows=("SUP015",),
    remedy=words(
        "Keep a lead-acid battery on the alternator and charge the other through a "
        "converter, or let its protection stop the alternator first."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    is_alternator: bool,
    batteries_on_it: int,
    batteries_that_part: int,
) -> Verdict:
    """Judge one supply."""
    if not is_alternator or batteries_on_it == 0:
        return not_applicable("it is no alternator on a battery")
    if batteries_that_part == batteries_on_it:
        return failed(
            words("every battery on it may part itself by its own protection while it gives current")
        )
    return passed("a battery that does not part itself stays on it")
