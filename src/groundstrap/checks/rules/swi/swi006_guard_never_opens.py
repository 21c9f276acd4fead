"""A relay that joins two batteries by voltage opens above the volts of a full battery at rest.

Why
---
Set lower, it stays closed after the engine stops, and the loads of the second battery drain the one that
starts the engine.

Applies to
----------
Relays, switches and isolators with `closes` or `opens` between two batteries.

Known limits
------------
A rested battery counts as full at its usual volts; one that was just charged stands higher for hours.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    above,
    below,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SWI006",
    slug="guard-never-opens",
    topic="guard",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "links_by_volts",
        "closes_v",
        "opens_v",
        "rested_full_v",
    ),
    only_where=("links_by_volts",),
    sources=(
        "handbook-battery, rested voltage of a full battery",
        "common-practice, such relays close about 0.5 V above where they open",
    ),
    remedy=words(
        "Set it to open above the volts of a full battery at rest and to close half a "
        "volt higher, or let the engine work it."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    links_by_volts: bool,
    closes_v: float | None,
    opens_v: float | None,
    rested_full_v: float | None,
) -> Verdict:
    """Judge one part."""
    if not links_by_volts:
        return not_applicable("it does not join two batteries by voltage")
    if opens_v is None or rested_full_v is None:
        text = words(
            "at which voltage it opens, or what its battery is, is not written: take `opens` from its leaflet"
        )
        return unknown(text)
    told = pair(opens_v, rested_full_v, "V")
    if below(opens_v, rested_full_v):
        text = told.words("it opens at {value}, below the {limit} of a full battery at rest: it stays closed")
        return failed(text, opens_v, rested_full_v, "V")
    if closes_v is not None and not above(closes_v, opens_v):
        text = words(
            "it closes at {closes_v} and opens at {opens_v}: it chatters",
            closes_v=quantity(closes_v, "V"),
            opens_v=quantity(opens_v, "V"),
        )
        return failed(text)
    return passed(
        f"it opens at {told.value}, a full battery at rest has {told.limit}", opens_v, rested_full_v, "V"
    )
