"""What holds once it runs also comes up from cold.

Why
---
Cold filaments and constant-power loads can hold the voltage down so that a working point which exists is
never reached.

Applies to
----------
Every situation of the vehicle.

Known limits
------------
Order and time of switching on are not known.
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
from groundstrap.words import term, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP006",
    slug="does-not-start-cold",
    topic="start from cold",
    status=Status.STABLE,
    since="0.1",
    about=About.SITUATION,
    level=Level.CAUTION,
    needs=("situation", "outcome", "without"),
    sources=("own-computation, the network from cold with every load on that may run",),
    follows=("SUP005", "LOD009", "RET001", "RET002", "MAT001", "THM001", "VDP001", "SUP001"),
    remedy=words("Lay thicker cable, or start the loads one after the other."),
    caution=Caution.LICENSED,
)


def check(
    *,
    situation: str,
    outcome: str | None,
    without: str,
) -> Verdict:
    """Judge one situation."""
    if outcome is None:
        return unknown(
            words(
                "{situation} could not be solved: a size that nobody knows, or too little is written",
                situation=term(situation),
            ),
            level=Level.NOTE,
        )
    if outcome == "no working point":
        return not_applicable("there is no working point to come up to")
    if outcome == "does not start cold":
        return failed(
            words(
                "while {situation} with everything on, {without} does not come up from cold",
                situation=term(situation),
                without=without,
            )
        )
    return passed(f"while {situation} everything comes up from cold")
