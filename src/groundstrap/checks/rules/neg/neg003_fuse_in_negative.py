"""A fuse stands in the way out of its circuit and not in the way back.

Why
---
A way out that chafes through to the body shorts the battery past a fuse in the negative; and a load whose
fuse is gone is live all the same.

Applies to
----------
Fuses and breakers.

Known limits
------------
Some meters and shunts ask for a small fuse in the negative as well.
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
    id="NEG003",
    slug="fuse-in-negative",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "is_protector",
        "sits_in_negative",
        "fused_on_way_out",
    ),
    only_where=("is_protector",),
    sources=("common-practice, the fuse is in the plus",),
    remedy=words("Put it at the battery end of the way out."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
    follows=("PRT006",),
)


def check(
    *,
    is_protector: bool,
    sits_in_negative: bool,
    fused_on_way_out: bool,
) -> Verdict:
    """Judge one part."""
    if not is_protector:
        return not_applicable("it is no fuse or breaker")
    if not sits_in_negative:
        return passed("it stands in the way out")
    text = words("it stands in the negative: a short of the plus to the body passes it by")
    return failed(text, level=Level.NOTE if fused_on_way_out else None)
