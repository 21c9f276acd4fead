"""What rules need to know about a part that the current passes."""

from __future__ import annotations

from typing import Final

from groundstrap.assess.results import WireAssessment
from groundstrap.checks.facts import PartSubject
from groundstrap.checks.known import fed_v
from groundstrap.model import PartKind

__all__: list[str] = []

_RATED: Final = frozenset(
    {PartKind.SWITCH, PartKind.ISOLATOR, PartKind.RELAY, PartKind.CONNECTOR, PartKind.SENSOR, PartKind.DIODE}
)
_BREAKS: Final = frozenset({PartKind.SWITCH, PartKind.RELAY, PartKind.ISOLATOR, PartKind.BREAKER})
_SPARKS: Final = _BREAKS | {PartKind.FUSE}


def is_rated(subject: PartSubject) -> bool:
    """Whether it is of a kind that has a rating and is no fuse."""
    return subject.part.kind in _RATED


def breaks_current(subject: PartSubject) -> bool:
    """Whether it opens a circuit under current."""
    return subject.part.kind in _BREAKS


def opens_its_load(subject: PartSubject) -> bool:
    """Whether it opens under the current of its load in daily work: a switch or relay, no isolator."""
    return subject.part.kind in {PartKind.SWITCH, PartKind.RELAY}


def can_spark(subject: PartSubject) -> bool:
    """Whether it makes or breaks a current, and so can spark."""
    return subject.part.kind in _SPARKS


def kind(subject: PartSubject) -> str:
    """What it is."""
    return subject.part.kind.value


def rating_a(subject: PartSubject) -> float | None:
    """Its rating, or that of the gear it is a way of. [A]"""
    if subject.part.rating_a is not None:
        return subject.part.rating_a
    return subject.gear.rating_a if subject.gear is not None else None


def known_through_a(subject: PartSubject) -> float | None:
    """Current of the loads that are known: at least that passes while they run. [A]"""
    return min((wire.known_a for wire in _beside(subject)), default=None)


def known_heating_a(subject: PartSubject) -> float | None:
    """Steady current that heats as much as the loads that are known do by their duty. [A]"""
    return min((wire.known_thermal_a for wire in _beside(subject)), default=None)


def through_a(subject: PartSubject) -> float | None:
    """Current that passes it while its loads run. [A]"""
    return _least(subject, [wire.continuous_a for wire in _beside(subject)])


def heating_a(subject: PartSubject) -> float | None:
    """Steady current that heats as much as its loads do by their duty. [A]"""
    return _least(subject, [wire.thermal_a for wire in _beside(subject)])


def system_v(subject: PartSubject) -> float:
    """Nominal voltage of what feeds it: the vehicle's, or behind a converter that of its output. [V]"""
    return fed_v(subject.facts, subject.part.circuit)


def on_boat(subject: PartSubject) -> bool:
    """Whether the job is judged as a boat."""
    return subject.facts.basis == "boat"


def zone(subject: PartSubject) -> str:
    """Zone that it sits in."""
    return subject.part.zone


def vapour(subject: PartSubject) -> str | None:
    """Vapour that gathers there: no, petrol or hydrogen; None where nobody says."""
    found = subject.facts.installation.zones.get(subject.part.zone)
    return None if found is None or found.vapour == "unknown" else found.vapour


def ignition_protected(subject: PartSubject) -> bool | None:
    """Whether it is protected against igniting vapour; None where nobody says."""
    if subject.part.ignition_protected is not None:
        return subject.part.ignition_protected
    return subject.gear.ignition_protected if subject.gear is not None else None


def opens_tapped_negative(subject: PartSubject) -> bool:
    """Whether it is an isolator or switch in the negative of a bank that something taps."""
    return _in_negative(subject) is True


def opens_negative(subject: PartSubject) -> bool:
    """Whether it is an isolator or switch in a battery's negative."""
    return _in_negative(subject) is not None


def bank_v(subject: PartSubject) -> float:
    """Nominal voltage of the vehicle's bank. [V]"""
    return subject.facts.system_v


def _in_negative(subject: PartSubject) -> bool | None:
    """None: not in a battery's negative; else whether that bank is tapped."""
    if subject.part.kind not in {PartKind.ISOLATOR, PartKind.SWITCH}:
        return None
    facts = subject.facts
    circuit = facts.circuits[subject.part.circuit]
    posts = [facts.battery_at(point, minus=True) for point in (circuit.start, circuit.end)]
    bank = next((post for post in posts if post is not None), None)
    if bank is None or (circuit.loads and not subject.part.returning):
        return None
    return any(other.start in bank.taps for other in facts.circuits.values())


def _beside(subject: PartSubject) -> list[WireAssessment]:
    """The cable at its two ends."""
    found = subject.facts.assessment.circuits.get(subject.part.circuit)
    ends = {subject.part.start, subject.part.end}
    return [w for w in found.wires.values() if ends & {w.start, w.end}] if found is not None else []


def _least(subject: PartSubject, currents: list[float | None]) -> float | None:
    """What passes both ends; with no cable beside it the current of its circuit."""
    known = [amps for amps in currents if amps is not None]
    if currents:
        return min(known) if len(known) == len(currents) else None
    found = subject.facts.assessment.circuits.get(subject.part.circuit)
    return found.continuous_a if found is not None else None
