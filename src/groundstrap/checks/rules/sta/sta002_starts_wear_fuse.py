"""A fuse stands the starts behind it as often as they come.

Why
---
Each start bends and warms the element a little. After thousands of them it parts on a current that it held
for years, and nobody finds a fault. Runs that follow each other too soon find it warm.

Applies to
----------
Every fuse and breaker of known rating before a load of which somebody wrote `inrush`, or a duty with run and
period.

Known limits
------------
The element is one body; its melting integral is tabled for few ratings, for the others it is the least that
the gates allow. Life is 3,000 h of use, or 10,000 starts where no duty is written.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Level,
    Rule,
    Status,
    Verdict,
    above,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="STA002",
    slug="starts-wear-fuse",
    topic="wear of a fuse by starts",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.NOTE,
    needs=(
        "has_pulses",
        "pulses_of",
        "pulse_swing_pct",
        "pulse_limit_pct",
        "pulses_in_life",
        "cycling_pct",
    ),
    sources=("maker-fuse-data, pulse cycles", "own-judgement, life of 3,000 h or 10,000 starts"),
    follows=("STA001", "PRT002"),
    remedy=words("Fit a slower type or the next rating where wires allow it, or keep a spare of it at hand."),
)

_MELTS_PCT = 100.0


def check(
    *,
    has_pulses: bool,
    pulses_of: str,
    pulse_swing_pct: float | None,
    pulse_limit_pct: float | None,
    pulses_in_life: float | None,
    cycling_pct: float | None,
) -> Verdict:
    """Judge one fuse."""
    if cycling_pct is not None and above(cycling_pct, _MELTS_PCT):
        warm = pair(cycling_pct, _MELTS_PCT, "%")
        text = warm.words(
            "run after run warms it to {value} of what melts it, and {limit} is the end: it opens one day "
            "with no fault"
        )
        return failed(text, cycling_pct, _MELTS_PCT, "%", level=Level.CAUTION)
    if not has_pulses or pulse_swing_pct is None or pulses_in_life is None:
        return not_applicable("nobody wrote how a load behind it starts, or how often")
    often = words("{pulses_in_life} starts", pulses_in_life=f"{pulses_in_life:.0f}")
    if pulse_limit_pct is None:
        return unknown(
            words(
                "each start of {pulses_of} adds {pulse_swing_pct} of what melts it; what it "
                "stands for {often} nobody tables",
                pulses_of=pulses_of,
                pulse_swing_pct=quantity(pulse_swing_pct, "%"),
                often=often,
            )
        )
    told = pair(pulse_swing_pct, pulse_limit_pct, "%")
    text = told.words(
        "each start of {pulses_of} adds {value} of what melts it; it stands {limit} for {often}",
        pulses_of=pulses_of,
        often=often,
    )
    if above(pulse_swing_pct, pulse_limit_pct):
        return failed(text, pulse_swing_pct, pulse_limit_pct, "%")
    return passed(text, pulse_swing_pct, pulse_limit_pct, "%")
