"""Where petrol vapour or hydrogen gathers, nothing sparks that is not ignition-protected.

Why
---
One spark of a switch is enough for four parts of vapour in a hundred of air.

Applies to
----------
On boats: switches, relays, isolators, breakers and fuses in such a zone.

Known limits
------------
Motors, alternators and plugs spark, too, and can't be written as protected yet.
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

__all__ = ["RULE", "check"]

RULE = Rule(
    id="BOA003",
    slug="spark-in-vapour",
    topic="sparks",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.STOP,
    needs=("on_boat", "can_spark", "kind", "zone", "vapour", "ignition_protected"),
    sources=("cfr-33-183-410, ignition protection",),
    remedy="Move it out of the space, or fit one that is protected against igniting vapour.",
    caution=Caution.VAPOUR,
)


def check(
    *,
    on_boat: bool,
    can_spark: bool,
    kind: str,
    zone: str,
    vapour: str | None,
    ignition_protected: bool | None,
) -> Verdict:
    """Judge one part."""
    if not on_boat or not can_spark or vapour == "no":
        return not_applicable("the job is no boat, it can't spark, or no vapour gathers there")
    if ignition_protected is True:
        return passed(f"this {kind} in {zone} is ignition-protected")
    if vapour is None:
        return unknown(
            f"whether vapour gathers in {zone} is not known: write the zone's vapour, by the fuel on board"
        )
    if ignition_protected is None:
        return unknown(f"{vapour} vapour gathers in {zone}: write whether this part is ignition-protected")
    return failed(f"this {kind} in {zone}, where {vapour} vapour gathers, is not ignition-protected")
