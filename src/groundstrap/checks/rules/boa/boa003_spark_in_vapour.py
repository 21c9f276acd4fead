"""Where petrol vapour or hydrogen gathers, nothing sparks that is not ignition-protected.

Why
---
One spark of a switch is enough for four parts of vapour in a hundred of air.

Applies to
----------
On boats: switches, relays, isolators, breakers and fuses in a zone with vapour. On the road: what makes and
breaks current in such a zone, or in one box or locker with a battery whose cells are open.

Known limits
------------
Motors, alternators and plugs spark, too, and can't be written as protected yet. Where a zone does not say
whether it is closed, names tell on the road: box, locker, bench and the like. A main fuse beside a battery
belongs there and is left out on the road: it opens on a fault alone.
"""

from __future__ import annotations

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
from groundstrap.words import Words, term, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="BOA003",
    slug="spark-in-vapour",
    topic="sparks",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.STOP,
    needs=(
        "on_boat",
        "can_spark",
        "breaks_current",
        "opened_at_rest",
        "kind",
        "zone",
        "vapour",
        "gassing_battery",
        "ignition_protected",
    ),
    sources=(
        "cfr-33-183-410, ignition protection",
        "common-practice, nothing that sparks shares a box with open cells",
    ),
    remedy=words("Move it out of the space, or fit one that is protected against igniting vapour."),
    caution=Caution.VAPOUR,
)


def check(
    *,
    on_boat: bool,
    can_spark: bool,
    breaks_current: bool,
    opened_at_rest: bool,
    kind: str,
    zone: str,
    vapour: str | None,
    gassing_battery: str,
    ignition_protected: bool | None,
) -> Verdict:
    """Judge one part."""
    if not on_boat:
        counts = breaks_current and (bool(gassing_battery) or vapour not in {"no", None})
        if not counts:
            return not_applicable("it makes and breaks nothing, or no vapour gathers there")
    elif not can_spark or vapour == "no":
        return not_applicable("it can't spark, or no vapour gathers there")
    where = words("in {zone}", zone=zone)
    if gassing_battery and not on_boat:
        where, vapour = words("in one box with {battery}", battery=gassing_battery), "hydrogen"
    if ignition_protected is True:
        return passed(f"this {kind} {where} is ignition-protected")
    if vapour is None:
        text = words(
            "whether vapour gathers in {zone} is not known: write the zone's vapour, by the fuel on board",
            zone=zone,
        )
        return unknown(text)
    if ignition_protected is None:
        level = Level.CAUTION if opened_at_rest and not on_boat else None
        text = words(
            "{gathers}: write whether it is ignition-protected", gathers=_gathers(vapour, kind, where)
        )
        return unknown(text, level=level)
    return failed(words("{gathers}, and it is not ignition-protected", gathers=_gathers(vapour, kind, where)))


def _gathers(vapour: str, kind: str, where: str) -> Words:
    return words(
        "{vapour} gathers where this {kind} sits, {where}",
        vapour=_named(vapour),
        kind=term(kind),
        where=where,
    )


def _named(vapour: str) -> str:
    return words("hydrogen") if vapour == "hydrogen" else words("{fuel} vapour", fuel=term(vapour))
