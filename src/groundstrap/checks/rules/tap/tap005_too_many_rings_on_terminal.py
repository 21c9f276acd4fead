"""A load's terminal holds no more rings than it may.

Why
---
A starter's post that a dozen wires share works loose, and each of them begins there without a fuse.

Applies to
----------
Loads that cable comes to.

Known limits
------------
Rings that are not drawn do not count.
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
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="TAP005",
    slug="too-many-rings-on-terminal",
    topic="rings",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=(
        "is_coil",
        "rings_on_terminal",
        "most_rings",
    ),
    sources=(
        "abyc-e11, four terminals on a stud",
        "own-judgement, the same on the road",
    ),
    remedy=words("Bring one heavy cable to a distribution block, with a fuse for each circuit there."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    is_coil: bool,
    rings_on_terminal: int,
    most_rings: int,
) -> Verdict:
    """Judge one load."""
    if is_coil or rings_on_terminal == 0:
        return not_applicable("it is a coil, or no cable is drawn to it")
    told = pair(rings_on_terminal, most_rings, "rings")
    if rings_on_terminal > most_rings:
        text: str = told.words("{value} come to one terminal, above {limit}")
        return failed(text, rings_on_terminal, most_rings, "rings")
    text = f"{told.value} come to one terminal, within {told.limit}"
    return passed(text, rings_on_terminal, most_rings, "rings")
