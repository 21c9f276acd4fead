"""The fuse ahead of a load is no larger than its maker allows.

Why
---
The maker knows what the inside of the device stands; a larger fuse lets a fault inside it burn on.

Applies to
----------
Loads whose maker's largest fuse is written.

Known limits
------------
Takes the maker's figure as it is written.
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
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT003",
    slug="fuse-above-makers-limit",
    topic="fuse over the maker's limit",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.STOP,
    needs=("maker_limit_given", "fuse_ahead_a", "largest_fuse_a"),
    only_where=("maker_limit_given",),
    sources=("own-judgement, the maker's word on his own device goes before everything else",),
    remedy=words("Fit a fuse no larger than the maker allows, close to the device or at the source."),
    caution=Caution.LICENSED,
)


def check(
    *,
    maker_limit_given: bool,
    fuse_ahead_a: float | None,
    largest_fuse_a: float | None,
) -> Verdict:
    """Judge one load."""
    if not maker_limit_given:
        return not_applicable("no largest fuse is written for it")
    if fuse_ahead_a is None or largest_fuse_a is None:
        return unknown(words("the fuse ahead of it is not known: give its rating"))
    told = pair(fuse_ahead_a, largest_fuse_a, "A")
    if above(fuse_ahead_a, largest_fuse_a):
        return failed(
            told.words("fuse {value} ahead of it is above the {limit} that its maker allows"),
            fuse_ahead_a,
            largest_fuse_a,
            "A",
        )
    return passed(
        f"fuse {told.value} ahead of it is within the {told.limit} that its maker allows",
        fuse_ahead_a,
        largest_fuse_a,
        "A",
    )
