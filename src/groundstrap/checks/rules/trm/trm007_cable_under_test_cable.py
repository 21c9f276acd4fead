"""A blade of 40 A or more has at least the cable on which its figures were taken.

Why
---
The cable is the cooler of a blade: on thinner cable it runs hotter, opens early, and its holder melts
round it.

Applies to
----------
Blades of 40 A and above whose type has a test cable that was read.

Known limits
------------
Test cables were read for 40 A only; above that a thicker one may have been used.
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
    id="TRM007",
    slug="cable-under-test-cable",
    topic="test cable",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.NOTE,
    needs=(
        "tested_on_cable",
        "cable_at_fuse_mm2",
        "test_cable_mm2",
    ),
    only_where=("tested_on_cable",),
    sources=("maker-fuse-data, test cables of blades of 40 A",),
    follows=("RET001", "THM001", "PRT001", "PRT010"),
    remedy=words("Lay thicker cable on the last metre before and behind it."),
    caution=Caution.LICENSED,
)


def check(
    *,
    tested_on_cable: bool,
    cable_at_fuse_mm2: float | None,
    test_cable_mm2: float | None,
) -> Verdict:
    """Judge one fuse."""
    if not tested_on_cable or test_cable_mm2 is None:
        return not_applicable("no test cable of its type and rating was read")
    if cable_at_fuse_mm2 is None:
        return unknown(words("the size of the cable at it is not known"))
    told = pair(cable_at_fuse_mm2, test_cable_mm2, "mm2")
    if below(cable_at_fuse_mm2, test_cable_mm2):
        text: str = told.words("the cable at it has {value}; its figures were taken on no less than {limit}")
        return failed(text, cable_at_fuse_mm2, test_cable_mm2, "mm2")
    text = f"the cable at it has {told.value}, its figures were taken on {told.limit}"
    return passed(text, cable_at_fuse_mm2, test_cable_mm2, "mm2")
