"""On a boat no breaker closes again by itself.

Why
---
It feeds a fault again and again, heats the wire by every turn, and starts a pump under somebody's hands.

Applies to
----------
Breakers of a boat whose kind is known.

Known limits
------------
One that sits inside a motor belongs to the motor and is not written in a job.
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
    id="BOA005",
    slug="breaker-resets-itself",
    topic="breakers that close by themselves",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.STOP,
    needs=("on_boat", "is_breaker", "resets_itself"),
    only_where=("on_boat", "is_breaker"),
    sources=("abyc-e11, manually reset and trip-free but inside motors", "sae-j553, type I"),
    remedy=words("Fit a breaker that is reset by hand and trips free, or a fuse."),
    caution=Caution.LICENSED,
)


def check(*, on_boat: bool, is_breaker: bool, resets_itself: bool | None) -> Verdict:
    """Judge one breaker."""
    if not on_boat:
        return not_applicable("the job is no boat")
    if not is_breaker:
        return not_applicable("it is a fuse")
    if resets_itself is None:
        return unknown(
            words("how it resets is not known: write `family: hand-reset breaker` where a hand does it"),
            level=Level.NOTE,
        )
    if resets_itself:
        return failed(words("it closes again by itself for as long as a fault lasts"))
    return passed("it stays open until a hand closes it")
