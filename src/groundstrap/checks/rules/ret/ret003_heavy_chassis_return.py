"""No heavy load returns through the body unmeasured.

Why
---
Spot welds, paint and rust make the body's resistance anyone's guess, and the sensors of the maker share it.

Applies to
----------
New circuits whose way back ends on the body.

Known limits
------------
A starter is left out: its way back through the engine is the maker's. 30 A is own judgement; a sound body
carries more.
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

HEAVY_A: Final = 30.0
"""Own judgement. [A]"""

RULE = Rule(
    id="RET003",
    slug="heavy-chassis-return",
    topic="current in the body",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.CAUTION,
    needs=("returns_by_body", "only_cranks", "is_existing", "load_a", "known_load_a"),
    only_where=("returns_by_body",),
    sources=("own-judgement, 30 A through spot welds and paint that nobody measured",),
    follows=("BOA001", "NEG001"),
    remedy=(
        words(
            "Lay a cable back to the battery's side, or measure the millivolts of the body "
            "under load and write them as a reading."
        )
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    returns_by_body: bool,
    only_cranks: bool,
    is_existing: bool,
    load_a: float | None,
    known_load_a: float | None,
) -> Verdict:
    """Judge one circuit."""
    if not returns_by_body or only_cranks or is_existing:
        return not_applicable("it is no new circuit that returns through the body")
    if load_a is None and surely_above(known_load_a, HEAVY_A):
        load_a = known_load_a
    if load_a is None:
        return unknown(words("its current is not known: measure it or give a claim"))
    told = pair(load_a, HEAVY_A, "A")
    if above(load_a, HEAVY_A):
        return failed(told.words("{value} return through the body, above {limit}"), load_a, HEAVY_A, "A")
    return passed(f"{told.value} return through the body, within {told.limit}", load_a, HEAVY_A, "A")
