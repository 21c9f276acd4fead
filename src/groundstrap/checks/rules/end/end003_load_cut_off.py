"""No load cuts off in the days that were run.

Why
---
What cuts off has stopped cooling, heating or watching, and comes back when something charges.

Applies to
----------
Loads with a lowest voltage that they work from, critical ones apart.

Known limits
------------
A load that comes and goes at its limit is told by another rule.
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
    id="END003",
    slug="load-cut-off",
    topic="cut-off",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD_RUN,
    level=Level.CAUTION,
    needs=(
        "is_critical",
        "is_reckoned",
        "cut_off_h",
        "cut_off_v",
        "cycles_an_hour",
        "run_days_d",
        "cure",
    ),
    sources=("own-computation, volts at the load over the days that were run",),
    remedy=words("Charge sooner or longer, let it run less, or take a larger battery."),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_critical: bool,
    is_reckoned: bool,
    cut_off_h: float | None,
    cut_off_v: float | None,
    cycles_an_hour: float | None,
    run_days_d: float,
    cure: str,
) -> Verdict:
    """Judge one load."""
    if is_critical or cycles_an_hour is not None:
        return not_applicable("it is critical, or it comes and goes: other rules tell that")
    if not is_reckoned:
        return unknown(
            words("what it takes is not known, so its volts over the days are not"), level=Level.NOTE
        )
    if cut_off_h is None or cut_off_v is None:
        return passed(f"it keeps on for {quantity(run_days_d, 'd')}")
    text = words(
        "it cuts off after {time}, at {volts}",
        time=duration(cut_off_h * 3600.0),
        volts=quantity(cut_off_v, "V"),
    )
    return failed(text, remedy=cure or None)
