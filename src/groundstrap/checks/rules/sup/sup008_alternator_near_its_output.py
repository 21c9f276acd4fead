"""What runs on the drive for hours takes no more than 80 % of what the alternators give.

Why
---
A machine that gives all it has never fills a battery, runs hot and wears out; a fifth is left to charge with.

Applies to
----------
Driving, where an alternator is there: everything on that may run, by its duty, and the vehicle's own draw.

Known limits
------------
A rule of thumb by its own source, and no load analysis; written for aircraft. A voltmeter or ammeter that
somebody watches lifts it. The written rating counts: where the engine turns slower at work, write what the
alternator gives there.
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
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

SHARE: Final = 0.80
"""Of the output at the working speed, unless it is watched: faa-ac-43-13-1b, paragraph 11-35. [1]"""

RULE = Rule(
    id="SUP008",
    slug="alternator-near-its-output",
    topic="load of hours",
    status=Status.STABLE,
    since="0.1",
    about=About.SITUATION,
    level=Level.NOTE,
    needs=("engine_runs", "drives", "lasting_load_a", "alternators_give_a"),
    sources=("faa-ac-43-13-1b, paragraph 11-35", "own-judgement, on the road and on boats too"),
    follows=("SUP002",),
    remedy=words(
        "Run less at a time, fit a larger alternator, or a voltmeter where it is seen, and waive this."
    ),
    caution=Caution.NONE,
)


def check(
    *, engine_runs: bool, drives: bool, lasting_load_a: float | None, alternators_give_a: float | None
) -> Verdict:
    """Judge one situation."""
    if not (engine_runs and drives):
        return not_applicable("it is not the drive, or nothing charges")
    if alternators_give_a is None:
        # The rule on overloaded supplies asks for it where it matters.
        return not_applicable("nobody wrote what the alternator gives")
    if lasting_load_a is None:
        return unknown(words("what runs for hours is not known: give currents and sizes"))
    told = pair(lasting_load_a, SHARE * alternators_give_a, "A")
    if above(lasting_load_a, SHARE * alternators_give_a):
        text = told.words("{value} run for hours, above {limit}, 80 % of what the alternators give")
        return failed(text, lasting_load_a, SHARE * alternators_give_a, "A")
    return passed(
        f"{told.value} run for hours, within {told.limit}, 80 % of what the alternators give",
        lasting_load_a,
        SHARE * alternators_give_a,
        "A",
    )
