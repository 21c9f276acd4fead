"""Circuits between the same two points are alike in length and size.

Why
---
Current divides by resistance: the shorter or thicker one takes most of it, its fuse goes, and the other
follows.

Applies to
----------
Circuits that lie between the same two points as an earlier one.

Known limits
------------
Joints and fuses of each are not compared, only cable. `parallel` says the same with less ink.
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

MOST_PCT: Final = 10.0
"""Own judgement: the better one then carries 5 % more than its half. [%]"""

RULE = Rule(
    id="TAP003",
    slug="unlike-cables-side-by-side",
    topic="parallel cable",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.CAUTION,
    needs=(
        "twin",
        "unlike_pct",
    ),
    only_where=("twin",),
    sources=(
        "iec-60364-4-43, conductors in parallel share equally, clause from memory",
        "own-judgement, a tenth apart",
    ),
    follows=("RET007", "RET006"),
    remedy=words("Lay both in one length and size, or one that carries all of it."),
    caution=Caution.LICENSED,
)


def check(
    *,
    twin: str,
    unlike_pct: float | None,
) -> Verdict:
    """Judge one circuit."""
    if not twin:
        return not_applicable("no earlier circuit lies between the same two points")
    if unlike_pct is None:
        text: str = words("it lies beside {twin}: give the size of both", twin=twin)
        return unknown(text, level=Level.NOTE)
    told = pair(unlike_pct, MOST_PCT, "%")
    if above(unlike_pct, MOST_PCT):
        text = told.words(
            "its cable and that of {twin} lie {value} apart in resistance, above {limit}", twin=twin
        )
        return failed(text, unlike_pct, MOST_PCT, "%")
    text = f"its cable and that of {twin} lie {told.value} apart in resistance, within {told.limit}"
    return passed(text, unlike_pct, MOST_PCT, "%")
