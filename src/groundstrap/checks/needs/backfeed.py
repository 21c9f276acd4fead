"""What rules need to know about a battery that reaches a circuit from its far end."""

from __future__ import annotations

from groundstrap.checks.facts import CircuitSubject
from groundstrap.checks.reached import backfed

__all__: list[str] = []


def backfed_by(subject: CircuitSubject) -> str:
    """The second battery that reaches it from its far end with no fuse on the way; empty where none does."""
    metres = _metres(subject)
    return max(metres, key=lambda name: metres[name]) if metres else ""


def backfed_m(subject: CircuitSubject) -> float | None:
    """Cable of it that this battery feeds so. [m]"""
    found = backfed(subject)
    if any(not wire.length_known for wires in found.values() for wire in wires):
        return None
    return max(_metres(subject).values(), default=0.0)


def backfed_past(subject: CircuitSubject) -> str:
    """The relay or switch that it comes through; empty where none stands in the way."""
    source, feeds = backfed_by(subject), subject.facts.assessment.feeds
    names = [
        name
        for wire in backfed(subject).get(source, ())
        for feed in feeds.get(wire.name, ())
        if feed.source == source and feed.from_end
        for name in feed.through
    ]
    return names[0] if names else ""


def _metres(subject: CircuitSubject) -> dict[str, float]:
    return {name: sum(wire.length_m for wire in wires) for name, wires in backfed(subject).items()}
