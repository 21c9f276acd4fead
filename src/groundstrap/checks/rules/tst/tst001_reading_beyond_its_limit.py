"""A reading lies within what 99.9 % of sound vehicles show.

Why
---
Beyond that it is no chance: a joint is bad, a load is not what its label says, or the reading is wrong.

Applies to
----------
Volts between two points and amps, held against the plan with the spread of every part and the meter; but for
volts at a battery's own posts, which may be empty and sound.

Known limits
------------
One that would fit with the other sign proves nothing else, and one that would fit a thousand times less or
more is asked about (volts written for millivolts). What the readings prove stands as a finding of its own,
and this one then follows from it. It weighs as a stop where it is not explained and loses more than its
circuit may, or carries more than its cable may.
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
    id="TST001",
    slug="reading-beyond-its-limit",
    topic="reading",
    status=Status.STABLE,
    since="0.1",
    about=About.READING,
    level=Level.CAUTION,
    needs=(
        "reading",
        "reading_unit",
        "reads_less",
        "fail_end",
        "fits_turned",
        "meant",
        "weighs",
    ),
    sources=(
        "own-computation, 3.29 standard deviations of a normal distribution hold 99.9 %",
        "own-computation, spread of parts, temperature and meter put together as squares",
    ),
    follows=("TST004", "TST008", "TST005", "TST006"),
    remedy=words("Read it again, then find the cause: `groundstrap locate` says which reading to take next."),
    caution=Caution.DISCONNECT,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    reading: float,
    reading_unit: str,
    reads_less: bool,
    fail_end: float | None,
    fits_turned: bool,
    meant: str,
    weighs: bool,
) -> Verdict:
    """Judge one reading."""
    if fail_end is None:
        return not_applicable("a sound battery may be empty, so its volts alone prove nothing")
    told = pair(reading, fail_end, reading_unit)
    compared = (reading, fail_end, reading_unit)
    beyond = below(reading, fail_end) if reads_less else above(reading, fail_end)
    if not beyond:
        return passed(f"{told.value} read, the limit on that side is {told.limit}", *compared)
    level = Level.STOP if weighs else None
    if fits_turned:
        text = told.words(
            "{value} read, where sound work ends at {limit}; with the other sign it would fit: leads or "
            "clamp were the other way round"
        )
        return failed(text, *compared)
    text = (
        told.words("{value} read, where sound work reads {limit} at least")
        if reads_less
        else told.words("{value} read, where sound work reads {limit} at most")
    )
    if meant:
        text = words("{text}; did you mean {meant}? That would fit", text=text, meant=meant)
    return failed(text, *compared, level=level)
