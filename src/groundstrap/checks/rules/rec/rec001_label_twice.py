"""No two circuits have the same number on their wires.

Why
---
Whoever follows the number later cuts or feeds the wrong one.

Applies to
----------
Circuits.

Known limits
------------
Numbers that are on the vehicle and not in the job are not seen.
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
    id="REC001",
    slug="label-twice",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.NOTE,
    needs=(
        "label",
        "label_twin",
    ),
    only_where=("label",),
    sources=("own-judgement, a number stands for one circuit",),
    remedy=words("Give one of them another number, or leave `label` out and let one be given."),
    caution=Caution.NONE,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    label: str,
    label_twin: str,
) -> Verdict:
    """Judge one circuit."""
    if not label:
        return not_applicable("its wires have no number")
    if label_twin:
        return failed(
            words(
                "{label} stands on its wires and on those of {label_twin}", label=label, label_twin=label_twin
            )
        )
    return passed(f"{label} stands on its wires alone")
