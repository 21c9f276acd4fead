"""No place is open by the readings, with what it feeds switched on.

Why
---
What nothing passes is dead: a blown fuse, a crimp that has come off, a switch that no longer closes. A
fuse has blown for a cause, and a larger one finds none.

Applies to
----------
Places that the readings prove to be open, where no resistance explains them.

Known limits
------------
What does nothing because nobody switched it on looks the same. Two open places in one circuit are one.
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
)
from groundstrap.checks.words import borne_out
from groundstrap.words import words

__all__ = ["RULE", "check"]

_REMEDIES = {
    "fuse with its holder": words(
        "Pull it: where it has blown, find out why before another of its rating goes in; where it is whole, "
        "look at legs and springs."
    ),
    "switch or relay": words("See that it closes, and that its coil has power; then read across it again."),
}

RULE = Rule(
    id="TST008",
    slug="place-open",
    topic="open place by the readings",
    status=Status.STABLE,
    since="0.1",
    about=About.PROOF,
    level=Level.CAUTION,
    needs=(
        "is_open",
        "place_kind",
        "as_well",
        "one_reading",
    ),
    only_where=("is_open",),
    sources=(
        "own-computation, least squares on the network with what is known of each part before",
        "own-judgement, what the readings prove is told",
    ),
    remedy=words("Find where it is off between its two points, mend it, and read again."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED, Outcome.PASS}),
)


def check(
    *,
    is_open: bool,
    place_kind: str,
    as_well: str,
    one_reading: str,
) -> Verdict:
    """Judge one place."""
    if not is_open:
        return not_applicable("something passes it")
    text = words("by the readings nothing passes it")
    text = borne_out(text, as_well=as_well, one_reading=one_reading)
    return failed(text, remedy=_REMEDIES.get(place_kind))
