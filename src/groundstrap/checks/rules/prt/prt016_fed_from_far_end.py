"""A battery that reaches a circuit from its far end meets a fuse on the way.

Why
---
The fuse at the near end knows nothing of what comes from the other side: past a closed relay the second
battery feeds a short with all it has.

Applies to
----------
Circuits with a fuse of their own whose far end leads to another battery, as over a block.

Known limits
------------
Cable from one battery's post to another's, and circuits without any fuse, have rules of their own. A
battery's own protection does not count.
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
from groundstrap.checks.words import length
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT016",
    slug="fed-from-far-end",
    topic="fuse at the far end",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=(
        "backfed_by",
        "backfed_m",
        "backfed_past",
        "is_existing",
        "placement_m",
        "placement_printed",
        "placement_source",
    ),
    only_where=("backfed_by",),
    sources=(
        "cfr-33-183-455, (b): 7 in, 40 in in a sheath",
        "abyc-e11, 72 in in a sheath from a battery terminal",
        "common-practice, 300 mm on the road",
    ),
    follows=("PRT006", "PRT005"),
    remedy=words("Fit a fuse at the second battery's post: what two batteries feed has one at both ends."),
    caution=Caution.LICENSED,
)


def check(
    *,
    backfed_by: str,
    backfed_m: float | None,
    backfed_past: str,
    is_existing: bool,
    placement_m: float,
    placement_printed: str,
    placement_source: str,
) -> Verdict:
    """Judge one circuit."""
    if not backfed_by:
        return not_applicable("no second battery reaches it from its far end without a fuse")
    if backfed_m is None:
        return unknown(
            words(
                "{backfed_by} feeds it from its far end with no fuse: give the length of its cable",
                backfed_by=backfed_by,
            )
        )
    past = words(" past {backfed_past}", backfed_past=backfed_past) if backfed_past else ""
    text = words(
        "{backfed_by} feeds {backfed_m} of it from its far end{past} with no fuse",
        backfed_by=backfed_by,
        backfed_m=length(backfed_m),
        past=past,
    )
    text += words(
        "; {placement_m} ({placement_printed}) is allowed",
        placement_m=length(placement_m),
        placement_printed=placement_printed,
    )
    if not above(backfed_m, placement_m):
        return passed(text, backfed_m, placement_m, "m", source=placement_source)
    level = Level.CAUTION if is_existing else None
    return failed(text, backfed_m, placement_m, "m", level=level, source=placement_source)
