"""The most current that a fuse may have to break lies within its breaking capacity.

Why
---
Above it the fuse can burst or go on arcing: it is then the fire that it was fitted against.

Applies to
----------
Every fuse and breaker, with all sources full and itself bridged.

Known limits
------------
Up to twice the capacity at 12 V with lead-acid is a caution, own judgement, since such fuses clear short of
a dead short at the post. Where nobody wrote the battery's size the verdict stands only if it holds for a
weak battery as well as for a strong one. On a boat it is never more: the standard's own table is a rule of
its own.
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
    above,
    failed,
    passed,
    unknown,
)
from groundstrap.checks.words import pair, quantity

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT008",
    slug="fault-above-breaking-capacity",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.STOP,
    needs=("fault_most_a", "fault_sure_a", "breaks_a", "system_v", "forgiving_source", "on_boat"),
    sources=(
        "iso-8820-3, rated breaking capacity",
        "own-judgement, up to twice the capacity at 12 V with lead-acid is a caution",
    ),
    remedy=("Fit a type that breaks the current, such as class T at the battery, or put more cable between."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.NOT_APPLICABLE}),
)


def check(
    *,
    fault_most_a: float | None,
    fault_sure_a: float | None,
    breaks_a: float | None,
    system_v: float,
    forgiving_source: bool,
    on_boat: bool,
) -> Verdict:
    """Judge one fuse."""
    if fault_most_a is None or fault_sure_a is None:
        return unknown(
            "the fault current at its place is not known: give the battery's cranking current or resistance"
        )
    if breaks_a is None:
        return unknown("what it breaks at this voltage is not known: give 'breaks' from its data sheet")
    told = pair(fault_most_a, breaks_a, "A")
    if above(fault_most_a, breaks_a):
        most_a = 2 * breaks_a if forgiving_source else breaks_a
        mild = on_boat or (forgiving_source and not above(fault_most_a, most_a))
        if not mild and not above(fault_sure_a, most_a):
            return unknown(
                f"between {quantity(fault_sure_a, 'A')} and {told.value} may flow into a fault behind it, "
                f"which breaks {told.limit}: write the battery's cranking current or capacity"
            )
        volts = quantity(system_v, "V")
        text = f"up to {told.value} may flow into a fault behind it; it breaks {told.limit} at {volts}"
        return failed(text, fault_most_a, breaks_a, "A", level=Level.CAUTION if mild else None)
    return passed(
        f"up to {told.value} may flow into a fault behind it; it breaks {told.limit}",
        fault_most_a,
        breaks_a,
        "A",
    )
