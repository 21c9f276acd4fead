"""A fuse is made for the vehicle's voltage.

Why
---
Above its rated voltage the arc in a fuse that has opened does not go out.

Applies to
----------
Every fuse and breaker of a known family.

Known limits
------------
Whether the fuse in hand is of the special make only its print says.
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
    above,
    failed,
    passed,
    unknown,
)
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT015",
    slug="fuse-below-system-voltage",
    topic="voltage of the fuse",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.STOP,
    needs=("system_v", "fuse_rated_v", "special_make_v"),
    sources=(
        "cfr-33-183-455, (d)",
        "iso-8820-3, rated voltage",
        "iso-8820-5, rated voltage",
        "own-judgement, where a make for the voltage exists it is a caution",
    ),
    follows=("PRT015",),
    remedy=words("Fit a type that is made for the voltage, and read its rated voltage off the fuse itself."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.NOT_APPLICABLE}),
)


def check(
    *,
    system_v: float,
    fuse_rated_v: float | None,
    special_make_v: float | None,
) -> Verdict:
    """Judge one fuse."""
    if fuse_rated_v is None:
        return unknown(words("its family is not known: give it, or its rated voltage from the print on it"))
    told = pair(system_v, fuse_rated_v, "V")
    if above(system_v, fuse_rated_v):
        if special_make_v is not None and not above(system_v, special_make_v):
            needed = words(
                "only a make for {special_make_v} will do", special_make_v=quantity(special_make_v, "V")
            )
            text = told.words(
                "it is commonly made for {limit}, under the system's {value}; {needed}", needed=needed
            )
            return failed(text, system_v, fuse_rated_v, "V", level=Level.CAUTION)
        return failed(
            told.words("it is made for {limit}, under the system's {value}"),
            system_v,
            fuse_rated_v,
            "V",
        )
    return passed(f"it is made for {told.limit}; the system has {told.value}", system_v, fuse_rated_v, "V")
