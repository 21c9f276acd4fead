"""No fuse, relay, switch or breaker stands where water stands.

Why
---
Water between contacts carries current before anybody switches on, eats them, and lets a relay stick or a
holder burn with the vehicle parked.

Applies to
----------
Fuses, breakers, switches, isolators and relays, but those that water itself works.

Known limits
------------
A part that is cast in, with leads, is good for it: answer for it in a waiver.
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
    id="PLC001",
    slug="switching-part-under-water",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "has_open_metal",
        "wet",
    ),
    only_where=("has_open_metal",),
    sources=(
        "common-practice, nothing that switches below the water line",
        "own-judgement, which zones are wet",
    ),
    remedy=words("Put it above the splash and lead only cable down there."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    has_open_metal: bool,
    wet: str,
) -> Verdict:
    """Judge one part."""
    if not has_open_metal:
        return not_applicable("it is no fuse, breaker, switch, isolator or relay that a hand or signal works")
    if wet == "submerged":
        return failed(words("water stands where it is"))
    return passed("no water stands where it is")
