"""The length of a return is known where it ends in another place than the one where the way out begins.

Why
---
Nobody drew it, so it is as long as the way out; one that ends elsewhere may be longer: it does not reach, and
loses more volts.

Applies to
----------
Circuits whose return ends in another place than their way out begins, both written.

Known limits
------------
It is judged by the names of places; two names of one place are two places here.
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
    not_applicable,
    passed,
    unknown,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="RET011",
    slug="return-not-measured",
    topic="length",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.CAUTION,
    needs=("returns_apart", "way_back_m"),
    only_where=("returns_apart",),
    sources=(
        "common-practice, cable is measured along the way that it takes, the negative like the positive",
    ),
    remedy=words(
        "Measure from the load to where the return ends: write a route between both places, or the return "
        "with its length."
    ),
    caution=Caution.NONE,
    never=frozenset({Outcome.FAIL}),
)


def check(*, returns_apart: bool, way_back_m: float | None) -> Verdict:
    """Judge one circuit."""
    if not returns_apart:
        return not_applicable("it comes back to where it begins, or nobody wrote where either is")
    if way_back_m is None:
        return unknown(
            words(
                "its return ends in another place than where it begins, and nothing says how far that is: "
                "it is reckoned as long as the way out"
            )
        )
    return passed("its return is measured")
