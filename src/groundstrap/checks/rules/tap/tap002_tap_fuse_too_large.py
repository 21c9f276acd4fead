"""A fuse tap adds no fuse above 10 A.

Why
---
Its lead is thin, its second slot hangs on one spring, and the blades of the old slot carry both currents.

Applies to
----------
New circuits whose first fuse sits in a tap.

Known limits
------------
Knows no maker of taps: one that is stamped for more is good for it, in a waiver.
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

MOST_A: Final = 10.0
"""What taps for regular blades are sold for; common practice. [A]"""

RULE = Rule(
    id="TAP002",
    slug="tap-fuse-too-large",
    topic="tap",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.CAUTION,
    needs=(
        "begins_with_tap",
        "tap_fuse_a",
    ),
    only_where=("begins_with_tap",),
    sources=("common-practice, fuse taps are for 10 A",),
    remedy=words("Feed it from the battery or a block by a cable and fuse of its own."),
    caution=Caution.LICENSED,
)


def check(
    *,
    begins_with_tap: bool,
    tap_fuse_a: float | None,
) -> Verdict:
    """Judge one circuit."""
    if not begins_with_tap:
        return not_applicable("it begins with no fuse tap")
    if tap_fuse_a is None:
        return unknown(words("the rating of the fuse in its tap is not known: write it"), level=Level.NOTE)
    told = pair(tap_fuse_a, MOST_A, "A")
    if above(tap_fuse_a, MOST_A):
        return failed(
            told.words("its tap holds a fuse of {value}, above {limit}"),
            tap_fuse_a,
            MOST_A,
            "A",
        )
    return passed(f"its tap holds a fuse of {told.value}, within {told.limit}", tap_fuse_a, MOST_A, "A")
