"""With the engine on, the alternator carries what runs.

Why
---
An engine that idles gives half of its alternator's rating, hot less; beacons, heater and pumps take more, and
the battery that starts it next is emptied while everybody thinks that it charges.

Applies to
----------
Spans with the engine on.

Known limits
------------
A short peak in a span does not count, its mean does.
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
from groundstrap.checks.words import duration, pair
from groundstrap.words import term, words

__all__ = ["RULE", "check"]

NOTHING_A: Final = 0.5
"""What batteries may add and still be called charged; own judgement. [A]"""

RULE = Rule(
    id="END008",
    slug="alternator-cannot-carry-span",
    topic="alternator",
    status=Status.STABLE,
    since="0.1",
    about=About.SPAN_RUN,
    level=Level.CAUTION,
    needs=(
        "engine_is_on",
        "span_situation",
        "span_h",
        "short_a",
    ),
    only_where=("engine_is_on",),
    sources=(
        "own-computation, current of alternator and batteries over the span",
        "own-judgement, half an ampere is none",
    ),
    remedy=words(
        "Let fewer loads run while it idles, idle it faster where the vehicle can, or take a larger "
        "alternator."
    ),
    caution=Caution.NONE,
)


def check(
    *,
    engine_is_on: bool,
    span_situation: str,
    span_h: float,
    short_a: float | None,
) -> Verdict:
    """Judge one span."""
    if not engine_is_on:
        return not_applicable("the engine is off")
    if short_a is None:
        return unknown(words("what the alternator gives in it is not known"), level=Level.NOTE)
    told = pair(short_a, NOTHING_A, "A")
    compared = (short_a, NOTHING_A, "A")
    if above(short_a, NOTHING_A):
        text = told.words(
            "{situation} for {time} the alternator alone is not enough: batteries add {value} on average; "
            "up to {limit} is as good as none",
            situation=term(span_situation),
            time=duration(span_h * 3600.0),
        )
        return failed(text, *compared)
    return passed(f"batteries add {told.value}, not above {told.limit}", *compared)
