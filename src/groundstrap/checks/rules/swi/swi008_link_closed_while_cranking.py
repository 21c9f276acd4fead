"""A link between batteries that stays closed while cranking carries what the second battery gives then.

Why
---
A relay that works by voltage is still closed at the next start, and welds sooner or later: then the starter
draws from the second battery through a cable that is made for charging.

Applies to
----------
Relays and switches between batteries that are open while cranking, where a cable, a fuse or their own contact
would carry more than it stands.

Known limits
------------
The starter is taken as a resistance of its running current; a start lasts 30 s at most.
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
    id="SWI008",
    slug="link-closed-while-cranking",
    topic="link closed while cranking",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=("link_harms", "link_cranking_a", "link_limit_a", "link_overheats", "link_certain"),
    only_where=("link_harms",),
    sources=(
        "own-judgement, a link that stays closed must not overheat its cable",
        "iec-60364-5-54, limits of a short circuit",
    ),
    follows=("SWI006",),
    remedy=words("Let the key open the link while cranking, or fit cable, fuses and relay for that."),
    caution=Caution.LICENSED,
)


def check(
    *,
    link_harms: str,
    link_cranking_a: float | None,
    link_limit_a: float | None,
    link_overheats: bool,
    link_certain: bool | None,
) -> Verdict:
    """Judge one part."""
    if not link_harms:
        return not_applicable("it joins no batteries, or nothing suffers if it stays closed while cranking")
    if link_cranking_a is None or link_limit_a is None:
        return unknown(words("what it would carry is not known: give the sizes of the cables and its rating"))
    told = pair(link_cranking_a, link_limit_a, "A")
    text = told.words(
        "closed while cranking it carries {value}; {link_harms} is good for {limit}", link_harms=link_harms
    )
    if not above(link_cranking_a, link_limit_a):
        return passed(text, link_cranking_a, link_limit_a, "A")
    if link_overheats:
        text += words(
            ", and nothing opens at {link_cranking_a} before it is too hot",
            link_cranking_a=quantity(link_cranking_a, "A"),
        )
    if link_certain is None:
        text += words(": the body's resistance or a size that nobody knows decides")
        return unknown(text, link_cranking_a, link_limit_a, "A", hangs_on=("link_certain",))
    return failed(text, link_cranking_a, link_limit_a, "A", level=Level.STOP if link_overheats else None)
