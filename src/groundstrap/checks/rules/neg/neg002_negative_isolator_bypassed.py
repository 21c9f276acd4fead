"""Nothing comes to a battery negative past the isolator that opens it.

Why
---
With it open the battery still feeds whatever comes back past it, and whoever works there takes it for dead.

Applies to
----------
Isolators and switches in the negative of a battery.

Known limits
------------
Negatives that nobody drew are not seen. A bilge pump that is meant to stay live has its own return: answer
for it in a waiver.
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
    id="NEG002",
    slug="negative-isolator-bypassed",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "opens_negative",
        "ways_past",
    ),
    only_where=("opens_negative",),
    sources=("own-judgement, an isolator isolates",),
    follows=("SUP004",),
    remedy=words("Bring these negatives to the other side of the isolator."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    opens_negative: bool,
    ways_past: str,
) -> Verdict:
    """Judge one part."""
    if not opens_negative:
        return not_applicable("it opens no negative of a battery")
    if ways_past:
        return failed(words("{ways_past} come to the battery's negative past it", ways_past=ways_past))
    return passed("nothing that is drawn comes to the battery's negative past it")
