"""A converter that fills one battery from another stops by itself.

Why
---
Left on at rest it moves the starting battery into the other one, with a tenth of it as heat, until the
engine does not turn.

Applies to
----------
Converters fed by one battery that fill another.

Known limits
------------
A converter that stops below a voltage of its own: write that as its `when`.
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
    id="SUP018",
    slug="charger-empties-a-battery",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "fills_from",
        "works_only_with",
    ),
    only_where=("fills_from",),
    sources=("common-practice, a battery-to-battery charger works with the engine only",),
    remedy=words(
        "Give it a signal from the engine or ignition and write it as `when`, or a relay on its way in."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    fills_from: str,
    works_only_with: str,
) -> Verdict:
    """Judge one supply."""
    if not fills_from:
        return not_applicable("it fills no battery from another one")
    if works_only_with:
        return passed(f"it works only with {works_only_with}")
    return failed(
        words(
            "nothing stops it at rest: it empties {fills_from} into the other battery", fills_from=fills_from
        )
    )
