"""The cable between a battery and its first fuse is no longer than the basis allows.

Why
---
Where that piece chafes through, the whole battery feeds the short and nothing opens.

Applies to
----------
Circuits with a fuse that a battery reaches. The cable of circuits before them counts too.

Known limits
------------
Cranking circuits are left out, as in the law for boats. What a charging source or a second battery feeds
has rules of its own. On existing cable that feeds a starter, comes from an alternator or is heavy to a block
the finding is a caution: common practice of vehicle makers.
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
    id="PRT005",
    slug="unfused-length",
    topic="cable before the fuse",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=(
        "reached_unfused",
        "own_fuses",
        "starts_at_machine",
        "only_cranks",
        "as_built",
        "unfused_m",
        "bare_at_least_m",
        "placement_m",
        "placement_printed",
        "placement_source",
    ),
    only_where=("reached_unfused",),
    sources=(
        "cfr-33-183-455, (b): 7 in, 40 in in a sheath",
        "abyc-e11, 72 in in a sheath from a battery terminal",
        "common-practice, 300 mm on the road",
    ),
    remedy=(
        words(
            "Move the fuse to the source, or fit one there; until then the piece before it "
            "needs a sheath and supports."
        )
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    reached_unfused: bool,
    own_fuses: int,
    starts_at_machine: bool,
    only_cranks: bool,
    as_built: bool,
    unfused_m: float | None,
    bare_at_least_m: float | None,
    placement_m: float,
    placement_printed: str,
    placement_source: str,
) -> Verdict:
    """Judge one circuit."""
    if own_fuses == 0 or starts_at_machine or only_cranks:
        return not_applicable(
            "another rule judges this circuit: it has no fuse, cranks, or begins at a charging source"
        )
    if not reached_unfused:
        return not_applicable("no battery reaches its cable before a fuse")
    if unfused_m is None and surely_above(bare_at_least_m, placement_m):
        unfused_m = bare_at_least_m
    if unfused_m is None:
        return unknown(
            words("where its fuse sits is not known: measure the cable from the source to the fuse")
        )
    said = words("{unfused_m} of cable before the first fuse", unfused_m=length(unfused_m))
    allowed = allowed_length(placement_m, placement_printed)
    if above(unfused_m, placement_m):
        level = Level.CAUTION if as_built else None
        text = words("{said}, above the {allowed} allowed", said=said, allowed=allowed)
        return failed(text, unfused_m, placement_m, "m", level=level, source=placement_source)
    return passed(
        f"{said}, within the {allowed} allowed", unfused_m, placement_m, "m", source=placement_source
    )
