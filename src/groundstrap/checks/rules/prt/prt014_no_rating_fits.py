"""Some standard rating carries the load and still saves the loop.

Why
---
Where none does, every fuse is wrong: one opens for nothing, the next lets the cable burn.

Applies to
----------
Every fuse and breaker with cable behind it.

Known limits
------------
Where the family is written only its ratings count. Where a rating is written that saves the loop it is a
caution: that fuse opens for nothing and burns nothing.
"""

from __future__ import annotations

from typing import Final

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import READ_THE_PRINT, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

_OF_A_DEVICE: Final = words(
    "No thicker cable mends that. Measure what it takes at its own leads with the engine running: a label's "
    "amps are at its own volts, and more flow at the highest. Else move the fuse out of the heat, give it a "
    "run and a period in `duty`, or ask its maker which fuse belongs there at those volts."
)

RULE = Rule(
    id="PRT014",
    slug="no-rating-fits",
    topic="ratings that fit",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.STOP,
    needs=(
        "protects_something",
        "cable_made_for_it",
        "rating_saves_loop",
        "window_known",
        "window_empty",
        "window_may_open",
        "load_a",
        "window_most_a",
        "window_limit_where",
        "limited_by_device",
    ),
    only_where=("protects_something",),
    sources=(
        "own-judgement, the wire comes first, then its fuse",
        "maker-fuse-data, re-rating by temperature",
    ),
    follows=("LOD009", "RET001", "RET002", "THM001", "PRT003", "PRT004", "GER001", "PLU001"),
    remedy=words(
        "Lay the next thicker cable in the piece that is named, or fit a part for more amps where a part is "
        "named, or move the fuse out of the heat."
    ),
    caution=Caution.LICENSED,
)

_RATINGS_NOT_KNOWN: Final = words(
    "which ratings would do is not known: give the loads' currents and the cable's size"
)


def check(
    *,
    protects_something: bool,
    cable_made_for_it: bool,
    rating_saves_loop: bool,
    window_known: bool | None,
    window_empty: bool,
    window_may_open: bool,
    load_a: float | None,
    window_most_a: float | None,
    window_limit_where: str,
    limited_by_device: bool,
) -> Verdict:
    """Judge one fuse."""
    if not protects_something:
        return not_applicable("no cable stands behind this fuse")
    if window_empty and cable_made_for_it:
        return not_applicable(
            "its rating is written and its cable chosen for it: only the load may be too much"
        )
    if window_known is None:
        # A note: the rules on the fuse over its loop and under its load ask for the same, and weigh it.
        return unknown(_RATINGS_NOT_KNOWN, level=Level.NOTE)
    said = "" if load_a is None else words(" for {load_a} of load", load_a=quantity(load_a, "A"))
    most = (
        ""
        if window_most_a is None
        else words("; {where} {most}", where=window_limit_where, most=quantity(window_most_a, "A"))
    )
    if window_empty and window_may_open:
        text = words("no standard rating fits{said}{most} {look}", said=said, most=most, look=READ_THE_PRINT)
        return unknown(text, load_a, window_most_a, "A", hangs_on=("window_may_open",))
    if window_empty:
        text = words("no standard rating fits{said}{most}", said=said, most=most)
        remedy = _OF_A_DEVICE if limited_by_device else None
        # A rating that saves the loop opens for nothing: a nuisance, and burns nothing.
        level = Level.CAUTION if rating_saves_loop else None
        return failed(text, load_a, window_most_a, "A", level=level, remedy=remedy)
    return passed(f"a standard rating fits{said}{most}", load_a, window_most_a, "A")
