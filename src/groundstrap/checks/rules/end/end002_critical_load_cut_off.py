"""No critical load cuts off in the days that were run.

Why
---
A bilge pump or a lamp that others steer by is needed most when nobody has charged for long.

Applies to
----------
Critical loads with a lowest voltage that they work from.

Known limits
------------
A load without such a voltage goes on until nothing works at all; write `works` as its maker has it.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import duration, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="END002",
    slug="critical-load-cut-off",
    topic="cut-off",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD_RUN,
    level=Level.STOP,
    needs=(
        "is_critical",
        "is_reckoned",
        "cut_off_h",
        "cut_off_v",
        "run_days_d",
        "cure",
    ),
    only_where=("is_critical",),
    sources=("own-computation, volts at the load over the days that were run",),
    remedy=words("Let other loads cut off before it, charge sooner, or give it a battery of its own."),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_critical: bool,
    is_reckoned: bool,
    cut_off_h: float | None,
    cut_off_v: float | None,
    run_days_d: float,
    cure: str,
) -> Verdict:
    """Judge one load."""
    if not is_critical:
        return not_applicable("it is not critical")
    if not is_reckoned:
        return unknown(words("what it takes is not known, so its volts over the days are not"))
    days = quantity(run_days_d, "d")
    if cut_off_h is None or cut_off_v is None:
        return passed(f"it keeps on for {days}")
    text = words(
        "it is critical and cuts off after {time}, at {volts}",
        time=duration(cut_off_h * 3600.0),
        volts=quantity(cut_off_v, "V"),
    )
    return failed(text, remedy=cure or None)
