"""Some circuit leads to each load.

Why
---
What nothing feeds is judged by nothing: its current is missing in every sum.

Applies to
----------
Loads that are listed.

Known limits
------------
A load that is in the vehicle already may hang on what nobody drew.
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
    id="REC004",
    slug="load-without-circuit",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=(
        "is_coil",
        "is_fed",
        "is_existing",
    ),
    sources=("own-judgement, what is listed is drawn",),
    remedy=words("Draw its circuit, or take it off the list."),
    caution=Caution.NONE,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    is_coil: bool,
    is_fed: bool,
    is_existing: bool,
) -> Verdict:
    """Judge one load."""
    if is_coil:
        return not_applicable("it is a relay's coil")
    if is_fed:
        return passed("a circuit leads to it")
    text = words("no circuit leads to it: its current is in no sum")
    return failed(text, level=Level.NOTE if is_existing else None)
