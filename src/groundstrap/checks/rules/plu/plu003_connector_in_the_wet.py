"""A connector where water comes is sealed.

Why
---
Water and direct current eat a contact within a season: first millivolts, then heat, then nothing.

Applies to
----------
Connectors in zones with spray or under water.

Known limits
------------
A plug counts as sealed by its kind; the seal on each wire and in each empty way is not seen.
"""

from __future__ import annotations

from typing import Final

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
from groundstrap.words import words

__all__ = ["RULE", "check"]

_WATER: Final = {"spray": words("spray comes there"), "submerged": words("water stands there")}

RULE = Rule(
    id="PLU003",
    slug="connector-in-the-wet",
    topic="seal",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "is_connector",
        "wet",
        "sealed",
    ),
    only_where=("is_connector",),
    sources=(
        "common-practice, sealed parts where water comes",
        "own-judgement, which zones are wet",
    ),
    remedy=words(
        "Fit a sealed connector with a seal on every wire and a plug in every empty "
        "way, or move it to the dry."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_connector: bool,
    wet: str,
    sealed: bool | None,
) -> Verdict:
    """Judge one part."""
    if not is_connector or wet not in {"spray", "submerged"}:
        return not_applicable("it is no connector, or no spray comes there")
    if sealed is None:
        return unknown(
            words("whether it is sealed is not written, and {WATER}: write `plug`", WATER=_WATER[wet]),
            level=Level.NOTE,
        )
    if not sealed:
        return failed(words("its plug is not sealed, and {WATER}", WATER=_WATER[wet]))
    return passed(f"its plug is sealed, for {_WATER[wet]}")
