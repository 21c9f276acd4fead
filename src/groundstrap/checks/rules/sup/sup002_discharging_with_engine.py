"""With the engine running the batteries are not discharged.

Why
---
Each new load dims the rest, and after an hour of it the engine does not start again.

Applies to
----------
Idling and driving, where an alternator is there, everything on that may run.

Known limits
------------
What runs for a short while and pauses, by its written duty, counts on average: a winch without `duty` counts
as if it never paused. On the drive it is a caution, at idle a note: nobody idles for long with all of it on.
Where a job names no alternator a usual one stands in, and what it can't carry is a note.
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
from groundstrap.words import term, words

__all__ = ["RULE", "check"]

ROUNDING_A: Final = 0.05
"""Below what a clamp can read; own judgement. [A]"""

RULE = Rule(
    id="SUP002",
    slug="discharging-with-engine",
    topic="charging",
    status=Status.STABLE,
    since="0.1",
    about=About.SITUATION,
    level=Level.NOTE,
    needs=(
        "engine_runs",
        "drives",
        "situation",
        "batteries_give_a",
        "batteries_give_least_a",
        "batteries_give_mean_a",
        "alternator_is_assumed",
    ),
    only_where=("engine_runs",),
    sources=("iso-8854, idle output", "own-judgement, caution on the drive and a note at idle"),
    follows=("SUP001",),
    remedy=words("Run fewer loads together, or fit a larger alternator."),
    caution=Caution.NONE,
)


def check(
    *,
    engine_runs: bool,
    drives: bool,
    situation: str,
    batteries_give_a: float | None,
    batteries_give_least_a: float | None,
    batteries_give_mean_a: float | None,
    alternator_is_assumed: bool,
) -> Verdict:
    """Judge one situation."""
    if not engine_runs:
        return not_applicable("the engine does not run, or nothing charges")
    if batteries_give_a is None:
        text = words(
            "what the batteries give while {situation} is not known: give currents and sizes",
            situation=term(situation),
        )
        return unknown(text)
    told = pair(batteries_give_a, ROUNDING_A, "A")
    if above(batteries_give_a, ROUNDING_A):
        if batteries_give_mean_a is not None and not above(batteries_give_mean_a, ROUNDING_A):
            return _paused(situation, told.value, batteries_give_mean_a)
        # What stands in for an alternator that nobody named is no reason for more than a question.
        level = Level.CAUTION if drives and not alternator_is_assumed else None
        if batteries_give_least_a is not None and not above(batteries_give_least_a, ROUNDING_A):
            text = told.words(
                "with everything on the batteries give {value} while {situation} (up to {limit} is as good "
                "as none), if the alternator is a usual one: read its rating off it",
                situation=term(situation),
            )
            hangs_on = ("batteries_give_least_a",)
            return unknown(text, batteries_give_a, ROUNDING_A, "A", level=level, hangs_on=hangs_on)
        text = told.words(
            "with everything on the loads take more than the alternator gives: {value} come out of the "
            "batteries while {situation}; up to {limit} is as good as none",
            situation=term(situation),
        )
        return failed(text, batteries_give_a, ROUNDING_A, "A", level=level)
    said = f"with everything on {told.value} leave the batteries while {situation}, within {told.limit}"
    return passed(said, batteries_give_a, ROUNDING_A, "A")


def _paused(situation: str, given: str, mean_a: float) -> Verdict:
    """A winch takes from the battery what the alternator puts back while it pauses."""
    told = pair(mean_a, ROUNDING_A, "A")
    text = told.words(
        "{given} leave the batteries for short runs while {situation}, and {value} on average, "
        "within {limit}",
        given=given,
        situation=situation,
    )
    return passed(text, mean_a, ROUNDING_A, "A")
