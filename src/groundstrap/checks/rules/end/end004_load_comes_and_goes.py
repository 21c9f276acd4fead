"""No load comes and goes at the volts that it cuts off at.

Why
---
Off, the battery's volts rise and it comes back; on, they fall and it is off again: contacts, compressors and
motors wear out in nights that way, and the battery is emptied all the same.

Applies to
----------
Loads that cut off in the run and come back by themselves.

Known limits
------------
How far its volts must rise before it comes back is `restart`; where that is not written, it comes back only
when something charges.
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
from groundstrap.checks.words import duration, number, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="END004",
    slug="load-comes-and-goes",
    topic="cycling",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD_RUN,
    level=Level.CAUTION,
    needs=(
        "cut_off_h",
        "cycles_an_hour",
        "on_pct",
    ),
    never=frozenset({Outcome.UNDETERMINED}),
    sources=("own-computation, volts at the load over the days that were run",),
    remedy=words(
        "Give it a thicker cable, a `restart` well above its cut-out, or a cut-off that stays off until it "
        "charges."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    cut_off_h: float | None,
    cycles_an_hour: float | None,
    on_pct: float | None,
) -> Verdict:
    """Judge one load."""
    if cut_off_h is None:
        return not_applicable("it does not cut off")
    if cycles_an_hour is None:
        return passed("it cuts off and stays off")
    text = words(
        "from {time} on it comes and goes {times} times an hour, and runs {share} of the time",
        time=duration(cut_off_h * 3600.0),
        times=number(cycles_an_hour),
        share=words("some part") if on_pct is None else quantity(on_pct, "%"),
    )
    return failed(text)
