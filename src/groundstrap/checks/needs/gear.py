"""What rules need to know about a block or a part with a name."""

from __future__ import annotations

from groundstrap.checks.facts import GearSubject
from groundstrap.model import GearKind
from groundstrap.tables import lugs_on_stud, stud_called

__all__: list[str] = []


def is_block(subject: GearSubject) -> bool:
    """Whether it is a block that cables meet at."""
    return subject.gear.kind is GearKind.BLOCK


def rating_a(subject: GearSubject) -> float | None:
    """Its rating. [A]"""
    return subject.gear.rating_a


def known_through_a(subject: GearSubject) -> float | None:
    """The same of the loads that are known: at least that passes. [A]"""
    return subject.found.known_a if subject.found is not None else None


def through_a(subject: GearSubject) -> float | None:
    """Largest continuous current that one cable brings or takes. [A]"""
    return subject.found.continuous_a if subject.found is not None else None


def spare_pct(subject: GearSubject) -> float | None:
    """Share of its rating that the job keeps free for growth. [%]"""
    return subject.gear.spare_pct


def is_stud(subject: GearSubject) -> bool:
    """Whether it is a block with studs of a thread that is written."""
    written = subject.gear.stud is not None and stud_called(subject.gear.stud) is not None
    return subject.gear.kind is GearKind.BLOCK and written


def rings_there(subject: GearSubject) -> int:
    """Rings that come to its studs."""
    return subject.facts.rings.get(subject.gear.name, 0) if is_stud(subject) else 0


def most_rings(subject: GearSubject) -> int:
    """Most rings that one stud may hold."""
    return lugs_on_stud(subject.facts.basis).most


def studs_there(subject: GearSubject) -> int | None:
    """How many studs it has; None where nobody wrote its ways."""
    return len(subject.gear.ways) or None
