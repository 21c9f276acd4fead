"""What a load takes is known.

Why
---
Fuse, wire and drop of everything ahead of it hang on it.

Applies to
----------
Every load.

Known limits
------------
A claim alone counts as known; whether it is true is another rule's.
"""

from __future__ import annotations

from groundstrap.checks.rule import About, Caution, Level, Outcome, Rule, Status, Verdict, passed, unknown
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="LOD006",
    slug="load-unknown",
    topic="load",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=("is_known",),
    sources=("own-judgement, what nobody knows is not guessed",),
    remedy=words("Clamp it, or measure the millivolts over its fuse, while it works hardest."),
    caution=Caution.NONE,
    never=frozenset({Outcome.FAIL, Outcome.NOT_APPLICABLE}),
)


def check(
    *,
    is_known: bool | None,
) -> Verdict:
    """Judge one load."""
    if is_known is None:
        return unknown(
            words("nothing says what it takes: give a claim, or measure its current while it runs")
        )
    return passed("its current is known")
