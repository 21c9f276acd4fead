"""A contact is rated for the class of load that it makes and breaks.

Why
---
A filament takes ten times its current when cold, a motor six; a contact rated for a plain load pits, then
welds shut or burns open.

Applies to
----------
Switches and relays whose rating is written; it counts for loads without surge unless the job says for
which class it is given.

Known limits
------------
The factors are those of aircraft practice at 12 and 28 V; they say nothing at 48 V. Inputs with
capacitors count with their steady current.
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
from groundstrap.checks.words import pair
from groundstrap.words import term, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SWI001",
    slug="contact-under-load-class",
    topic="contact",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "is_rated_contact",
        "kind",
        "contact_loads",
        "contact_needed_a",
        "rating_a",
    ),
    only_where=("is_rated_contact",),
    sources=(
        "faa-ac-43-13-1b, table 11-4 switch derating factors",
        "own-judgement, 24 V takes the factors of 28 V",
    ),
    follows=("GER001",),
    remedy=words(
        "Fit one that is rated for this class of load and write that into the job, or "
        "let a relay that is rated for it stand at the load."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_rated_contact: bool,
    kind: str,
    contact_loads: str,
    contact_needed_a: float | None,
    rating_a: float | None,
) -> Verdict:
    """Judge one part."""
    if not is_rated_contact:
        return not_applicable("it is no contact with a rating")
    if contact_needed_a is None or rating_a is None:
        text = words(
            "what rating {contact_loads} asks for is not known: give kind and current of each load",
            contact_loads=contact_loads,
        )
        return unknown(text, level=Level.NOTE)
    told = pair(contact_needed_a, rating_a, "A")
    if above(contact_needed_a, rating_a):
        text = told.words(
            "{contact_loads} asks for a plain rating of {value}; this {kind} has {limit}",
            contact_loads=contact_loads,
            kind=term(kind),
        )
        return failed(text, contact_needed_a, rating_a, "A")
    return passed(
        f"{contact_loads} asks for a plain rating of {told.value}, within the {told.limit} of this {kind}",
        contact_needed_a,
        rating_a,
        "A",
    )
