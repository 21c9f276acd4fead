"""A fuse is made for the highest volts that may stand at it.

Why
---
Above its rated voltage the arc in a fuse that has opened does not go out.

Applies to
----------
Every fuse and breaker of a known family, a new one without a rating too, where no type is made for the volts.

Known limits
------------
The highest volts are those that charge, by written setpoints where all of them are written. A new fuse counts
as the make that they ask for, and is listed so; what an existing one is made for only its print says.
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
from groundstrap.words import term, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT015",
    slug="fuse-below-system-voltage",
    topic="voltage of the fuse",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.STOP,
    needs=("highest_v", "fuse_rated_v", "special_make_v", "left_open", "next_make", "next_make_from_a"),
    sources=(
        "cfr-33-183-455, (d)",
        "iso-8820-3, rated voltage",
        "iso-8820-5, rated voltage",
        "own-judgement, held against the highest volts that charge",
    ),
    follows=("PRT015",),
    remedy=words(
        "Fit a type that is made for the voltage, and write what is printed on it (rating, the "
        "volts it is made for, `breaks`). Where all that charges stays lower, write each `setpoint`."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.NOT_APPLICABLE}),
)


def check(
    *,
    highest_v: float,
    fuse_rated_v: float | None,
    special_make_v: float | None,
    left_open: bool,
    next_make: str | None,
    next_make_from_a: float | None,
) -> Verdict:
    """Judge one fuse."""
    if fuse_rated_v is None:
        return unknown(words("its family is not known: give it, or the voltage from the print on it"))
    told = pair(highest_v, fuse_rated_v, "V")
    if not above(highest_v, fuse_rated_v):
        text = f"it is made for {told.limit}; up to {told.value} stand at it"
        return passed(text, highest_v, fuse_rated_v, "V")
    if left_open:
        text = told.words(
            "none is chosen: what would carry its load is made for {limit}, and up to {value} stand at it"
        )
        if next_make is not None and next_make_from_a is not None:
            text += words(
                "; the tables know none made for that below {rating} ({family})",
                rating=quantity(next_make_from_a, "A"),
                family=term(next_make),
            )
        return failed(text, highest_v, fuse_rated_v, "V")
    if special_make_v is not None and not above(highest_v, special_make_v):
        text = told.words(
            "it is commonly made for {limit}, and up to {value} stand at it: read on it whether it is the "
            "make for {needed}",
            needed=quantity(special_make_v, "V"),
        )
        return unknown(text, highest_v, fuse_rated_v, "V", hangs_on=("special_make_v",))
    text = told.words("it is made for {limit}, and up to {value} stand at it")
    return failed(text, highest_v, fuse_rated_v, "V")
