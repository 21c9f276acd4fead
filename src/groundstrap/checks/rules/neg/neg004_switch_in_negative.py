"""A switch stands in the way out to its load and not in the way back.

Why
---
The load stays live when it is off, and one chafed return turns it on.

Applies to
----------
New switches in the circuit of a load. The coil of a relay may be switched in its negative.

Known limits
------------
Horns and door lamps of a vehicle as it was made are switched so; what is in the vehicle already is left
alone.
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
    id="NEG004",
    slug="switch-in-negative",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.NOTE,
    needs=(
        "switches_a_load",
        "sits_in_negative",
    ),
    only_where=("switches_a_load",),
    sources=("common-practice, the switch is in the plus",),
    remedy=words("Put it between fuse and load."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    switches_a_load: bool,
    sits_in_negative: bool,
) -> Verdict:
    """Judge one part."""
    if not switches_a_load:
        return not_applicable("it is no new switch of a load")
    if sits_in_negative:
        return failed(words("it stands in the negative: the load stays live with it off"))
    return passed("it stands in the way out")
