"""Batteries that are joined by cable are of one chemistry.

Why
---
They want other volts: one is overcharged or never full, and the stronger pours into the weaker for hours
after each drive.

Applies to
----------
Batteries that cable or a relay puts in parallel, each with an earlier one.

Known limits
------------
Age and size are not compared.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.words import term, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP014",
    slug="unlike-batteries-joined",
    topic="chemistry",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "joined_battery",
        "chemistry",
        "neighbour_chemistry",
    ),
    only_where=("joined_battery",),
    sources=("common-practice, only like batteries in parallel",),
    remedy=words("Take two of a kind, or charge the second through a converter set for its own chemistry."),
    caution=Caution.LICENSED,
)


def check(
    *,
    joined_battery: str,
    chemistry: str | None,
    neighbour_chemistry: str | None,
) -> Verdict:
    """Judge one supply."""
    if not joined_battery:
        return not_applicable("no earlier battery is joined to it")
    if chemistry is None or neighbour_chemistry is None:
        text = words(
            "it is joined to {joined_battery}: write the `chemistry` of both", joined_battery=joined_battery
        )
        return unknown(text, level=Level.NOTE)
    if chemistry != neighbour_chemistry:
        return failed(
            words(
                "it is {chemistry} and is joined to {joined_battery}, which is {neighbour_chemistry}",
                chemistry=term(chemistry),
                joined_battery=joined_battery,
                neighbour_chemistry=neighbour_chemistry,
            )
        )
    return passed(f"it and {joined_battery} are both {chemistry}")
