"""No isolator that a hand opens parts a running alternator from its last battery.

Why
---
The current that it gives at that moment has nowhere to go: a hundred volts and more stand for tenths of a
second on everything that is on, and on its own diodes.

Applies to
----------
Isolators and switches in a job with an alternator.

Known limits
------------
A fuse or breaker on the way opens on a fault only and is not counted. An isolator that also opens the field
of the alternator cannot be written yet: answer for it in a waiver.
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
    id="SUP022",
    slug="isolator-parts-alternator",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "opened_by_hand",
        "alternator_parted",
    ),
    only_where=("opened_by_hand",),
    sources=(
        "iso-16750-2, load dump",
        "common-practice, the battery stays on a running alternator",
    ),
    follows=("SUP004",),
    remedy=words(
        "Join the alternator ahead of the isolator, through a fuse of its own at the "
        "battery, or take an isolator whose second contact stops it first."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    opened_by_hand: bool,
    alternator_parted: str,
) -> Verdict:
    """Judge one part."""
    if not opened_by_hand:
        return not_applicable("no hand opens it beside a running alternator")
    if alternator_parted:
        return failed(
            words(
                "opened by hand, it parts a running {alternator_parted} from every battery",
                alternator_parted=alternator_parted,
            )
        )
    return passed("a battery stays on the alternator with it open")
