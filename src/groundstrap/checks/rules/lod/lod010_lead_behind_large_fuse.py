"""A load whose own lead nobody wrote is not behind a fuse far above what it asks for.

Why
---
What hangs on the cable is often far thinner than the cable. A fault in the device or its lead then burns
behind a fuse that was chosen for the cable or for what the battery can give.

Applies to
----------
New loads and coils of relays without a lead or a fuse of their own in the job, with a known fuse ahead and a
known current. Of several alike each is judged by itself.

Known limits
------------
What it asks for is the least rating of a blade that carries its current in the air of its place; a start may
ask for up to twice that. A maker who allows the fuse, where the job says so, answers for the lead. The lead
of an existing device stands as it was built, and a fuse of 10 A at most is one that the usual lead stands.
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

_NOTE_TIMES: Final = 2.0
_CAUTION_TIMES: Final = 3.0
_USUAL_LEAD_A: Final = 10.0
"""What leads of devices, 0.5 mm2 or more, usually stand; own judgement. [A]"""

RULE = Rule(
    id="LOD010",
    slug="lead-behind-large-fuse",
    topic="its own lead",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=("lead_unwritten", "fuse_ahead_a", "asks_for_a"),
    only_where=("lead_unwritten",),
    sources=(
        "own-judgement, a note above twice what the load asks for, a caution above three times; none to 10 A",
        "common-practice, 80 % of the rating for hours",
    ),
    follows=("PRT001",),
    remedy=(
        words(
            "Look whether its own lead and terminals stand that fuse and write `fitted`, or "
            "fit a small fuse where its lead begins. Where no small fuse at the battery breaks its fault, "
            "a block behind a main fuse and enough cable lets small blades do."
        )
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(*, lead_unwritten: bool, fuse_ahead_a: float | None, asks_for_a: float | None) -> Verdict:
    """Judge one load."""
    if not lead_unwritten:
        return not_applicable("its lead, its fuse or its maker's limit is written, or it was there before")
    if fuse_ahead_a is None or asks_for_a is None:
        return not_applicable("the fuse ahead of it, or what it takes, is not known")
    limit_a = max(_USUAL_LEAD_A, _NOTE_TIMES * asks_for_a)
    if not above(fuse_ahead_a, limit_a):
        told = pair(fuse_ahead_a, limit_a, "A")
        text = f"fuse {told.value} ahead of it is within {told.limit}: twice what it asks for, or 10 A"
        return passed(text, fuse_ahead_a, limit_a, "A")
    told = pair(fuse_ahead_a, limit_a, "A")
    why = words("what usual leads stand") if limit_a == _USUAL_LEAD_A else words("twice what it asks for")
    text = told.words(
        "fuse {value} ahead of it is above {limit}, {why}: its own lead must stand that "
        "fuse, and nobody wrote what it came with",
        why=why,
    )
    level = None if above(fuse_ahead_a, _CAUTION_TIMES * asks_for_a) else Level.NOTE
    return failed(text, fuse_ahead_a, limit_a, "A", level=level)
