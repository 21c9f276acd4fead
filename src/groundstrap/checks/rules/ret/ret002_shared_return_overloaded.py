"""A return that several circuits share stands the sum of their fuses, unless one fuse before them suits it.

Why
---
Each fuse knows its own circuit alone; the return carries them all, and a fault in one on top.

Applies to
----------
Cable that the current of two or more circuits with fuses comes back through.

Known limits
------------
Counts one fuse a circuit, the smallest, and each as sure to open at 1.35 times its rating.
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
from groundstrap.checks.words import READ_THE_PRINT, pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="RET002",
    slug="shared-return-overloaded",
    topic="shared return",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.STOP,
    needs=(
        "shares_circuits",
        "fuses_sum_a",
        "known_fuses_sum_a",
        "feeder_fuse_a",
        "feeder_fuse_unread",
        "ampacity_a",
        "ampacity_best_a",
        "sure_sum_a",
        "overload_a",
    ),
    sources=(
        "own-judgement, a shared return stands the sum of its circuits' fuses",
        "iso-6722, class + 50 K for six hours",
        "iso-8820-3, sure to open at 1.35 times the rating",
    ),
    follows=("RET001",),
    remedy=(
        words(
            "Lay a thicker return, give each circuit its own, or put a fuse that suits it before all of them."
        )
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    shares_circuits: int,
    fuses_sum_a: float | None,
    known_fuses_sum_a: float | None,
    feeder_fuse_a: float | None,
    feeder_fuse_unread: bool,
    ampacity_a: float | None,
    ampacity_best_a: float | None,
    sure_sum_a: float | None,
    overload_a: float | None,
) -> Verdict:
    """Judge one wire."""
    if shares_circuits < 2:
        return not_applicable("no two circuits with fuses return through it")
    sum_a = known_fuses_sum_a if fuses_sum_a is None else fuses_sum_a
    limit_a = ampacity_best_a if ampacity_a is None else ampacity_a
    if limit_a is not None and feeder_fuse_a is not None and not above(feeder_fuse_a, limit_a):
        if ampacity_a is not None:
            return _one_before_all(feeder_fuse_a, ampacity_a)
        sum_a = feeder_fuse_a
    if limit_a is None or (ampacity_a is None and not surely_above(sum_a, limit_a)):
        return unknown(words("its ampacity is not known: give size, insulation and place"))
    if sum_a is None or (fuses_sum_a is None and not above(sum_a, limit_a)):
        return unknown(words("the fuses of the circuits that share it are not all known: give their ratings"))
    told = pair(sum_a, limit_a, "A")
    text = told.words(
        "fuses of {value} in {circuits} circuits come back here; it carries {limit}", circuits=shares_circuits
    )
    if not above(sum_a, limit_a):
        # What the print on existing cable would say decides nothing here: it is within its ampacity as it is.
        sure_a = None if surely_above(ampacity_best_a, limit_a) else sure_sum_a
        return _lasting(text, sum_a, limit_a, sure_a, overload_a)
    if feeder_fuse_unread:
        text += words(", unless the fuse before all of them suits it: read its rating")
        return unknown(text, sum_a, limit_a, "A", hangs_on=("feeder_fuse_unread",))
    least_a = sum_a if feeder_fuse_a is None else min(sum_a, feeder_fuse_a)
    if surely_above(least_a, limit_a, ampacity_best_a):
        return failed(text, sum_a, limit_a, "A")
    text = words("{text} {how}", text=text, how=READ_THE_PRINT)
    return unknown(text, sum_a, limit_a, "A", hangs_on=("ampacity_best_a",))


def _one_before_all(fuse_a: float, ampacity_a: float) -> Verdict:
    told = pair(fuse_a, ampacity_a, "A")
    text = f"fuse {told.value} before all of its circuits is within its {told.limit}"
    return passed(text, fuse_a, ampacity_a, "A")


def _lasting(
    text: str, sum_a: float, limit_a: float, sure_a: float | None, overload_a: float | None
) -> Verdict:
    """What may flow for ever with no fuse opening; not known where the insulation is not."""
    if sure_a is None or overload_a is None or not above(sure_a, overload_a):
        return passed(text, sum_a, limit_a, "A")
    told = pair(sure_a, overload_a, "A")
    text = told.words("its fuses are sure to open from {value} on, and {limit} brings it to class + 50 K")
    return failed(text, sure_a, overload_a, "A", level=Level.CAUTION)
