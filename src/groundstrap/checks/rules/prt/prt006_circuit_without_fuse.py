"""No circuit hangs on a battery without a fuse or breaker.

Why
---
Without one a chafed wire glows until the battery is empty or the vehicle burns.

Applies to
----------
Circuits without a fuse of their own that a battery reaches, unless they are as short as a piece before a
fuse may be.

Known limits
------------
Cranking circuits are left out, as in the law for boats. On existing cable that feeds a starter, comes from
an alternator or is heavy to a block the finding is a caution: common practice of vehicle makers.
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
    id="PRT006",
    slug="circuit-without-fuse",
    topic="whether a fuse is missing",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=(
        "reached_unfused",
        "ought_to_have_a_fuse",
        "as_built",
        "unfused_m",
        "bare_at_least_m",
        "placement_m",
        "placement_printed",
        "placement_source",
    ),
    only_where=("ought_to_have_a_fuse", "reached_unfused"),
    sources=(
        "cfr-33-183-455, (b): 7 in, 40 in in a sheath",
        "abyc-e11, 72 in in a sheath from a battery terminal",
        "un-adr-9-2-2-3, all circuits but those for cranking",
        "common-practice, 300 mm on the road",
    ),
    remedy=words("Fit a fuse that suits the thinnest piece of the loop, at the battery."),
    caution=Caution.LICENSED,
)


def check(
    *,
    reached_unfused: bool,
    ought_to_have_a_fuse: bool,
    as_built: bool,
    unfused_m: float | None,
    bare_at_least_m: float | None,
    placement_m: float,
    placement_printed: str,
    placement_source: str,
) -> Verdict:
    """Judge one circuit."""
    if not ought_to_have_a_fuse:
        return not_applicable("it has a fuse, cranks, or begins at a charging source")
    if not reached_unfused:
        return not_applicable("no battery reaches its cable before a fuse")
    if unfused_m is None and surely_above(bare_at_least_m, placement_m):
        unfused_m = bare_at_least_m
    if unfused_m is None:
        return unknown(words("a part on its way is not known and may be a fuse: follow the cable and look"))
    allowed = allowed_length(placement_m, placement_printed)
    if above(unfused_m, placement_m):
        level = Level.CAUTION if as_built else None
        text = words(
            "no fuse at all on {unfused} of cable; without one {allowed} would do",
            unfused=length(unfused_m),
            allowed=allowed,
        )
        return failed(text, unfused_m, placement_m, "m", level=level, source=placement_source)
    said = f"its {length(unfused_m)} are within the {allowed} that may lie before a fuse"
    return passed(said, unfused_m, placement_m, "m", source=placement_source)
