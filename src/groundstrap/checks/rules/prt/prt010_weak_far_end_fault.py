"""A short at the far end of a circuit makes at least twice the fuse's rating.

Why
---
Below that a fuse takes minutes, and a joint or an arc at the far end has them to start a fire in.

Applies to
----------
Every fuse and breaker with cable behind it; weak cold battery, hot wire, joints at their high end.

Known limits
------------
A fault that is itself a resistance, such as a bad joint, makes less and may open nothing at all.
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

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT010",
    slug="weak-far-end-fault",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.CAUTION,
    needs=("protects_something", "fault_least_a", "sure_to_open_twice_a"),
    sources=("own-judgement, twice the rating", "iso-8820-3, operating times"),
    remedy=("Lay thicker cable or fit a smaller fuse, so that a short at the far end opens it in seconds."),
    caution=Caution.LICENSED,
)


def check(
    *,
    protects_something: bool,
    fault_least_a: float | None,
    sure_to_open_twice_a: float | None,
) -> Verdict:
    """Judge one fuse."""
    if not protects_something:
        return not_applicable("no cable stands behind this fuse")
    if fault_least_a is None:
        return unknown("the least fault current is not known: give size and length of every piece")
    if sure_to_open_twice_a is None:
        return unknown("its rating is not known: read it off the fuse, or let plan choose one")
    told = pair(fault_least_a, sure_to_open_twice_a, "A")
    if below(fault_least_a, sure_to_open_twice_a):
        return failed(
            f"a short at the far end makes {told.value}, under the {told.limit} of twice its rating",
            fault_least_a,
            sure_to_open_twice_a,
            "A",
        )
    return passed(
        f"a short at the far end makes {told.value}; twice its rating is {told.limit}",
        fault_least_a,
        sure_to_open_twice_a,
        "A",
    )
