"""What rules need to know about a supply."""

from __future__ import annotations

from groundstrap.checks.facts import SupplySubject
from groundstrap.checks.known import usual_rating
from groundstrap.model import SupplyKind
from groundstrap.tables import lugs_on_stud

__all__: list[str] = []


def limits_itself(subject: SupplySubject) -> bool:
    """Whether it gives only so much: converter, battery with a protection, alternator with no battery."""
    if subject.supply.kind is SupplyKind.BATTERY:
        return subject.supply.limit_a is not None
    if subject.supply.kind is SupplyKind.ALTERNATOR and subject.facts.batteries:
        # What it can't give a battery does: the rule on discharging with the engine says how much.
        return False
    return subject.supply.kind in {SupplyKind.ALTERNATOR, SupplyKind.DC_DC} and not _charges(subject)


def kind(subject: SupplySubject) -> str:
    """What it is."""
    return subject.supply.kind.value


def has_posts(subject: SupplySubject) -> bool:
    """Whether it is a battery, with posts that cables come to."""
    return subject.supply.kind is SupplyKind.BATTERY


def rings_on_post(subject: SupplySubject) -> int:
    """Rings that come to the fuller of its posts."""
    posts = (subject.supply.plus, subject.supply.minus)
    return max(subject.facts.rings.get(post, 0) for post in posts)


def most_rings(subject: SupplySubject) -> int:
    """Most rings that one post may hold."""
    return lugs_on_stud(subject.facts.basis).most


def asked_a(subject: SupplySubject) -> float | None:
    """Current that the loads on it take together. [A]"""
    return subject.found.continuous_a if subject.found is not None else None


def known_asked_a(subject: SupplySubject) -> float | None:
    """The same of the loads that are known. [A]"""
    return subject.found.known_a if subject.found is not None else None


def gives_most_a(subject: SupplySubject) -> float | None:
    """The most that is usual of it where nobody wrote its rating, else what it gives without end. [A]"""
    supply = subject.supply
    if supply.kind is SupplyKind.ALTERNATOR and supply.rating_a is None:
        return usual_rating(supply).high
    return gives_a(subject)


def gives_a(subject: SupplySubject) -> float | None:
    """What it gives without end. [A]"""
    return subject.found.capability_a if subject.found is not None else None


def _charges(subject: SupplySubject) -> bool:
    """Whether it fills a battery and takes what it gets: its own limit is its work, not an overload."""
    facts = subject.facts
    return any(
        facts.machine_at(circuit.start) is subject.supply and facts.battery_at(circuit.end) is not None
        for circuit in facts.circuits.values()
        if subject.supply.kind is not SupplyKind.ALTERNATOR
    )
