"""Where one battery is charged, every other one is too.

Why
---
The second battery is flat after the first weekend, and whoever looks at the first one finds nothing.

Applies to
----------
Batteries beside another one that something charges.

Known limits
------------
A battery that is carried to a charger has nothing drawn that charges it: answer for it in a waiver.
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
    id="SUP013",
    slug="battery-left-uncharged",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "others_are_charged",
        "is_charged",
        "fed_by_panel",
    ),
    only_where=("others_are_charged",),
    sources=("own-judgement, each battery of a job has something that charges it",),
    remedy=words(
        "Draw what charges it: a charger of its own, a converter, or a relay that joins "
        "it to the charged one; and cable between their minus posts, by which the current comes back."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    others_are_charged: bool,
    is_charged: bool,
    fed_by_panel: bool,
) -> Verdict:
    """Judge one supply."""
    if not others_are_charged:
        return not_applicable("it is the only battery, or nothing charges any other")
    if is_charged or fed_by_panel:
        return passed("something charges it")
    return failed(words("nothing that is drawn charges it, though another battery is charged"))
