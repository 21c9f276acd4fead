"""What several needs ask: which voltage feeds a circuit, and what is certain beside what is not known."""

from __future__ import annotations

from groundstrap.assess.results import WireAssessment
from groundstrap.assess.switching import nominal_class_v
from groundstrap.checks.facts import Facts, FuseSubject
from groundstrap.model import Circuit, Supply
from groundstrap.tables import Default, alternator_default, fuse_family_names

__all__ = ["family_of", "fed_v", "known_drop_of", "usual_idle_share", "usual_rating"]


def usual_rating(machine: Supply) -> Default:
    """Return what is usual of an alternator whose rating nobody wrote. [A]"""
    return alternator_default("rating at 24 V" if machine.nominal_v > 18.0 else "rating at 12 V")


def usual_idle_share() -> Default:
    """Return the share of its rating that an alternator gives at idle where nobody wrote it. [1]"""
    return alternator_default("idle share")


def fed_v(facts: Facts, circuit: str) -> float:
    """Return the nominal voltage of what feeds a circuit: behind a converter that of its output. [V]"""
    found = facts.assessment.circuits.get(circuit)
    supply = facts.supplies.get(found.source or "") if found is not None else None
    return facts.system_v if supply is None else nominal_class_v(supply.nominal_v)


def known_drop_of(facts: Facts, circuit: Circuit) -> float | None:
    """Return what the cable of known size on the way of a circuit loses at least, out and back. [V]

    Cold cable, and the current that is left at the limit of the drop: what hangs on it draws no less, for if
    it did the drop would be above its limit all the same.
    """
    found = facts.assessment.circuits[circuit.name]
    limit_v, source = found.drop.limit_v, facts.assessment.supplies.get(found.source or "")
    if limit_v is None or source is None or source.low_v <= limit_v or found.in_loop:
        return None
    own = [wire for wire in found.wires.values() if _on_way(wire, found.loads)]
    # What else a feeder carries only adds to it, but perhaps in another situation than the worst.
    amps = min((wire.drop_a for wire in own if wire.drop_a is not None), default=0.0)
    ways = [facts.assessment.circuits[n] for n in (*found.feeders, circuit.name) if n in facts.circuits]
    ohm = sum(
        wire.ohm_per_m_20c * wire.length_m
        for way in ways
        for wire in way.wires.values()
        if wire.ohm_per_m_20c is not None and wire.drop_a is not None and _on_way(wire, found.loads)
    )
    return amps * ohm * (1.0 - limit_v / source.low_v)


def _on_way(wire: WireAssessment, loads: tuple[str, ...]) -> bool:
    """Whether one wire carries all of these loads, whatever the sizes are."""
    return bool(loads) and set(loads) <= set(wire.loads) and not wire.shared


def family_of(subject: FuseSubject) -> str | None:
    """Return the family that a fuse is of, None where that is not known."""
    gear = subject.gear
    family = (
        subject.part.family
        or (gear.family if gear is not None else None)
        or (subject.found.family if subject.found is not None else None)
    )
    return family if family in fuse_family_names() else None
