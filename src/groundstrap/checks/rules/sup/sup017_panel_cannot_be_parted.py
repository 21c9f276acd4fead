"""Something parts a solar panel from its controller.

Why
---
A panel is live whenever there is light; whoever changes the controller works on it, and most controllers
want the battery first and the panel last.

Applies to
----------
Solar panels.

Known limits
------------
A plug pulled in the dark does the same. A cover over the panel does not show in a drawing.
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
    id="SUP017",
    slug="panel-cannot-be-parted",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.NOTE,
    needs=(
        "is_panel",
        "panel_can_be_parted",
    ),
    only_where=("is_panel",),
    sources=("own-judgement, each source can be parted",),
    follows=("SUP016",),
    remedy=words("Put an isolator or breaker for its direct current between panel and controller."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    is_panel: bool,
    panel_can_be_parted: bool,
) -> Verdict:
    """Judge one supply."""
    if not is_panel:
        return not_applicable("it is no solar panel")
    if panel_can_be_parted:
        return passed("something in its circuits parts it")
    return failed(
        words("no isolator, switch or breaker in its circuits parts it: it is live while there is light")
    )
