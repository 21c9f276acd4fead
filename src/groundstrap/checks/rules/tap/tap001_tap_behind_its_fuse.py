"""A fuse tap takes from the feed side of the slot that it sits in.

Why
---
The wrong way round the new load passes the old fuse as well: that blows for both, and takes with it what it
was there for.

Applies to
----------
New circuits whose first fuse sits in a tap.

Known limits
------------
The side is as drawn: which one is hot is measured with the old fuse out before the tap goes in.
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
    passed,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="TAP001",
    slug="tap-behind-its-fuse",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.CAUTION,
    needs=(
        "begins_with_tap",
        "behind_tapped_fuse",
    ),
    only_where=("begins_with_tap",),
    sources=("common-practice, the tap takes from the hot side",),
    remedy=words(
        "Turn the tap round, so that the old fuse carries its own load alone; measure "
        "with the old fuse out which side is hot."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    begins_with_tap: bool,
    behind_tapped_fuse: bool,
) -> Verdict:
    """Judge one circuit."""
    if not begins_with_tap:
        return not_applicable("it begins with no fuse tap")
    if behind_tapped_fuse:
        return failed(words("its tap takes from behind the old fuse, which then carries both loads"))
    return passed("its tap takes from the feed side of the old fuse")
