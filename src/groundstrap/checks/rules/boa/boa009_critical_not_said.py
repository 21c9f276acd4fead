"""Of a load that a boat holds to a small drop, somebody wrote whether it is dangerous to lose.

Why
---
Navigation lights, bilge pump and blower, electronics and what safety hangs on may lose 3 % on a boat, all
else 10 %. A name alone does not say which of them it is, and the cable is chosen by the answer.

Applies to
----------
On boats: loads that by name, kind or place stand in the table of circuits that boats hold to 3 %.

Known limits
------------
It knows them by the words of their names, in English and German, and takes all electronics for such.
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
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import number
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="BOA009",
    slug="critical-not-said",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=("held_as", "critical_said", "held_to_pct"),
    only_where=("held_as",),
    sources=(
        "iso-10133, clause 4.8, circuits that are held to 3 %",
        "abyc-e11, electronic equipment among them",
        "common-practice, the names that such loads go by",
    ),
    remedy=words(
        "Write `critical: yes` at the load where it is dangerous to lose, and its cable is chosen for the "
        "small drop; else `critical: no`."
    ),
    caution=Caution.NONE,
    never=frozenset({Outcome.FAIL}),
)


def check(
    *,
    held_as: str,
    critical_said: bool,
    held_to_pct: float,
) -> Verdict:
    """Judge one load."""
    if not held_as:
        return not_applicable("it is none of what a boat holds to a small drop")
    if critical_said:
        return passed("it is written whether it is dangerous to lose")
    return unknown(
        words(
            "it is taken as not dangerous to lose, yet a boat holds {held_as} to {pct} % of drop: write "
            "`critical: yes` or `critical: no`",
            held_as=held_as,
            pct=number(held_to_pct),
        )
    )
