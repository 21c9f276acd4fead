"""A plug or trailer pin carries no more than its contact is good for.

Why
---
A contact made for ten amperes has a thimble of plastic round it; at twenty it softens, its spring goes,
and it heats more.

Applies to
----------
Connectors whose `plug` is written; of trailer pins those that feed something, or whose standard has a fuse.

Known limits
------------
A plug at full size of its wire and in free air; of a trailer pin only the fuse that its standard states.
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
from groundstrap.checks.words import NOT_THE_SPOT, pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PLU001",
    slug="plug-over-its-contact",
    topic="plug",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "has_plug",
        "plug_name",
        "through_a",
        "known_through_a",
        "plug_contact_a",
    ),
    only_where=("has_plug",),
    sources=(
        "common-practice, what plugs carry by the hour",
        "iso-11446, fuse of pin 10",
    ),
    follows=("PLU002", "GER001", "LOD003"),
    remedy=words("Take a plug with larger contacts, or share the current over several.") + NOT_THE_SPOT,
    caution=Caution.LICENSED,
)


def check(
    *,
    has_plug: bool,
    plug_name: str,
    through_a: float | None,
    known_through_a: float | None,
    plug_contact_a: float | None,
) -> Verdict:
    """Judge one part."""
    if not has_plug:
        return not_applicable("its plug is not written")
    if plug_contact_a is None:
        text = words("what {plug_name} carries is not known: its maker's sheet says it", plug_name=plug_name)
        return unknown(text, level=Level.NOTE)
    if through_a is None and surely_above(known_through_a, plug_contact_a):
        through_a = known_through_a
    if through_a is None:
        return unknown(words("what passes it is not known: give what its loads take"))
    told = pair(through_a, plug_contact_a, "A")
    if above(through_a, plug_contact_a):
        text = told.words(
            "{value} pass {plug_name}, above the {limit} that it is good for", plug_name=plug_name
        )
        return failed(text, through_a, plug_contact_a, "A")
    return passed(f"{told.value} pass {plug_name}, within its {told.limit}", through_a, plug_contact_a, "A")
