"""What draws with everything off leaves the battery half of its charge for two weeks.

Why
---
A tenth of an ampere is 2.4 Ah a day: after a holiday the engine does not turn.

Applies to
----------
Batteries with a draw at rest that is written: that of the vehicle, or that of sleeping loads that neither
hand nor key parts.

Known limits
------------
Loads behind a converter are not counted. Cold and age take more; the endurance run tells it day by day.
"""

from __future__ import annotations

from typing import Final

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    above,
    below,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

LEAST_D: Final = 14.0
"""A holiday; own judgement. [d]"""
USUAL_A: Final = 0.05
"""What vehicles usually draw at rest; common practice. [A]"""

RULE = Rule(
    id="SUP019",
    slug="sleepers-flatten-battery",
    topic="draw at rest",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "sleepers_a",
        "days_to_half_d",
    ),
    sources=(
        "own-judgement, two weeks to half of the charge",
        "common-practice, a battery is not left below half",
    ),
    remedy=words(
        "Put the sleepers behind a switch or the ignition, keep a small charger on it, "
        "or take a larger battery."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    sleepers_a: float | None,
    days_to_half_d: float | None,
) -> Verdict:
    """Judge one supply."""
    if sleepers_a is None or not above(sleepers_a, 0.0):
        return not_applicable("no draw at rest is written")
    drawn = quantity(sleepers_a, "A")
    if days_to_half_d is None and not above(sleepers_a, USUAL_A):
        return not_applicable(f"{drawn} drawn at rest are usual of a vehicle")
    if days_to_half_d is None:
        return unknown(
            words("{drawn} are drawn with everything off: give its capacity", drawn=drawn), level=Level.NOTE
        )
    told = pair(days_to_half_d, LEAST_D, "d")
    if below(days_to_half_d, LEAST_D):
        text = told.words(
            "{drawn} drawn at rest take half of its charge in {value}, below {limit}", drawn=drawn
        )
        return failed(text, days_to_half_d, LEAST_D, "d")
    return passed(
        f"{drawn} drawn at rest take half of its charge in {told.value}, not below {told.limit}",
        days_to_half_d,
        LEAST_D,
        "d",
    )
