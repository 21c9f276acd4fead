"""All readings together fit a sound vehicle, or one with what they prove.

Why
---
Many readings that are each a little off say as much as one that is far off; and readings that no one fault
explains hide a second one, or were not taken as they are written.

Applies to
----------
Jobs with readings of which some were held against the plan.

Known limits
------------
Loads that ran and are not written under `using` look the same, and so does a battery that sagged between two
readings.
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
    below,
    failed,
    not_applicable,
    passed,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

UNFIT_PCT = 0.1
"""Chance of sound readings, below which they do not fit: a sheet fails beyond 99.9 %. [%]"""

RULE = Rule(
    id="TST003",
    slug="readings-do-not-fit-together",
    topic="readings together",
    status=Status.STABLE,
    since="0.1",
    about=About.SHEET,
    level=Level.CAUTION,
    needs=(
        "readings_held",
        "proves_something",
        "fit_pct",
    ),
    only_where=("readings_held",),
    sources=(
        "own-computation, chi-square of all readings with what is known before, beyond 99.9 %",
        "own-judgement, a sheet is judged as a whole beside its readings",
    ),
    remedy=words(
        "See that `when` and `using` are what ran, take those farthest off again, and let "
        "`groundstrap locate` say what to read next."
    ),
    caution=Caution.NONE,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    readings_held: int,
    proves_something: bool,
    fit_pct: float,
) -> Verdict:
    """Judge all readings."""
    if not readings_held:
        return not_applicable("nothing was held against the plan")
    told = pair(fit_pct, UNFIT_PCT, "%")
    compared = (fit_pct, UNFIT_PCT, "%")
    if not below(fit_pct, UNFIT_PCT):
        return passed(f"they fit: {told.value} of sound sheets fit less, {told.limit} would do", *compared)
    if proves_something:
        text = told.words(
            "what the readings prove does not explain all {count} of them: {value} of sheets would fit less, "
            "below {limit}",
            count=readings_held,
        )
    else:
        text = told.words(
            "all {count} readings together fit no sound vehicle, and no single fault: {value} of sound "
            "sheets would fit less, below {limit}",
            count=readings_held,
        )
    return failed(text, *compared)
