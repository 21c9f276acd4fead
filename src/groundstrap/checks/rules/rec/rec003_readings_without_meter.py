"""Each reading names the meter that took it.

Why
---
Without it nobody knows whether the last digit means anything: a clamp at 0.4 A may be out by half of it.

Applies to
----------
Jobs with readings.

Known limits
------------
A meter that is named for the whole set counts for each of its readings.
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
    id="REC003",
    slug="readings-without-meter",
    status=Status.STABLE,
    since="0.1",
    about=About.RECORD,
    level=Level.NOTE,
    needs=(
        "readings",
        "without_meter",
    ),
    sources=("own-judgement, a reading has a meter",),
    remedy=words("Write `meter` beside `when`: basic, handheld, bench, or what its leaflet says."),
    caution=Caution.NONE,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    readings: int,
    without_meter: int,
) -> Verdict:
    """Judge one record."""
    if readings == 0:
        return not_applicable("no readings are written")
    if without_meter:
        return failed(
            words(
                "{without_meter} of {readings} readings name no meter",
                without_meter=without_meter,
                readings=readings,
            )
        )
    return passed("each reading names its meter")
