"""No battery is taken lower than its kind lives long with.

Why
---
A lead battery that goes below half day by day lasts some hundred of them; one that stays in its upper half
lasts several times as long.

Applies to
----------
All batteries.

Known limits
------------
One deep night does little. Batteries made to be taken low stand more; their makers say how much.
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
    passed,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="END009",
    slug="taken-below-long-life",
    topic="depth",
    status=Status.STABLE,
    since="0.1",
    about=About.BATTERY_RUN,
    level=Level.NOTE,
    needs=(
        "is_lfp",
        "lowest_state_pct",
        "least_state_pct",
    ),
    never=frozenset({Outcome.UNDETERMINED, Outcome.NOT_APPLICABLE}),
    sources=("common-practice, lead is not left below half, lithium iron phosphate not below a fifth",),
    remedy=words("Charge sooner, let loads run less, or take a larger battery."),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_lfp: bool,
    lowest_state_pct: float,
    least_state_pct: float,
) -> Verdict:
    """Judge one battery."""
    kind = words("lithium iron phosphate") if is_lfp else words("a lead battery")
    told = pair(lowest_state_pct, least_state_pct, "%")
    compared = (lowest_state_pct, least_state_pct, "%")
    if below(lowest_state_pct, least_state_pct):
        text = told.words("it is taken to {value}, below {limit} that {kind} lives long with", kind=kind)
        return failed(text, *compared)
    return passed(f"it is taken to {told.value}, not below {told.limit}", *compared)
