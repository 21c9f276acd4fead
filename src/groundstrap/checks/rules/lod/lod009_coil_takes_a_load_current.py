"""A relay's coil takes a coil's current.

Why
---
With coil and contact swapped the thin control wires and the dash switch carry what the relay was fitted for;
then a larger fuse is put in, and the switch melts.

Applies to
----------
Coils through which a current was read.

Known limits
------------
A coil inside a module may be pulsed; a clamp that is not zeroed shows tenths of an ampere.
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
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

TIMES: Final = 3.0
"""A cold coil at charging volts takes up to half as much again; three times is no coil; own judgement."""

RULE = Rule(
    id="LOD009",
    slug="coil-takes-a-load-current",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.STOP,
    needs=("coil_read_a", "coil_usual_a"),
    sources=("common-practice, 0.15 to 0.2 A for a relay of 12 V", "own-judgement, three times that"),
    remedy=words(
        "Pull the relay and look which terminals the thick wires are on: they belong on the contact."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(*, coil_read_a: float | None, coil_usual_a: float | None) -> Verdict:
    """Judge one coil."""
    if coil_read_a is None or coil_usual_a is None:
        return not_applicable("no coil of a relay, or no current was read through it")
    limit_a = TIMES * coil_usual_a
    told = pair(coil_read_a, limit_a, "A")
    if above(coil_read_a, limit_a):
        text: str = told.words(
            "{value} were read through its coil, above the {limit} that any such coil takes"
        )
        return failed(
            words("{text}: coil and contact are swapped, or it is shorted", text=text),
            coil_read_a,
            limit_a,
            "A",
        )
    text = f"{told.value} were read through its coil, within the {told.limit} that such a coil may take"
    return passed(text, coil_read_a, limit_a, "A")
