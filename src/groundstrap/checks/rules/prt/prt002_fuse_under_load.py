"""A fuse carries the continuous current of its loads where it sits.

Why
---
A fuse that runs near its rating, in hot air above all, ages and opens on a hot day with nothing wrong. On a
critical load that is dangerous in itself.

Applies to
----------
Every fuse and breaker that the current of a load passes.

Known limits
------------
On a critical load it stops where the load is above what the fuse's rating is worth in that air, since it
then opens one day; where only the margin of common practice is missed it is a caution. Switch-on currents
are not looked at here.
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
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT002",
    slug="fuse-under-load",
    topic="fuse under its load",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.CAUTION,
    needs=(
        "fuse_a",
        "load_a",
        "known_load_a",
        "carries_a",
        "carries_best_a",
        "re_rated_a",
        "ambient_c",
        "feeds_critical",
    ),
    sources=("maker-fuse-data, re-rating by temperature", "common-practice, 80 % of the rating for hours"),
    follows=("LOD009", "EXI001", "RET001", "THM001", "PRT014"),
    remedy=(
        words(
            "Fit the next rating that its loop allows, thicker cable with it where needed, or "
            "move the fuse out of the heat."
        )
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    fuse_a: float | None,
    load_a: float | None,
    known_load_a: float | None,
    carries_a: float | None,
    carries_best_a: float | None,
    re_rated_a: float | None,
    ambient_c: float | None,
    feeds_critical: bool,
) -> Verdict:
    """Judge one fuse."""
    if load_a == 0.0:
        return not_applicable("no load's current passes it")
    if load_a is None and surely_above(known_load_a, carries_a, carries_best_a):
        load_a = known_load_a
    if load_a is None:
        return unknown(words("the current of its loads is not known: measure one, or give a claim"))
    if fuse_a is None or carries_a is None:
        return unknown(words("what it carries for hours is not known: give its rating and family"))
    told = pair(load_a, carries_a, "A")
    if above(load_a, carries_a):
        air = "" if ambient_c is None else words(" in air of {ambient}", ambient=quantity(ambient_c, "degC"))
        fuse = quantity(fuse_a, "A")
        text = told.words(
            "its loads take {value}; fuse {fuse} carries {limit} for hours{air}", fuse=fuse, air=air
        )
        if not surely_above(load_a, carries_a, carries_best_a):
            said = words("{text}, if it is a regular blade: read what type it is", text=text)
            return unknown(said, load_a, carries_a, "A", hangs_on=("carries_best_a",))
        # Within the 80 % of common practice the fuse only ages; above its rating in that air it opens.
        opens = feeds_critical and (re_rated_a is None or above(load_a, re_rated_a))
        level = Level.STOP if opens else None
        return failed(text, load_a, carries_a, "A", level=level)
    return passed(
        f"its loads take {told.value} of the {told.limit} that it carries for hours", load_a, carries_a, "A"
    )
