"""Batteries in series are one entry, so that their volts add up to those of the job.

Why
---
Each battery of a job has the volts of the job. Two joined minus to plus give twice as much to whatever hangs
across both: every current and drop behind them is wrong on paper, or every device burns on the vehicle.

Applies to
----------
Batteries beside another one.

Known limits
------------
A switch that puts two batteries in series for a start alone counts as closed.
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
from groundstrap.checks.words import quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP024",
    slug="batteries-in-series",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.STOP,
    needs=("beside_batteries", "in_series_with", "single_v", "together_v"),
    only_where=("beside_batteries",),
    sources=("common-practice, volts of batteries in series add up",),
    remedy=words(
        "Write what is in series as one battery with `bank: 2 in series`; the middle of it is `NAME 1 +`. "
        "Else join plus to plus and minus to minus."
    ),
    caution=Caution.DISCONNECT,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    beside_batteries: bool,
    in_series_with: str,
    single_v: float,
    together_v: float,
) -> Verdict:
    """Judge one supply."""
    if not beside_batteries:
        return not_applicable("it is no battery, or the only one")
    if not in_series_with:
        return passed("its minus leads to no other battery's plus")
    return failed(
        words(
            "its minus is joined to the plus of {other}: each goes by {one}, so both give {both} together",
            other=in_series_with,
            one=quantity(single_v, "V"),
            both=quantity(together_v, "V"),
        )
    )
