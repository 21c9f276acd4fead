"""No single joint, strap or way back that is lost sends another cable more than it carries.

Why
---
What the lost piece carried looks for another way, and the next one is often the thin return of some
accessory: no fuse stands in it, and nobody sees it.

Applies to
----------
Cable that the loss of one other piece brings more current, with the engine running and everything on.

Known limits
------------
One failure at a time; loads count as resistances, cranking has a rule of its own.
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
from groundstrap.checks.words import duration, pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="RET006",
    slug="single-failure-overheats",
    topic="loss of one joint",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.STOP,
    needs=(
        "lost_part",
        "lost_a",
        "lost_overheats",
        "lost_after_s",
        "lost_limit_c",
        "lost_saved_by",
        "lost_certain",
        "ampacity_a",
    ),
    only_where=("lost_part",),
    sources=(
        "own-judgement, one failure must not overheat a cable",
        "iec-60364-5-54, limits of a short circuit",
        "iso-6722, class + 50 K for six hours",
    ),
    remedy=(
        words(
            "Bring this return to the same point as the load's feed, lay it as thick as what "
            "it stands in for, or double the strap."
        )
    ),
    caution=Caution.LICENSED,
    follows=("RET007", "RET001", "RET002", "THM001"),
)


def check(
    *,
    lost_part: str,
    lost_a: float | None,
    lost_overheats: bool,
    lost_after_s: float | None,
    lost_limit_c: float | None,
    lost_saved_by: str,
    lost_certain: bool | None,
    ampacity_a: float | None,
) -> Verdict:
    """Judge one wire."""
    if not lost_part:
        return not_applicable("no single failure sends it more than it carries")
    if lost_a is None or ampacity_a is None:
        return unknown(words("what it would carry is not known: give size, insulation and place"))
    told = pair(lost_a, ampacity_a, "A")
    text = told.words("if {lost_part}, it takes {value}; it carries {limit}", lost_part=lost_part)
    if lost_saved_by or not above(lost_a, ampacity_a):
        saved = (
            words(", and {lost_saved_by} opens in time", lost_saved_by=lost_saved_by) if lost_saved_by else ""
        )
        return passed(f"{text}{saved}", lost_a, ampacity_a, "A")
    if lost_overheats and lost_after_s is not None and lost_limit_c is not None:
        text += words(
            " and is past {lost_limit_c} in {lost_after_s} with no fuse to open",
            lost_limit_c=quantity(lost_limit_c, "degC"),
            lost_after_s=duration(lost_after_s),
        )
    if lost_certain is None:
        text += words(": the body's resistance or a size that nobody knows decides")
        return unknown(text, lost_a, ampacity_a, "A", level=Level.CAUTION, hangs_on=("lost_certain",))
    return failed(text, lost_a, ampacity_a, "A", level=None if lost_overheats else Level.CAUTION)
