"""A day brings a battery back to where it began.

Why
---
A little less every day is a flat battery at the end of the week, with nothing broken; and a lead battery that
is never full loses room for good.

Applies to
----------
Batteries that something in the day charges.

Known limits
------------
Nobody knows the weather. A share that a day of driving more would bring back is told all the same.
"""

from __future__ import annotations

from typing import Final

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Outcome,
    Rule,
    Status,
    Verdict,
    above,
    failed,
    not_applicable,
    passed,
)
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

EVEN_PCT: Final = 1.0
"""Share of the capacity that a day may take and still be called even; own judgement. [%]"""

RULE = Rule(
    id="END005",
    slug="day-takes-more-than-it-brings",
    topic="daily balance",
    status=Status.STABLE,
    since="0.1",
    about=About.BATTERY_RUN,
    level=Level.CAUTION,
    needs=(
        "is_charged_daily",
        "sinks_pct",
        "sinks_ah",
        "cure",
    ),
    only_where=("is_charged_daily",),
    never=frozenset({Outcome.UNDETERMINED}),
    sources=(
        "own-computation, charge over the days that were run",
        "own-judgement, a hundredth of the capacity a day is even",
    ),
    remedy=words("Charge longer or with more, or let loads run less."),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_charged_daily: bool,
    sinks_pct: float,
    sinks_ah: float,
    cure: str,
) -> Verdict:
    """Judge one battery."""
    if not is_charged_daily:
        return not_applicable("nothing in the day charges it")
    told = pair(sinks_pct, EVEN_PCT, "%")
    compared = (sinks_pct, EVEN_PCT, "%")
    if above(sinks_pct, EVEN_PCT):
        text = told.words(
            "each day takes {amount} more than it brings: {value} of its capacity, above {limit}",
            amount=quantity(sinks_ah, "Ah"),
        )
        return failed(text, *compared, remedy=cure or None)
    return passed(f"a day takes {told.value} of its capacity, not above {told.limit}", *compared)
