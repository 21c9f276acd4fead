"""Where wires lie side by side behind one fuse, each alone stands what the fuse lets through.

Why
---
When one of them works loose the others take its share, and the fuse sees no difference.

Applies to
----------
Cable of two or more wires in parallel.

Known limits
------------
It counts the case that all but one have come loose, which two wires reach first.
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
    id="PRT009",
    slug="parallel-behind-one-fuse",
    topic="parallel wires",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.CAUTION,
    needs=(
        "parallel_count",
        "has_fuse_ahead",
        "fuse_a",
        "known_fuse_a",
        "one_wire_ampacity_a",
        "one_wire_best_a",
    ),
    only_where=("has_fuse_ahead",),
    sources=("own-judgement, each of several wires side by side stands what the fuse lets through",),
    follows=("RET001", "THM001"),
    remedy=words(
        "Lay each wire as a circuit of its own with its fuse at both ends, or one cable where one that is "
        "thick enough goes in."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    parallel_count: int,
    has_fuse_ahead: bool,
    fuse_a: float | None,
    known_fuse_a: float | None,
    one_wire_ampacity_a: float | None,
    one_wire_best_a: float | None,
) -> Verdict:
    """Judge one wire."""
    if parallel_count < 2 or not has_fuse_ahead:
        return not_applicable("it is one wire, or no fuse stands before it")
    rating_a = known_fuse_a if fuse_a is None else fuse_a
    limit_a = one_wire_best_a if one_wire_ampacity_a is None else one_wire_ampacity_a
    if rating_a is not None and limit_a is not None and surely_above(rating_a, limit_a, one_wire_best_a):
        told = pair(rating_a, limit_a, "A")
        text = told.words(
            "fuse {value} is above the {limit} of one of its {parallel_count} wires alone",
            parallel_count=parallel_count,
        )
        return failed(text, rating_a, limit_a, "A")
    if fuse_a is None or one_wire_ampacity_a is None:
        return unknown(words("give the rating of the fuse before it, and size and insulation of the wires"))
    told = pair(fuse_a, one_wire_ampacity_a, "A")
    if above(fuse_a, one_wire_ampacity_a):
        text = told.words(
            "fuse {value} is above the {limit} of one of its {parallel_count} wires alone {look}",
            parallel_count=parallel_count,
            look=READ_THE_PRINT,
        )
        return unknown(text, fuse_a, one_wire_ampacity_a, "A", hangs_on=("one_wire_best_a",))
    said = f"fuse {told.value} is within the {told.limit} of one of its {parallel_count} wires alone"
    return passed(said, fuse_a, one_wire_ampacity_a, "A")
