"""The cable of a charging source carries its limit for ever.

Why
---
No fuse opens on it, and a flat battery takes all of it for hours.

Applies to
----------
Circuits that begin at an alternator, charger or converter.

Known limits
------------
A field failure that lifts the limit is not reckoned.
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
    above,
    failed,
    not_applicable,
    passed,
    surely_above,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP007",
    slug="source-over-wire",
    topic="charging source's cable",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=(
        "starts_at_machine",
        "machine_name",
        "machine_a",
        "machine_least_a",
        "ampacity_a",
        "ampacity_best_a",
    ),
    only_where=("starts_at_machine",),
    sources=(
        "own-judgement, a source that limits its current gives its limit without end",
        "cfr-33-183-425, table 5",
        "vde-0298-4, recommended ampacity",
    ),
    follows=("RET001", "MAT001", "THM001"),
    remedy=words("Lay cable that carries the source's limit for good."),
    caution=Caution.LICENSED,
)

_NOT_KNOWN: Final = words(
    "the source's limit or the cable's ampacity is not known: give its rating, size and insulation"
)


def check(
    *,
    starts_at_machine: bool,
    machine_name: str,
    machine_a: float | None,
    machine_least_a: float | None,
    ampacity_a: float | None,
    ampacity_best_a: float | None,
) -> Verdict:
    """Judge one circuit."""
    if not starts_at_machine:
        return not_applicable("it does not begin at a source that limits its current")
    limit_a = ampacity_best_a if ampacity_a is None else ampacity_a
    sure_a = machine_a if machine_least_a is None else machine_least_a
    if machine_a is not None and limit_a is not None and surely_above(sure_a, limit_a, ampacity_best_a):
        told = pair(machine_a, limit_a, "A")
        text = told.words(
            "{machine_name} gives {value} without end, above the {limit} of its cable",
            machine_name=machine_name,
        )
        return failed(text, machine_a, limit_a, "A")
    if machine_a is None or ampacity_a is None:
        return unknown(_NOT_KNOWN)
    told = pair(machine_a, ampacity_a, "A")
    if above(machine_a, ampacity_a):
        text = told.words(
            "{machine_name} gives {value} without end, above the {limit} of its cable, by a rating or an "
            "insulation that is assumed: read both",
            machine_name=machine_name,
        )
        hangs_on = ("machine_least_a", "ampacity_best_a")
        return unknown(text, machine_a, ampacity_a, "A", hangs_on=hangs_on)
    return passed(
        f"{machine_name} gives {told.value} without end, within the {told.limit} of its cable",
        machine_a,
        ampacity_a,
        "A",
    )
