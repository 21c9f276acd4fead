"""The strap between the vehicle's own battery and its body is drawn, or measured under load.

Why
---
What nobody drew counts here with what a sound strap has. A corroded joint adds tens of milliohms to that, a
hundred times as much (common practice).

Applies to
----------
Batteries whose strap nobody drew, where more than 10 A of the job's loads come back through it.

Known limits
------------
What the reading says is left to whoever takes it: 0.2 V for each 100 A is where a strap is made anew.
Less than 10 A over a sound strap can't be told from the last digits of a handheld meter, so a reading counts
where more of the job's loads were on, or the starter; that all of them come back through it is taken as so.
"""

from __future__ import annotations

from typing import Final

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Outcome,
    Rule,
    Status,
    Verdict,
    above,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import WORTH_READING_A, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

MADE_ANEW_OHM: Final = 0.002
"""0.2 V for each 100 A, as service manuals have it; common practice. [ohm]"""

RULE = Rule(
    id="RET009",
    slug="strap-not-measured",
    topic="the vehicle's strap",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.NOTE,
    needs=("strap_a", "strap_measured"),
    sources=("common-practice, 0.2 V for each 100 A is a bad cable", "own-judgement, asked from 10 A on"),
    remedy=words("Draw the strap with its size and length, or measure it and write the reading."),
    caution=Caution.NONE,
    never=frozenset({Outcome.FAIL}),
)


def check(*, strap_a: float | None, strap_measured: bool | None) -> Verdict:
    """Judge one supply."""
    if strap_a is None or not above(strap_a, WORTH_READING_A):
        return not_applicable("its strap is drawn, or little comes back through it")
    told = quantity(strap_a, "A")
    if strap_measured:
        return passed(words("{amps} come back through its strap, and its volts were read", amps=told))
    limit = quantity(strap_a * MADE_ANEW_OHM, "V")
    text = words(
        "{amps} come back through a strap that nobody drew: a sound one is reckoned with; above {limit} from "
        "its minus to body or engine, with all that on, make it anew",
        amps=told,
        limit=limit,
    )
    return unknown(text)
