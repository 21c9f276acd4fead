"""No vented battery stands where people sit or sleep.

Why
---
While it is charged it gives off hydrogen, which explodes from 4 % in air, and acid mist.

Applies to
----------
Batteries whose place somebody put in the cabin.

Known limits
------------
A box with a vent to outside is a place of its own: give it the zone `battery box`.
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
    failed,
    not_applicable,
    unknown,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP021",
    slug="vented-battery-in-cabin",
    topic="battery gas",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "where_people_are",
        "is_vented",
    ),
    only_where=("where_people_are",),
    sources=(
        "nec-552, vented battery compartments",
        "iec-62485-2, hydrogen of a battery that is charged",
    ),
    remedy=words(
        "Put it in a closed box that is vented to outside at top and bottom, or take a sealed battery."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.PASS}),
)


def check(
    *,
    where_people_are: bool,
    is_vented: bool | None,
) -> Verdict:
    """Judge one supply."""
    if not where_people_are or is_vented is False:
        return not_applicable("it is no battery that gives off gas, or nobody put it in the cabin")
    if is_vented is None:
        text = words(
            "it stands in the cabin, and whether it gives off gas is not known: write its `chemistry`"
        )
        return unknown(text, level=Level.NOTE)
    return failed(words("it gives off hydrogen while it is charged, and stands in the cabin"))
