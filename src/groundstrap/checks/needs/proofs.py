"""What rules need to know about what readings prove."""

from __future__ import annotations

from groundstrap.checks.facts import ProofSubject
from groundstrap.checks.words import one_of

__all__: list[str] = []

_JOINT, _OPEN, _SLIP = "resistance too high", "open", "reading itself wrong"


def is_joint(subject: ProofSubject) -> bool:
    """Whether it is ohms too many at a place."""
    return subject.proven.kind.value == _JOINT


def is_slip(subject: ProofSubject) -> bool:
    """Whether it is a reading that is wrong itself."""
    return subject.proven.kind.value == _SLIP


def is_thing(subject: ProofSubject) -> bool:
    """Whether it is a load, a battery, a source, a meter or a draw that is off."""
    return subject.proven.kind.value not in {_JOINT, _OPEN, _SLIP}


def is_open(subject: ProofSubject) -> bool:
    """Whether it is a place that nothing passes any more."""
    return subject.proven.kind.value == _OPEN


def proven_kind(subject: ProofSubject) -> str:
    """What it is that is off, its name."""
    return subject.proven.kind.value


def place_kind(subject: ProofSubject) -> str:
    """What the place is made of, its name."""
    return "" if subject.proven.of is None else subject.proven.of.value


def place_mohm(subject: ProofSubject) -> float:
    """Resistance of the place by the readings. [mohm]"""
    return 1e3 * (subject.proven.usual_ohm + subject.proven.size.value)


def least_mohm(subject: ProofSubject) -> float:
    """Low end of that, 95 %. [mohm]"""
    return 1e3 * (subject.proven.usual_ohm + subject.proven.size.low)


def most_mohm(subject: ProofSubject) -> float:
    """High end of that, 95 %. [mohm]"""
    return 1e3 * (subject.proven.usual_ohm + subject.proven.size.high)


def allowed_mohm(subject: ProofSubject) -> float:
    """Of which 99.9 % of sound places have less. [mohm]"""
    return 1e3 * subject.proven.allowed_ohm


def proven_a(subject: ProofSubject) -> float:
    """What flowed there. [A]"""
    return subject.proven.current_a


def proven_v(subject: ProofSubject) -> float:
    """What the ohms too many took then. [V]"""
    return subject.proven.lost_v


def proven_w(subject: ProofSubject) -> float:
    """What they turned into heat. [W]"""
    return subject.proven.heat_w


def drop_left_v(subject: ProofSubject) -> float | None:
    """Least that a circuit which it carries may lose, out and back; None where none is limited. [V]"""
    facts, own = subject.facts, subject.proven.circuit
    limits = [
        found.drop.limit_v
        for found in facts.assessment.circuits.values()
        if found.drop.limit_v is not None and own is not None and own in {found.name, *found.feeders}
    ]
    return min(limits, default=None)


def size_times(subject: ProofSubject) -> float:
    """Of a load, a battery or a meter: times what it should be; else volts or amps too many."""
    return subject.proven.size.value


def least_times(subject: ProofSubject) -> float:
    """Low end of that, 95 %."""
    return subject.proven.size.low


def most_times(subject: ProofSubject) -> float:
    """High end of that, 95 %."""
    return subject.proven.size.high


def as_well(subject: ProofSubject) -> str:
    """Name of what explains the readings as well, with commas; empty where nothing does."""
    return one_of(subject.proven.same_as) if subject.proven.same_as else ""


def one_reading(subject: ProofSubject) -> str:
    """Name of a reading that alone stands for it; empty where others bear it out."""
    return subject.proven.or_reading


def amps_alone(subject: ProofSubject) -> bool:
    """Whether currents alone show it, and no volts that were read."""
    return subject.proven.by_amps


def slip_text(subject: ProofSubject) -> str:
    """Name of the reading that is wrong itself, as it was written."""
    return subject.proven.place
