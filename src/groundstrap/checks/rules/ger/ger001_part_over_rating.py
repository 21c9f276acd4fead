"""Switches, relays, isolators and connectors carry their current within their rating.

Why
---
A contact above its rating heats, softens its spring, and heats more.

Applies to
----------
Switches, isolators, relays, connectors, sensors and diodes.

Known limits
------------
The rating counts as written, for the load at hand; lamps and motors wear a contact faster than its rating
says. A short run above it whose mean heat is within it is a caution; of a switch or relay that must open
under it only up to 1.25 times its rating.
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
    above,
    failed,
    not_applicable,
    passed,
    surely_above,
    unknown,
)
from groundstrap.checks.words import pair, quantity
from groundstrap.words import term, words

__all__ = ["RULE", "check"]

FAR_ABOVE: Final = 1.25
"""Times its rating above which a contact may weld or fail to break in one go: the least margin that makers
ask for loads with a surge; own judgement for a short run. [1]"""

RULE = Rule(
    id="GER001",
    slug="part-over-rating",
    topic="rating",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.STOP,
    needs=(
        "is_rated",
        "kind",
        "opens_its_load",
        "through_a",
        "known_through_a",
        "heating_a",
        "known_heating_a",
        "rating_a",
    ),
    only_where=("is_rated",),
    sources=(
        "maker-relay-data, contact ratings",
        "own-judgement, a rating that nobody wrote is a note; 1.25 times for a short run",
    ),
    follows=("LOD009",),
    remedy=words("Fit a part of a higher rating for direct current, or switch the load through a relay."),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_rated: bool,
    kind: str,
    opens_its_load: bool,
    through_a: float | None,
    known_through_a: float | None,
    heating_a: float | None,
    known_heating_a: float | None,
    rating_a: float | None,
) -> Verdict:
    """Judge one part."""
    if not is_rated:
        return not_applicable("it has no rating that counts here")
    if rating_a is None:
        said = (
            ""
            if through_a is None
            else words("; it must carry {through_a}", through_a=quantity(through_a, "A"))
        )
        return unknown(words("its rating is not written{said}", said=said), level=Level.NOTE)
    if through_a is None and surely_above(known_through_a, rating_a):
        through_a, heating_a = known_through_a, known_heating_a
    if through_a is None:
        return unknown(words("what passes it is not known: give what its loads take"))
    told = pair(through_a, rating_a, "A")
    if above(through_a, rating_a):
        # A part above its rating for a short run only is no hotter than the run's mean heat makes it.
        short = heating_a is not None and not above(heating_a, rating_a)
        short = short and not (opens_its_load and above(through_a, FAR_ABOVE * rating_a))
        text = told.words("{value} pass this {kind}, above its {limit}", kind=term(kind))
        return failed(text, through_a, rating_a, "A", level=Level.CAUTION if short else None)
    return passed(f"{told.value} pass this {kind}, within its {told.limit}", through_a, rating_a, "A")
