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
        "Lay thicker cable or run fewer loads together; the load that is named has the smallest cut to make."
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
        return unknown(f"{situation} could not be solved: a size that nobody knows, or too little is written")
    if outcome == "no working point":
        cut = (
            ""
            if culprit_w is None or culprit_v is None
            else f"; {culprit} would hold at {quantity(culprit_w, 'W')} and {quantity(culprit_v, 'V')}"
        )
        return failed(f"while {situation} no voltage serves all loads at once{cut}")
    if outcome in {"cycles", "works without"}:
        how = "cuts in and out" if outcome == "cycles" else "ends switched off"
        return failed(f"while {situation} with everything on, {without} {how}", level=Level.CAUTION)
    if outcome == "too hot to settle":
        return failed(f"while {situation} a conductor heats without end")
    return passed(f"while {situation} everything on holds")
