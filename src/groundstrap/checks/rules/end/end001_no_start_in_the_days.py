"""The engine starts on every morning of the days that were run.

Why
---
A battery that lights a lamp for days may not turn a cold engine once: in the cold it holds less while the
engine asks more.

Applies to
----------
Batteries that an engine is started from: at the beginning of every span with the engine on that follows a
rest, and on the morning after the last day.

Known limits
------------
What the engine asks is that of one good starter with the oil that is usual; a glow plug, a worn starter or
the wrong oil ask more. Age of the battery counts as it is written or assumed.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    below,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="END001",
    slug="no-start-in-the-days",
    topic="start",
    status=Status.STABLE,
    since="0.1",
    about=About.BATTERY_RUN,
    level=Level.CAUTION,
    needs=(
        "has_start",
        "start_holds_a",
        "start_asks_a",
        "start_asks_known",
        "start_c",
        "start_when",
        "cure",
    ),
    only_where=("has_start",),
    sources=(
        "handbook-cranking, current that an engine asks and a battery holds in the cold",
        "own-computation, charge and cold over the days that were run",
    ),
    remedy=words(
        "Let fewer loads run while it rests, part them from the starter battery, charge longer, or take a "
        "larger battery."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    has_start: bool,
    start_holds_a: float | None,
    start_asks_a: float | None,
    start_asks_known: bool,
    start_c: float | None,
    start_when: str,
    cure: str,
) -> Verdict:
    """Judge one battery."""
    if not has_start or start_holds_a is None or start_c is None:
        return not_applicable("no engine is started from it")
    fields = {"when": start_when, "cold": quantity(start_c, "degC")}
    if start_asks_a is None:
        return unknown(
            words("what the engine asks at {cold} is not known: write its starter, or `cranking`", **fields),
            level=Level.NOTE,
        )
    told = pair(start_holds_a, start_asks_a, "A")
    compared = (start_holds_a, start_asks_a, "A")
    if not below(start_holds_a, start_asks_a):
        return passed(f"it holds {told.value} where the engine asks {told.limit}", *compared)
    if not start_asks_known:
        text = told.words(
            "no start {when} at {cold} if the engine asks the usual {limit}: it holds {value}; "
            "write its starter with the current it takes",
            **fields,
        )
        return unknown(text, *compared, level=Level.CAUTION)
    text = told.words("no start {when} at {cold}: it holds {value}, below {limit} that are asked", **fields)
    return failed(text, *compared, remedy=cure or None)
