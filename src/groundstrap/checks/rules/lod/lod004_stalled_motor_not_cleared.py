"""A blocked motor opens its fuse, or survives.

Why
---
A pump with a rag in it draws its stall current for hours below what surely opens the fuse, and its winding
burns.

Applies to
----------
Motors whose stall current is written. Of a new motor or pump without one it asks, as a note, where what such
kinds usually take blocked would not surely open its fuse.

Known limits
------------
How long the winding lasts is not reckoned. What a motor usually takes blocked is taken as what its kind takes
at its start, for it stands still then, too.
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
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="LOD004",
    slug="stalled-motor-not-cleared",
    topic="stall",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=(
        "may_block",
        "stall_given",
        "survives_stall",
        "stall_a",
        "stall_usual_a",
        "opens_surely_a",
        "is_critical",
        "runs_alone",
    ),
    only_where=("may_block",),
    sources=(
        "iso-8820-3, operating times at 135 %",
        "abyc-e11, motors survive a locked rotor or are protected, at second hand",
        "own-judgement, stop on critical and unattended loads; a note where no stall current is written",
    ),
    follows=("PRT003", "PRT004", "PRT001"),
    remedy=words("Fit a smaller fuse or a breaker that opens on stall, or a motor with a thermal switch."),
    caution=Caution.LICENSED,
)


def check(
    *,
    may_block: bool,
    stall_given: bool,
    survives_stall: bool,
    stall_a: float | None,
    stall_usual_a: float | None,
    opens_surely_a: float | None,
    is_critical: bool,
    runs_alone: bool,
) -> Verdict:
    """Judge one load."""
    if not may_block or survives_stall:
        return not_applicable("it is no motor that jams, or its maker says that it survives")
    if not stall_given:
        return _unwritten(stall_usual_a, opens_surely_a)
    level = Level.STOP if is_critical or runs_alone else None
    if stall_a is None:
        text = words("the current of the blocked motor is not known: read it with a clamp, for a moment")
        return unknown(text, level=level)
    if opens_surely_a is None:
        return unknown(words("the fuse before it is not known: give its rating"), level=level)
    told = pair(stall_a, opens_surely_a, "A")
    if below(stall_a, opens_surely_a):
        return failed(
            told.words("blocked it takes {value}; its fuse surely opens only from {limit}"),
            stall_a,
            opens_surely_a,
            "A",
            level=level,
        )
    return passed(
        f"blocked it takes {told.value}; its fuse surely opens from {told.limit}",
        stall_a,
        opens_surely_a,
        "A",
    )


def _unwritten(stall_usual_a: float | None, opens_surely_a: float | None) -> Verdict:
    """Ask for a stall current where the usual one would not surely open the fuse."""
    if stall_usual_a is None or opens_surely_a is None:
        return not_applicable("no stall current is written, and what is usual, or its fuse, is not known")
    told = pair(stall_usual_a, opens_surely_a, "A")
    if not below(stall_usual_a, opens_surely_a):
        return not_applicable(
            f"blocked it usually takes {told.value}; its fuse surely opens from {told.limit}"
        )
    text = told.words(
        "blocked such a motor takes about {value}, and its fuse surely opens only from {limit}: write its "
        "`stall` current, and whether it survives that"
    )
    return unknown(text, level=Level.NOTE)
