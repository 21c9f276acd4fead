"""A fuse is no larger than the contact behind it.

Why
---
A contact that carries more than its rating gets hot and burns or welds, and a fuse above that rating lets it
carry so much for hours: a lamp more, a motor that drags, a fault of some ohms.

Applies to
----------
Switches, relays and isolators whose rating is written, with a known fuse before them. A transistor that
switches is none.

Known limits
------------
What the contact carries as planned is judged elsewhere; nothing says here that more will ever flow. A fuse
up to twice the rating is a note.
"""

from __future__ import annotations

from typing import Final

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
    not_applicable,
    passed,
)
from groundstrap.checks.words import pair
from groundstrap.words import term, words

__all__ = ["RULE", "check"]

_CAUTION_TIMES: Final = 2.0
"""Times its rating, up to which a fuse before a contact is a note; own judgement. [1]"""

RULE = Rule(
    id="SWI010",
    slug="contact-behind-larger-fuse",
    topic="contact behind its fuse",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=("kind", "contact_a", "fuse_before_a"),
    sources=(
        "common-practice, the fuse saves the weakest of what it stands before, contacts too",
        "own-judgement, a note up to twice the rating, a caution above",
    ),
    follows=("PRT001", "SWI001"),
    remedy=words(
        "Fit a contact that is rated for the fuse, or a smaller fuse where its load allows one. Where no "
        "small fuse at the battery breaks its fault, a block behind a main fuse and enough cable lets small "
        "blades do."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(*, kind: str, contact_a: float | None, fuse_before_a: float | None) -> Verdict:
    """Judge one contact."""
    if contact_a is None or fuse_before_a is None:
        return not_applicable("it is no contact with a rating, or no fuse of known rating stands before it")
    told = pair(fuse_before_a, contact_a, "A")
    if not above(fuse_before_a, contact_a):
        text = f"fuse {told.value} before it is within the {told.limit} of this {kind}"
        return passed(text, fuse_before_a, contact_a, "A")
    text = told.words(
        "fuse {value} before it is above the {limit} of this {kind}: it lets more than that flow for hours",
        kind=term(kind),
    )
    level = None if above(fuse_before_a, _CAUTION_TIMES * contact_a) else Level.NOTE
    return failed(text, fuse_before_a, contact_a, "A", level=level)
