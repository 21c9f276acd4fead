"""The fuse that a load came with carries what was measured of it.

Why
---
A fuse that opens on what its own device takes gets replaced by a larger one, and then nothing guards the
lead.

Applies to
----------
Loads with a fuse of their own and a reading that tells what they take.

Known limits
------------
A fuse of unknown family counts as a regular blade in the air of the load's place. What the circuit's own fuse
carries has a rule of its own; what is only claimed is judged as a claim.
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
    id="LOD007",
    slug="own-fuse-overloaded",
    topic="its own fuse",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=("has_own_fuse", "is_measured", "measured_a", "own_fuse_a", "own_fuse_hours_a", "is_critical"),
    only_where=("has_own_fuse", "is_measured"),
    sources=(
        "maker-fuse-data, re-rating by temperature",
        "common-practice, 80 % of the rating for hours",
        "own-judgement, a note where only the margin for hours is missed",
    ),
    follows=("LOD001", "LOD002"),
    remedy=(
        words(
            "Ask its maker which fuse belongs there; the lead behind it decides how large it "
            "may be. Fit no larger one because the small one blew."
        )
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    has_own_fuse: bool,
    is_measured: bool,
    measured_a: float | None,
    own_fuse_a: float | None,
    own_fuse_hours_a: float | None,
    is_critical: bool,
) -> Verdict:
    """Judge one load."""
    if not has_own_fuse or not is_measured:
        return not_applicable("it came with no fuse, or nobody measured it")
    if measured_a is None or own_fuse_a is None:
        return unknown(words("what was measured gives no current: measure its amps while it works hardest"))
    told = pair(measured_a, own_fuse_a, "A")
    if above(measured_a, own_fuse_a):
        text: str = told.words(
            "it takes {value} as measured, above the {limit} of the fuse that it came with"
        )
        level = Level.STOP if is_critical else None
        return failed(text, measured_a, own_fuse_a, "A", level=level)
    if own_fuse_hours_a is not None and above(measured_a, own_fuse_hours_a):
        told = pair(measured_a, own_fuse_hours_a, "A")
        text = told.words(
            "it takes {value} as measured; the fuse that it came with carries {limit} for hours"
        )
        return failed(text, measured_a, own_fuse_hours_a, "A", level=Level.NOTE)
    text = f"it takes {told.value} as measured, within the {told.limit} of the fuse that it came with"
    return passed(text, measured_a, own_fuse_a, "A")
