"""A return that several circuits share stands the sum of their fuses, unless one fuse before them suits it.

Why
---
Each fuse knows its own circuit alone; the return carries them all, and a fault in one on top.

Applies to
----------
Cable that the current of two or more circuits with fuses comes back through.

Known limits
------------
Counts one fuse a circuit, the smallest.
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

__all__ = ["RULE", "check"]

RULE = Rule(
    id="RET002",
    slug="shared-return-overloaded",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.STOP,
    needs=("shares_circuits", "fuses_sum_a", "feeder_fuse_a", "ampacity_a"),
    sources=("own-judgement, a shared return stands the sum of its circuits' fuses",),
    remedy=(
        "Lay a thicker return, give each circuit its own, or put a fuse that suits it before all of them."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    shares_circuits: int,
    fuses_sum_a: float | None,
    feeder_fuse_a: float | None,
    ampacity_a: float | None,
) -> Verdict:
    """Judge one wire."""
    if shares_circuits < 2:
        return not_applicable("no two circuits with fuses return through it")
    if ampacity_a is None:
        return unknown("its ampacity is not known: give size, insulation and place")
    if feeder_fuse_a is not None and not above(feeder_fuse_a, ampacity_a):
        told = pair(feeder_fuse_a, ampacity_a, "A")
        return passed(
            f"fuse {told.value} before all of its circuits is within its {told.limit}",
            feeder_fuse_a,
            ampacity_a,
            "A",
        )
    if fuses_sum_a is None:
        return unknown("the fuses of the circuits that share it are not all known: give their ratings")
    told = pair(fuses_sum_a, ampacity_a, "A")
    if above(fuses_sum_a, ampacity_a):
        return failed(
            f"fuses of {told.value} in {shares_circuits} circuits come back here; it carries {told.limit}",
            fuses_sum_a,
            ampacity_a,
            "A",
        )
    return passed(
        f"fuses of {told.value} in {shares_circuits} circuits come back here; it carries {told.limit}",
        fuses_sum_a,
        ampacity_a,
        "A",
    )
