"""What is on round the clock leaves the insulation 20 K below its class.

Why
---
Classes of vehicle cable are temperatures for 3,000 h: enough for an engine's life, over in four months of
what is never switched off. Then the insulation goes brittle where nobody looks.

Applies to
----------
Cable on the road with insulation above 70 degC, by what its loads take that may be on round the clock: no
pause is written, they may run at rest or on mains, and a battery feeds them for a day, or a panel or a mains
charger for ever.

Known limits
------------
A fuse is held to the class itself: nothing flows at its rating for thousands of hours. What needs the engine
is held to the class too, for an engine's life is some 6,000 h and the hottest air lasts for less than half of
it. What carries 30 % of its rating at most is as warm as its air, and passes. Coils are left out.
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
    id="THM005",
    slug="round-the-clock-near-class",
    topic="round the clock",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.CAUTION,
    needs=("on_boat", "lasting_a", "lasting_limit_a"),
    only_where=("lasting_a",),
    sources=("iso-6722, temperature classes for 3,000 h", "own-judgement, class less 20 K for longer"),
    follows=("THM003", "RET001", "MAT001", "THM001", "THM002"),
    remedy=words("Lay thicker cable or a higher class, or write `duty` or `runs` where the load does pause."),
    caution=Caution.LICENSED,
)


def check(*, on_boat: bool, lasting_a: float | None, lasting_limit_a: float | None) -> Verdict:
    """Judge one wire."""
    if on_boat or not lasting_a:
        return not_applicable("nothing that it carries is on round the clock, or it is no vehicle cable")
    if lasting_limit_a is None:
        # A note: the rule on ampacity asks for the same, and weighs it.
        return unknown(
            words("what it may carry round the clock is not known: give its size"), level=Level.NOTE
        )
    told = pair(lasting_a, lasting_limit_a, "A")
    if above(lasting_a, lasting_limit_a):
        text: str = told.words(
            "{value} go on round the clock, above the {limit} that leave its insulation 20 K"
        )
        return failed(text, lasting_a, lasting_limit_a, "A")
    text = f"{told.value} go on round the clock, within the {told.limit} that leave its insulation 20 K"
    return passed(text, lasting_a, lasting_limit_a, "A")
