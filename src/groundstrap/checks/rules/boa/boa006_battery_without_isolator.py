"""On a boat an isolator parts each battery from its loads, all but those that guard the boat.

Why
---
A cable that chafes through with nobody aboard goes on burning until the battery is empty.

Applies to
----------
On boats: batteries with loads. Bilge pumps, alarms and loads that are critical may stay live.

Known limits
------------
An outboard that is started by hand, with lights alone, does without.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Outcome,
    Rule,
    Status,
    Verdict,
    failed,
    not_applicable,
    passed,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="BOA006",
    slug="battery-without-isolator",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "on_boat",
        "has_posts",
        "loads_past_isolator",
    ),
    only_where=("on_boat", "has_posts"),
    sources=(
        "iso-10133, battery isolators, clause from memory",
        "abyc-e11, battery switches, clause from memory",
        "own-judgement, which loads may stay live",
    ),
    remedy=words("Put an isolator into its plus, within reach and as near to it as can be."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    on_boat: bool,
    has_posts: bool,
    loads_past_isolator: str,
) -> Verdict:
    """Judge one supply."""
    if not on_boat or not has_posts:
        return not_applicable("it is no battery of a boat")
    if loads_past_isolator:
        return failed(
            words("no isolator parts {loads_past_isolator} from it", loads_past_isolator=loads_past_isolator)
        )
    return passed("an isolator parts it from all that need not stay live")
