"""A block carries its current within its rating.

Why
---
Stud, bar and plastic are made for it; the feed's fuse is not.

Applies to
----------
Blocks, panels and busbars.

Known limits
------------
Counts the largest current of one cable, which on a bus with two feeds is not all that passes.
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
    failed,
    not_applicable,
    passed,
    surely_above,
    unknown,
)
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="GER002",
    slug="block-over-rating",
    topic="rating",
    status=Status.STABLE,
    since="0.1",
    about=About.GEAR,
    level=Level.STOP,
    needs=("is_block", "through_a", "known_through_a", "rating_a"),
    only_where=("is_block",),
    sources=("own-judgement, a block's rating is what its feed may bring; one that nobody wrote is a note",),
    remedy=words("Fit a larger block, or feed part of it from elsewhere."),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_block: bool,
    through_a: float | None,
    known_through_a: float | None,
    rating_a: float | None,
) -> Verdict:
    """Judge one gear."""
    if not is_block:
        return not_applicable("it is no block")
    if rating_a is None:
        said = (
            ""
            if through_a is None
            else words("; it must carry {through_a}", through_a=quantity(through_a, "A"))
        )
        return unknown(words("its rating is not written{said}", said=said), level=Level.NOTE)
    if through_a is None and surely_above(known_through_a, rating_a):
        through_a = known_through_a
    if through_a is None:
        return unknown(words("what passes it is not known: give what its loads take"))
    told = pair(through_a, rating_a, "A")
    if above(through_a, rating_a):
        return failed(told.words("{value} pass this block, above its {limit}"), through_a, rating_a, "A")
    return passed(f"{told.value} pass this block, within its {told.limit}", through_a, rating_a, "A")
