"""Between a solar panel and a battery stands a charge controller.

Why
---
A panel for 12 V gives up to 22 V: on a full battery it boils it or dries it out, and at night it may draw
on it.

Applies to
----------
Solar panels.

Known limits
------------
A panel of a few watts that only makes up for what a battery loses by itself is tolerated in the trade.
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
    id="SUP016",
    slug="panel-without-controller",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=(
        "is_panel",
        "battery_behind_panel",
    ),
    only_where=("is_panel",),
    sources=("common-practice, a charge controller between panel and battery",),
    remedy=words("Put a solar charger between, and draw it as one."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    is_panel: bool,
    battery_behind_panel: str,
) -> Verdict:
    """Judge one supply."""
    if not is_panel:
        return not_applicable("it is no solar panel")
    if battery_behind_panel:
        return failed(
            words(
                "it is joined to {battery_behind_panel} with no charge controller between",
                battery_behind_panel=battery_behind_panel,
            )
        )
    return passed("no battery is joined to it straight")
