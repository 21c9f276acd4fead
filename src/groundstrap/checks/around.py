"""What is around a fuse: the cable behind it, the source and the fuses before it."""

from __future__ import annotations

from groundstrap.assess.results import WireAssessment
from groundstrap.checks.facts import FuseSubject
from groundstrap.checks.once import once

__all__ = ["feeding_wire", "fuses_before", "source_of", "wires_behind"]


def source_of(subject: FuseSubject) -> str | None:
    """Return the name of the supply that feeds its circuit; None where nothing does."""
    circuit = subject.facts.assessment.circuits.get(subject.part.circuit)
    return circuit.source if circuit is not None else None


@once
def feeding_wire(subject: FuseSubject) -> WireAssessment | None:
    """Return the longest cable of known size in the circuit that ends where its own begins.

    None at a source's post.
    """
    facts = subject.facts
    first = facts.circuits[subject.part.circuit].start
    if facts.battery_at(first) is not None or facts.machine_at(first) is not None:
        return None
    start = facts.point(first)
    ahead = [c for c in facts.circuits.values() if facts.point(c.end) == start and not c.loads]
    names = [wire.name for circuit in ahead for wire in circuit.wires if not wire.returning]
    sized = [facts.wire_findings[name] for name in names if name in facts.wire_findings]
    known = [wire for wire in sized if wire.area_mm2 is not None and facts.guards.get(wire.name)]
    return max(known, key=lambda wire: wire.length_m, default=None)


@once
def fuses_before(subject: FuseSubject) -> list[FuseSubject]:
    """Return the fuses that stand before it: what protects the cable that feeds it."""
    facts, own = subject.facts, subject.part
    circuit = facts.circuits[own.circuit]
    ends = {own.start, circuit.start}
    feeding = [wire.name for wire in facts.wires.values() if not wire.returning and wire.end in ends]
    names = {fuse.name for name in feeding for fuse in facts.guards.get(name, ())} - {own.name}
    return [FuseSubject(facts, facts.parts[name], facts.fuses.get(name)) for name in sorted(names)]


@once
def wires_behind(subject: FuseSubject) -> tuple[WireAssessment, ...]:
    """Return the cable that it protects."""
    if subject.found is None:
        return ()
    findings = subject.facts.wire_findings
    return tuple(findings[name] for name in subject.found.protects if name in findings)
