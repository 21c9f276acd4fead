"""A transistor that switches is rated for the current at switch-on.

Why
---
A contact takes a surge on its metal; a transistor has no mass to speak of: it limits, trips, or fails,
and mostly it fails closed.

Applies to
----------
Switches, relays and isolators with a transistor in place of a contact.

Known limits
------------
How long a surge may last is in its data sheet; one that limits the current by itself may take longer over
the start instead.
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
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SWI009",
    slug="solid-state-under-surge",
    topic="surge",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "is_solid_state",
        "surge_a",
        "rating_a",
    ),
    only_where=("is_solid_state",),
    sources=("own-judgement, a surge counts against the rating unless the data sheet gives one for it",),
    follows=("GER001",),
    remedy=words(
        "Fit one whose data sheet takes that surge, or a relay that is rated for the class of load."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_solid_state: bool,
    surge_a: float | None,
    rating_a: float | None,
) -> Verdict:
    """Judge one part."""
    if not is_solid_state:
        return not_applicable("a contact switches, not a transistor")
    if surge_a is None or rating_a is None:
        text = words("its rating, or what its loads take at switch-on, is not known")
        return unknown(text, level=Level.NOTE)
    told = pair(surge_a, rating_a, "A")
    if above(surge_a, rating_a):
        return failed(told.words("{value} pass it at switch-on, above its {limit}"), surge_a, rating_a, "A")
    return passed(f"{told.value} pass it at switch-on, within its {told.limit}", surge_a, rating_a, "A")
