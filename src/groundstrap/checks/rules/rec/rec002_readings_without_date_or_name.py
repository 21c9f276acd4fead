"""Readings say when and by whom they were taken.

Why
---
A year later nobody can tell whether a drop has grown, or ask the one who measured it.

Applies to
----------
Jobs with readings.

Known limits
------------
Any name of the record with date in it counts, and any that ends in by.
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
from groundstrap.words import joined, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="REC002",
    slug="readings-without-date-or-name",
    status=Status.STABLE,
    since="0.1",
    about=About.RECORD,
    level=Level.NOTE,
    needs=(
        "readings",
        "says_when",
        "says_by_whom",
    ),
    sources=("own-judgement, a record protects whoever made it",),
    remedy=words("Write `date` and `by` beside the readings, or under `about`."),
    caution=Caution.NONE,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    readings: int,
    says_when: bool,
    says_by_whom: bool,
) -> Verdict:
    """Judge one record."""
    if readings == 0:
        return not_applicable("no readings are written")
    missing = [word for word, there in (("date", says_when), ("by", says_by_whom)) if not there]
    if missing:
        return failed(
            words(
                "{readings} readings are written, and neither beside them nor under about any {missing}",
                readings=readings,
                missing=joined(words(" or "), missing),
            )
        )
    return passed("the readings have a date and a name")
