"""Every reading is of something that the job has in its network.

Why
---
It was taken for nothing: no part of the plan says what it should be.

Applies to
----------
Readings of volts and amps, not of temperatures.

Known limits
------------
What is to be taken out, or lies across two points that are one, has no current here.
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
    passed,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="TST007",
    slug="reading-says-nothing",
    topic="reading",
    status=Status.STABLE,
    since="0.1",
    about=About.SHEET,
    level=Level.NOTE,
    needs=(
        "says_nothing",
        "first_silent",
    ),
    sources=("own-judgement, a reading is of something",),
    remedy=words("Read between two points of its circuit: `NAME +`, `NAME -`, `NAME in`, `NAME out`."),
    caution=Caution.NONE,
    never=frozenset({Outcome.UNDETERMINED, Outcome.NOT_APPLICABLE}),
)


def check(
    *,
    says_nothing: int,
    first_silent: str,
) -> Verdict:
    """Judge all readings."""
    if says_nothing:
        text = words(
            "{count} of them are of nothing that the network has, such as {reading}",
            count=says_nothing,
            reading=first_silent,
        )
        return failed(text)
    return passed("each is of something that the network has")
