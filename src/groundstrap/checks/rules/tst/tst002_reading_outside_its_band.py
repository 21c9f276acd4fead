"""A reading lies within what 95 % of sound vehicles show.

Why
---
One reading of sound work in twenty lies outside by chance; a joint that has begun to go does so too. A second
look tells one from the other.

Applies to
----------
Volts between two points and amps, held against the plan, that do not lie beyond their 99.9 % limit.

Known limits
------------
Of a sheet of forty readings two stand here with nothing wrong.
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
    above,
    below,
    failed,
    not_applicable,
    passed,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="TST002",
    slug="reading-outside-its-band",
    topic="reading",
    status=Status.STABLE,
    since="0.1",
    about=About.READING,
    level=Level.NOTE,
    needs=(
        "reading",
        "reading_unit",
        "reads_less",
        "look_end",
        "fail_end",
    ),
    sources=(
        "jcgm-100, table G.1: 1.96 standard deviations hold 95 %",
        "own-computation, spread of parts, temperature and meter put together as squares",
    ),
    follows=("TST004", "TST008", "TST005", "TST006"),
    remedy=words("Look again: read it once more, with the leads on bare metal and the same loads running."),
    caution=Caution.NONE,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    reading: float,
    reading_unit: str,
    reads_less: bool,
    look_end: float,
    fail_end: float | None,
) -> Verdict:
    """Judge one reading."""
    outside = below if reads_less else above
    if fail_end is not None and outside(reading, fail_end):
        return not_applicable("it lies beyond the limit, not only outside the band")
    told = pair(reading, look_end, reading_unit)
    compared = (reading, look_end, reading_unit)
    if not outside(reading, look_end):
        return passed(f"{told.value} read, the band ends at {told.limit}", *compared)
    text = (
        told.words("{value} read, where nineteen in twenty sound ones read {limit} at least")
        if reads_less
        else told.words("{value} read, where nineteen in twenty sound ones read {limit} at most")
    )
    return failed(text, *compared)
