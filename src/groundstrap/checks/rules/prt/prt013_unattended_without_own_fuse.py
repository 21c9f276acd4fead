"""A circuit that stays live with nobody there has a fuse of its own above 1 A.

Why
---
A fuse that it shares is sized for more, and nobody is there to smell it.

Applies to
----------
Circuits whose loads may run at rest and that no hand switches.

Known limits
------------
A switch in a circuit before this one is not counted.
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
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

UNATTENDED_A: Final = 1.0
"""Own judgement. [A]"""

RULE = Rule(
    id="PRT013",
    slug="unattended-without-own-fuse",
    topic="unattended circuit",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.CAUTION,
    needs=("is_unattended", "own_fuses", "load_a", "known_load_a"),
    only_where=("is_unattended",),
    sources=("own-judgement, above 1 A an always-live circuit has a fuse of its own",),
    follows=("PRT006", "SAF002", "BOA002"),
    remedy=words("Give the circuit a fuse of its own where it begins, smaller than one before it."),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_unattended: bool,
    own_fuses: int,
    load_a: float | None,
    known_load_a: float | None,
) -> Verdict:
    """Judge one circuit."""
    if not is_unattended:
        return not_applicable("nobody leaves it live: it is switched by hand, or its loads don't run at rest")
    if own_fuses > 0:
        return passed("it has a fuse of its own")
    if load_a is None and surely_above(known_load_a, UNATTENDED_A):
        load_a = known_load_a
    if load_a is None:
        return unknown(
            words("its current is not known, and it has no fuse of its own: measure it or give a claim")
        )
    told = pair(load_a, UNATTENDED_A, "A")
    if above(load_a, UNATTENDED_A):
        return failed(
            told.words("it takes {value} with nobody there, above {limit}, and has no fuse of its own"),
            load_a,
            UNATTENDED_A,
            "A",
        )
    return passed(f"it takes {told.value} with nobody there, within {told.limit}", load_a, UNATTENDED_A, "A")
