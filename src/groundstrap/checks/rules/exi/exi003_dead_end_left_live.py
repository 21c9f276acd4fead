"""No end that leads nowhere stays live.

Why
---
A bare end behind a panel waits for the next screw.

Applies to
----------
Circuits to be taken out, and those with an end that nobody found.

Known limits
------------
A wire whose feed is not drawn may be live from anywhere: measure it.
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
    passed,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

LIVE_V: Final = 1.0
"""Own judgement. [V]"""

RULE = Rule(
    id="EXI003",
    slug="dead-end-left-live",
    topic="dead end",
    status=Status.STABLE,
    since="0.1",
    about=About.LEFTOVER,
    level=Level.CAUTION,
    needs=("is_removed", "live_v"),
    sources=("own-judgement, a live end that leads nowhere is capped or taken out",),
    remedy=words("Take it out back to its fuse, or cap and tie both ends, and write down where they lie."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.NOT_APPLICABLE}),
)


def check(
    *,
    is_removed: bool,
    live_v: float | None,
) -> Verdict:
    """Judge one leftover."""
    what = words("it is to be taken out") if is_removed else words("one end of it was not found")
    if live_v is None:
        return unknown(
            words(
                "{what}, and whether it is live is not known: measure its volts in every position of the key",
                what=what,
            )
        )
    told = pair(live_v, LIVE_V, "V")
    if above(live_v, LIVE_V):
        return failed(
            told.words(
                "{what}, and it is live: {value} stand on it; up to {limit} counts as dead", what=what
            ),
            live_v,
            LIVE_V,
            "V",
        )
    return passed(f"{what}; {told.value} stand on it, within {told.limit}", live_v, LIVE_V, "V")
