"""The fuse of a blocked motor opens before its winding burns.

Why
---
A current that surely opens the fuse may still flow for minutes, and a small winding does not stand its stall
current so long.

Applies to
----------
Motors whose stall current is written, does not leave them whole and surely opens their fuse.

Known limits
------------
How long a winding lasts is not reckoned: a minute is what counts here. Time is the longest that the type
allows, as cold as its place gets.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    above,
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
    id="STA004",
    slug="stalled-motor-cleared-late",
    topic="stall",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=("stall_given", "survives_stall", "stall_a", "opens_surely_a", "stall_opens", "stall_cleared_s"),
    only_where=("stall_given",),
    sources=(
        "iso-8820-3, longest operating times",
        "own-judgement, a winding stands its stall current for a minute",
    ),
    follows=("LOD004", "PRT001", "PRT003"),
    remedy=words("Fit a smaller fuse or a quicker type, or a motor with a thermal switch."),
    caution=Caution.LICENSED,
)

_STANDS_S = 60.0


def check(
    *,
    stall_given: bool,
    survives_stall: bool,
    stall_a: float | None,
    opens_surely_a: float | None,
    stall_opens: bool,
    stall_cleared_s: float | None,
) -> Verdict:
    """Judge one load."""
    if not stall_given or survives_stall:
        return not_applicable("no stall current is written, or its maker says that it survives")
    if stall_a is None or (opens_surely_a is not None and below(stall_a, opens_surely_a)):
        return not_applicable("blocked it takes less than what surely opens its fuse, or nobody knows")
    if not stall_opens:
        text = words(
            "blocked it takes {stall_a}, and where it is cold its fuse may never open",
            stall_a=quantity(stall_a, "A"),
        )
        return failed(text)
    if stall_cleared_s is None:
        return unknown(
            words("when its fuse opens is not known: give its rating and `family`, or its `curve`")
        )
    told = pair(stall_cleared_s, _STANDS_S, "s")
    text = told.words(
        "blocked it takes {stall_a}, and its fuse may take {value}", stall_a=quantity(stall_a, "A")
    )
    text += told.words("; a winding stands that for about {limit}")
    if above(stall_cleared_s, _STANDS_S):
        return failed(text, stall_cleared_s, _STANDS_S, "s")
    return passed(text, stall_cleared_s, _STANDS_S, "s")
