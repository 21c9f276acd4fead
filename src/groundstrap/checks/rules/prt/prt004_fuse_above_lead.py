"""The fuse ahead of a load does not exceed the ampacity of the lead that it came with.

Why
---
The lead of a device is often thinner than the cable that was laid for it, and the fuse at the source is
chosen for the cable.

Applies to
----------
Loads whose lead is written and that have no fuse of their own.

Known limits
------------
The lead counts with the usual insulation of the basis, both conductors side by side. What only that
insulation fails is not decided, since nobody can write a lead's own yet.
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
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT004",
    slug="fuse-above-lead",
    topic="fuse over the lead",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.STOP,
    needs=("has_own_lead", "fuse_ahead_a", "lead_ampacity", "lead_best_a"),
    only_where=("has_own_lead",),
    sources=(
        "own-judgement, a load's own lead is part of the loop",
        "vde-0298-4, ampacity of 70 degC cable",
        "cfr-33-183-425, table 5",
    ),
    follows=("PRT003",),
    remedy=words("Put a fuse that suits the lead where the lead begins."),
    caution=Caution.LICENSED,
)


def check(
    *,
    has_own_lead: bool,
    fuse_ahead_a: float | None,
    lead_ampacity: float | None,
    lead_best_a: float | None,
) -> Verdict:
    """Judge one load."""
    if not has_own_lead:
        return not_applicable("it has no lead without a fuse of its own")
    if fuse_ahead_a is None:
        return unknown(words("the fuse ahead of it is not known: give its rating"))
    if lead_ampacity is None:
        return unknown(words("no table says what its lead may carry: give its size as an area or a gauge"))
    told = pair(fuse_ahead_a, lead_ampacity, "A")
    if not above(fuse_ahead_a, lead_ampacity):
        text = f"fuse {told.value} ahead of it is within the {told.limit} of its own lead"
        return passed(text, fuse_ahead_a, lead_ampacity, "A")
    text = told.words("fuse {value} ahead of it is above the {limit} of its own lead")
    if surely_above(fuse_ahead_a, lead_ampacity, lead_best_a):
        return failed(text, fuse_ahead_a, lead_ampacity, "A")
    return unknown(
        words(
            "{text} if that has the usual insulation: read the print on it, and either fit a "
            "fuse where the lead begins or answer for a better class in a waiver",
            text=text,
        ),
        fuse_ahead_a,
        lead_ampacity,
        "A",
        hangs_on=("lead_best_a",),
    )
