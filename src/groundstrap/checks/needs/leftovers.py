"""What rules need to know about a circuit that is to go, or whose end nobody found."""

from __future__ import annotations

from groundstrap.checks.facts import CircuitSubject
from groundstrap.model import Passage, State, Wire

__all__: list[str] = []


def is_removed(subject: CircuitSubject) -> bool:
    """Whether it is to be taken out."""
    return subject.circuit.state is State.REMOVE


def live_v(subject: CircuitSubject) -> float | None:
    """Highest voltage that stands on it in any situation; None where no end of it is known. [V]"""
    points = {subject.circuit.start, subject.circuit.end}
    for element in (*subject.circuit.path, *subject.circuit.back):
        if isinstance(element, Wire):
            points |= {element.start, element.end}
        elif isinstance(element, Passage):
            points.add(element.point)
    volts = [
        abs(found.volts_v[point])
        for found in subject.facts.assessment.situations.values()
        for point in points
        if point in found.volts_v
    ]
    return max(volts) if volts else None
