"""No reading stands alone against all others.

Why
---
Leads on the wrong point, a range or a sign misread: mending what it seems to show costs hours and cures
nothing.

Applies to
----------
Readings without which the others fit, where no place and no thing explains them all as well.

Known limits
------------
What failed for a moment only, while that one was read, looks the same.
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
from groundstrap.checks.words import quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="TST006",
    slug="reading-itself-wrong",
    topic="reading",
    status=Status.STABLE,
    since="0.1",
    about=About.PROOF,
    level=Level.CAUTION,
    needs=(
        "is_slip",
        "slip_text",
        "size_times",
    ),
    only_where=("is_slip",),
    sources=(
        "own-computation, largest normalised residual of all readings with what is known before",
        "own-judgement, a reading that is wrong is read again before anything is mended",
    ),
    remedy=words(
        "Read it again: both points, the sign, the unit and the range, with the same loads running."
    ),
    caution=Caution.NONE,
    never=frozenset({Outcome.UNDETERMINED, Outcome.PASS}),
)


def check(
    *,
    is_slip: bool,
    slip_text: str,
    size_times: float,
) -> Verdict:
    """Judge one reading."""
    if not is_slip:
        return not_applicable("it is a place or a thing that is off")
    unit = "A" if slip_text.rstrip().endswith("A") else "V"
    text = words(
        "{reading} alone does not fit all the others, by {off}, and no fault explains them with it",
        reading=slip_text,
        off=quantity(size_times, unit),
    )
    return failed(text)
