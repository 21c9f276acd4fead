"""With everything on that may run, the network has a working point and nothing cuts out.

Why
---
A load of constant power takes more current as its voltage falls; beyond a point no voltage is low enough.

Applies to
----------
Every situation of the vehicle.

Known limits
------------
It looks at the end, not at the seconds before.
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
    passed,
    unknown,
)
from groundstrap.checks.words import quantity
from groundstrap.words import term, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP005",
    slug="no-working-point",
    topic="working point",
    status=Status.STABLE,
    since="0.1",
    about=About.SITUATION,
    level=Level.STOP,
    needs=("situation", "outcome", "culprit", "culprit_w", "culprit_v", "without"),
    sources=("own-computation, the network with every load on that may run",),
    follows=("LOD009", "RET001", "RET002", "MAT001", "THM001", "VDP001", "SUP001"),
    remedy=(
        words(
            "Lay thicker cable or run fewer loads together; the load that is named has the "
            "smallest cut to make."
        )
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.NOT_APPLICABLE}),
)


def check(
    *,
    situation: str,
    outcome: str | None,
    culprit: str,
    culprit_w: float | None,
    culprit_v: float | None,
    without: str,
) -> Verdict:
    """Judge one situation."""
    if outcome is None:
        return unknown(
            words(
                "{situation} could not be solved: a size that nobody knows, or too little is written",
                situation=term(situation),
            )
        )
    if outcome == "no working point":
        text = words("while {situation} no voltage serves all loads at once", situation=term(situation))
        return failed(text + _cut(culprit, culprit_w, culprit_v))
    if outcome in {"cycles", "works without"}:
        how = words("cuts in and out") if outcome == "cycles" else words("ends switched off")
        return failed(
            words(
                "while {situation} with everything on, {without} {how}",
                situation=term(situation),
                without=without,
                how=how,
            ),
            level=Level.CAUTION,
        )
    if outcome == "too hot to settle":
        return failed(words("while {situation} a conductor heats without end", situation=term(situation)))
    return passed(f"while {situation} everything on holds")


def _cut(culprit: str, power_w: float | None, volts_v: float | None) -> str:
    """What the load that is named would hold at."""
    if power_w is None or volts_v is None:
        return ""
    return words(
        "; {culprit} would hold at {power} and {volts}",
        culprit=culprit,
        power=quantity(power_w, "W"),
        volts=quantity(volts_v, "V"),
    )
