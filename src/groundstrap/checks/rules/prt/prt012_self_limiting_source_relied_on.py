"""The fuse of a charging circuit stands at the battery's end.

Why
---
An alternator, charger or converter gives no more than its own limit and opens no fuse. In a short the
battery feeds backwards, and its end is then bare.

Applies to
----------
Circuits that begin at an alternator, charger or converter and that a battery reaches.

Known limits
------------
On what is in the vehicle already, such as a maker's alternator cable, the finding is a caution.
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
    failed,
    not_applicable,
    passed,
    surely_above,
    unknown,
)
from groundstrap.checks.words import allowed_length, length
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT012",
    slug="self-limiting-source-relied-on",
    topic="fuse of the charging source",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=(
        "starts_at_machine",
        "reached_unfused",
        "machine_name",
        "is_existing",
        "machine_unfused_m",
        "far_at_least_m",
        "placement_m",
        "placement_printed",
        "placement_source",
    ),
    only_where=("starts_at_machine", "reached_unfused"),
    sources=(
        "cfr-33-183-455, (b): 7 in, 40 in in a sheath",
        "abyc-e11, 72 in in a sheath from a battery terminal",
        "common-practice, 300 mm on the road",
        "own-judgement, a source that limits its current opens no fuse",
    ),
    follows=("PRT006",),
    remedy=words("Fit the fuse at the battery's end; one at the charging source opens for nothing."),
    caution=Caution.LICENSED,
)


def check(
    *,
    starts_at_machine: bool,
    reached_unfused: bool,
    machine_name: str,
    is_existing: bool,
    machine_unfused_m: float | None,
    far_at_least_m: float | None,
    placement_m: float,
    placement_printed: str,
    placement_source: str,
) -> Verdict:
    """Judge one circuit."""
    if not starts_at_machine or not reached_unfused:
        return not_applicable(
            "it does not begin at a charging source, or no battery reaches it before a fuse"
        )
    if machine_unfused_m is None and surely_above(far_at_least_m, placement_m):
        machine_unfused_m = far_at_least_m
    if machine_unfused_m is None:
        return unknown(
            words("where its fuse sits is not known: measure the cable from the battery to the fuse")
        )
    allowed = allowed_length(placement_m, placement_printed)
    said = words(
        "{machine_unfused_m} of cable from the battery towards {machine_name}",
        machine_unfused_m=length(machine_unfused_m),
        machine_name=machine_name,
    )
    if above(machine_unfused_m, placement_m):
        level = Level.CAUTION if is_existing else None
        text: str = words("no fuse on {said}, above the {allowed} allowed", said=said, allowed=allowed)
        return failed(text, machine_unfused_m, placement_m, "m", level=level, source=placement_source)
    text = f"no fuse on {said}, within the {allowed} allowed"
    return passed(text, machine_unfused_m, placement_m, "m", source=placement_source)
