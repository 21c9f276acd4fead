"""A converter gives what the loads behind it take at their start.

Why
---
A converter folds back at its limit: the motor crawls or stays, the converter hiccups, and everything behind
it loses its volts at each try.

Applies to
----------
Loads that a converter alone feeds, with no battery beside it, and that take more at their start for longer
than a hundredth of a second.

Known limits
------------
What a converter gives for a moment above its limit stands on its data sheet alone. Where nobody wrote how
the load starts, the middle of its kind counts, and it is a note.
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
    above,
    failed,
    not_applicable,
    passed,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP023",
    slug="start-above-converter",
    topic="start behind a converter",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=("start_asks_a", "start_given_a", "start_limited_by", "start_written"),
    only_where=("start_limited_by",),
    sources=(
        "common-practice, a converter is chosen by the start of what it feeds",
        "own-judgement, a note where the start is that of its kind",
    ),
    follows=("SUP001",),
    remedy=words(
        "Take a converter for that start, put a small battery behind it, or feed this load past it."
    ),
    caution=Caution.NONE,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    start_asks_a: float | None,
    start_given_a: float | None,
    start_limited_by: str,
    start_written: bool,
) -> Verdict:
    """Judge one load."""
    if not start_limited_by or start_asks_a is None or start_given_a is None:
        return not_applicable("no converter alone feeds it, or its start asks for no more than that gives")
    told = pair(start_asks_a, start_given_a, "A")
    if above(start_asks_a, start_given_a):
        text = told.words(
            "its start asks for {value}, above {limit} that {converter} gives", converter=start_limited_by
        )
        level = None if start_written else Level.NOTE
        return failed(text, start_asks_a, start_given_a, "A", level=level)
    text = told.words(
        "its start asks for {value}, within {limit} that {converter} gives", converter=start_limited_by
    )
    return passed(text, start_asks_a, start_given_a, "A")
