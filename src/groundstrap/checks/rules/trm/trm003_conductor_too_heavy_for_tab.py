"""A tab, a plug's contact or the lead of a holder takes the conductor that comes to it.

Why
---
Strands cut away to get a thick wire into a small terminal leave a neck that carries all the current
beside a crimp that does not hold.

Applies to
----------
New cable that comes to a tab, to the contact of a plug that is written, or to the leads of a holder.

Known limits
------------
Where nobody wrote `stud`, terminals are those that such parts usually have: then it is a question and no
failure.
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
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="TRM003",
    slug="conductor-too-heavy-for-tab",
    topic="terminal",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.CAUTION,
    needs=(
        "on_tab_or_lead",
        "narrow_end",
        "narrow_end_assumed",
        "area_mm2",
        "narrow_end_mm2",
    ),
    only_where=("on_tab_or_lead",),
    sources=("common-practice, conductors that tabs and leads of holders take",),
    remedy=words(
        "End it on a short tail of the thickest wire that the terminal takes, or fit a part with studs."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    on_tab_or_lead: bool,
    narrow_end: str,
    narrow_end_assumed: bool,
    area_mm2: float | None,
    narrow_end_mm2: float | None,
) -> Verdict:
    """Judge one piece of cable."""
    if not on_tab_or_lead or narrow_end_mm2 is None:
        return not_applicable("it comes to no tab, no contact and no lead of a holder")
    if area_mm2 is None:
        most = quantity(narrow_end_mm2, "mm2")
        text = words("its size is not known; {end} takes up to {most}", end=narrow_end, most=most)
        return unknown(text, level=Level.NOTE)
    told = pair(area_mm2, narrow_end_mm2, "mm2")
    if not above(area_mm2, narrow_end_mm2):
        return passed(
            f"{told.value} comes to {narrow_end}, which takes up to {told.limit}",
            area_mm2,
            narrow_end_mm2,
            "mm2",
        )
    if narrow_end_assumed:
        text = told.words(
            "{value} comes to what is usually {narrow_end}, for up to {limit}: look, and write `stud`",
            narrow_end=narrow_end,
        )
        return unknown(
            text, area_mm2, narrow_end_mm2, "mm2", level=Level.NOTE, hangs_on=("narrow_end_assumed",)
        )
    return failed(
        told.words("{value} comes to {narrow_end}, which takes up to {limit}", narrow_end=narrow_end),
        area_mm2,
        narrow_end_mm2,
        "mm2",
    )
