"""Engines that are cranked on one negative are joined by a cable as heavy as the heaviest cranking one.

Why
---
If one of them loses its negative its cranking current comes back through whatever else joins the two: a
gauge lead, a fuel line.

Applies to
----------
On boats: starters on two engines, each drawn as a chassis of its own.

Known limits
------------
Engines whose starters have both poles insulated need none; draw their returns by cable.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    below,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="BOA007",
    slug="engines-not-bonded",
    topic="engine bond",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=(
        "cranks_beside_another",
        "engines_bonded",
        "bond_mm2",
        "crank_mm2",
    ),
    only_where=("cranks_beside_another",),
    sources=(
        "cfr-33-183-415, common conductor of engines, from memory",
        "own-judgement, the same for diesel engines",
    ),
    remedy=words("Join the engine blocks by a cable of the size of the heaviest cranking one."),
    caution=Caution.LICENSED,
)


def check(
    *,
    cranks_beside_another: bool,
    engines_bonded: bool,
    bond_mm2: float | None,
    crank_mm2: float | None,
) -> Verdict:
    """Judge one load."""
    if not cranks_beside_another:
        return not_applicable("it is no starter of a boat with another engine beside it")
    if not engines_bonded:
        return failed(words("no cable joins its engine to the other one"))
    if bond_mm2 is None or crank_mm2 is None:
        return unknown(
            words("the size of the cable between the engines, or of cranking cable, is not known: give it")
        )
    told = pair(bond_mm2, crank_mm2, "mm2")
    if below(bond_mm2, crank_mm2):
        text = told.words("the cable between the engines has {value}, below the {limit} of cranking")
        return failed(text, bond_mm2, crank_mm2, "mm2")
    return passed(
        f"the cable between the engines has {told.value}, not below the {told.limit} of cranking",
        bond_mm2,
        crank_mm2,
        "mm2",
    )
