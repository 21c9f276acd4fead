"""Conductors are of copper, bare or tinned.

Why
---
Aluminium and clad aluminium have about 1.6 times the resistance, creep under crimps, and corrode against
copper.

Applies to
----------
Every cable. On a boat, where the law asks for copper, it stops.

Known limits
------------
What is sold as copper and is clad shows only in a scrape or a measured resistance.
"""

from __future__ import annotations

from groundstrap.checks.rule import About, Caution, Level, Outcome, Rule, Status, Verdict, failed, passed
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="MAT001",
    slug="conductor-not-copper",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.CAUTION,
    needs=("material_name", "on_boat"),
    sources=(
        "cfr-33-183-425, (a): copper, clause from memory",
        "astm-b566, copper-clad aluminium",
        "common-practice, aluminium needs its own terminals",
    ),
    remedy=words("Use copper, or size it by its own resistance with terminals made for it."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED, Outcome.NOT_APPLICABLE}),
)


def check(
    *,
    material_name: str,
    on_boat: bool,
) -> Verdict:
    """Judge one wire."""
    if "aluminium" not in material_name:
        return passed(f"it is of {material_name}")
    source = "cfr-33-183-425" if on_boat else "common-practice"
    return failed(
        words("it is of {material_name}", material_name=material_name),
        level=Level.STOP if on_boat else None,
        source=source,
    )
