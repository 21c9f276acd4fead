"""A fuse by itself in the spray has a sealed holder.

Why
---
Salt and water creep in by the leads; the contact gains a tenth of an ohm and melts its holder round a fuse
that is whole.

Applies to
----------
New fuses in a holder by themselves, in zones with spray.

Known limits
------------
Believes what is written as `holder`, and asks once for each zone. A lead that points upwards fills a
sealed one, too.
"""

from __future__ import annotations

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
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PLC002",
    slug="fuse-holder-in-spray",
    topic="holder",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.NOTE,
    needs=(
        "is_inline_fuse",
        "wet",
        "holder_sealed",
        "asked_at",
    ),
    only_where=("is_inline_fuse",),
    sources=(
        "common-practice, sealed parts where water comes",
        "own-judgement, which zones are wet",
    ),
    remedy=words("Take a sealed holder, leads down, or move it to the dry."),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_inline_fuse: bool,
    wet: str,
    holder_sealed: bool | None,
    asked_at: str,
) -> Verdict:
    """Judge one part."""
    if not is_inline_fuse or wet != "spray":
        return not_applicable("it is no fuse by itself, or no spray comes there")
    if holder_sealed is None and asked_at:
        return not_applicable(f"what is asked at {asked_at} is meant for it, too")
    if holder_sealed is None:
        return unknown(words("spray comes there: take sealed holders and write them as `holder`"))
    if not holder_sealed:
        return failed(words("spray comes there, and its holder is not sealed"))
    return passed("its holder is sealed, for spray comes there")
