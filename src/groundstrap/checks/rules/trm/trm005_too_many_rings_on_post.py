"""A battery post holds no more rings than it may.

Why
---
Ten rings on one post are ten unfused wires and a clamp that nobody can tighten; the one that comes off is
always the wrong one.

Applies to
----------
Batteries.

Known limits
------------
Rings that the job does not draw, such as those of the vehicle itself, are not counted.
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
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="TRM005",
    slug="too-many-rings-on-post",
    topic="rings",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "has_posts",
        "rings_on_post",
        "most_rings",
    ),
    only_where=("has_posts",),
    sources=(
        "abyc-e11, four terminals on a stud",
        "own-judgement, the same on the road",
    ),
    remedy=words("Bring one heavy cable to a distribution block, with a fuse for each circuit there."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    has_posts: bool,
    rings_on_post: int,
    most_rings: int,
) -> Verdict:
    """Judge one battery."""
    if not has_posts:
        return not_applicable("it is no battery")
    told = pair(rings_on_post, most_rings, "rings")
    if rings_on_post > most_rings:
        return failed(
            told.words("{value} come to one post, above {limit}"),
            rings_on_post,
            most_rings,
            "rings",
        )
    return passed(f"{told.value} come to one post, within {told.limit}", rings_on_post, most_rings, "rings")
