"""Cable that a second battery reaches from its far end with nothing that opens."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.checks.facts import CircuitSubject
from groundstrap.checks.once import once
from groundstrap.model import FUSES, Part, Wire

__all__ = ["backfed"]


@once
def backfed(subject: CircuitSubject) -> Mapping[str, tuple[Wire, ...]]:
    """Return the cable of a fused circuit that each other battery feeds from the far end, by the battery.

    None of a circuit without a fuse of its own and of one between two posts: those have rules of their own.
    """
    facts, circuit = subject.facts, subject.circuit
    fused = any(isinstance(e, Part) and e.kind in FUSES for e in circuit.path)
    if not fused or facts.battery_at(circuit.end) is not None:
        return {}
    found: dict[str, list[Wire]] = {}
    for wire in circuit.path:
        if not isinstance(wire, Wire):
            continue
        feeds = [f for f in facts.assessment.feeds.get(wire.name, ()) if f.limit_a is None]
        near = [feed for feed in feeds if not feed.from_end]
        if not near or any(feed.opened_by is None for feed in near):
            continue
        for feed in feeds:
            if feed.from_end and feed.opened_by is None:
                found.setdefault(feed.source, []).append(wire)
    return {source: tuple(wires) for source, wires in found.items()}
