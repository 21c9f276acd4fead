"""A cable between two batteries has a fuse at both ends.

Why
---
The fuse at one battery says nothing about what the other one feeds into the same short.

Applies to
----------
Circuits from one battery's plus post to another's.

Known limits
------------
Links that pass a block are judged in pieces, each by the length before its fuse. On an existing link between
existing batteries that carries a starter's current the finding is a caution: common practice of makers.
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
from groundstrap.checks.words import allowed_length, length
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT011",
    slug="second-source-unfused",
    topic="fuse at the second battery",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=(
        "joins_batteries",
        "link_as_built",
        "far_unfused_m",
        "far_at_least_m",
        "lone_fuse_of_m",
        "placement_m",
        "placement_printed",
        "placement_source",
    ),
    only_where=("joins_batteries",),
    sources=(
        "cfr-33-183-455, (b): 7 in, 40 in in a sheath",
        "abyc-e11, 72 in in a sheath from a battery terminal",
        "common-practice, 300 mm on the road",
    ),
    follows=("PRT006",),
    remedy=words("Fit a fuse at the second battery too: a cable between two batteries has one at both ends."),
    caution=Caution.LICENSED,
)


def check(
    *,
    joins_batteries: bool,
    link_as_built: bool,
    far_unfused_m: float | None,
    far_at_least_m: float | None,
    lone_fuse_of_m: float | None,
    placement_m: float,
    placement_printed: str,
    placement_source: str,
) -> Verdict:
    """Judge one circuit."""
    if not joins_batteries:
        return not_applicable("it does not run from one battery to another")
    if far_unfused_m is None and surely_above(far_at_least_m, placement_m):
        far_unfused_m = far_at_least_m
    allowed = allowed_length(placement_m, placement_printed)
    level = Level.CAUTION if link_as_built else None
    if far_unfused_m is None and lone_fuse_of_m is not None and above(lone_fuse_of_m, 2 * placement_m):
        return _wherever(lone_fuse_of_m, 2 * placement_m, allowed, level, placement_source)
    if far_unfused_m is None:
        return unknown(
            words("where its fuses sit is not known: measure the cable from each battery to its fuse")
        )
    if above(far_unfused_m, placement_m):
        text = words(
            "{unfused} before a fuse at the second battery, above the {allowed} allowed",
            unfused=length(far_unfused_m),
            allowed=allowed,
        )
        return failed(text, far_unfused_m, placement_m, "m", level=level, source=placement_source)
    said = f"{length(far_unfused_m)} before a fuse at the second battery, within the {allowed} allowed"
    return passed(said, far_unfused_m, placement_m, "m", source=placement_source)


def _wherever(length_m: float, most_m: float, allowed: str, level: Level | None, source: str) -> Verdict:
    """One fuse whose place nobody wrote, on more cable than one can serve from any place."""
    return failed(
        words(
            "one fuse on {length_m}, above the {most_m} where one would do: wherever it sits, "
            "one battery has more before it than the {allowed} allowed",
            length_m=length(length_m),
            most_m=length(most_m),
            allowed=allowed,
        ),
        length_m,
        most_m,
        "m",
        level=level,
        source=source,
    )
