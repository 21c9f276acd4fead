"""Nothing new begins at a block or circuit whose name tells of safety.

Why
---
Airbags, brakes, steering and the engine computer measure their own feeds; what is added there can set them
off, blind them or put them out.

Applies to
----------
New circuits that begin at an existing block, or within an existing circuit.

Known limits
------------
Reads names: of the block, of the circuit, of the loads on it. A slot has no name here.
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
    id="EXI004",
    slug="safety-circuit-tapped",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=(
        "begins_on_existing",
        "safety_purpose",
    ),
    only_where=("begins_on_existing",),
    sources=(
        "own-judgement, nothing is added to a circuit for safety",
        "common-practice, airbag and brake circuits are not tapped",
    ),
    remedy=words("Take the feed from a circuit that is not for safety, or from the battery."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
    follows=("EXI001",),
)


def check(
    *,
    begins_on_existing: bool,
    safety_purpose: str,
) -> Verdict:
    """Judge one circuit."""
    if not begins_on_existing:
        return not_applicable("it begins at nothing that is in the vehicle already")
    if safety_purpose:
        return failed(
            words("it begins at {safety_purpose}, which is for safety", safety_purpose=safety_purpose)
        )
    return passed("nothing in the names where it begins tells of safety")
