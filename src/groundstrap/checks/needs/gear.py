"""What rules need to know about a block or a part with a name."""

from __future__ import annotations

from groundstrap.checks.facts import GearSubject
from groundstrap.model import GearKind

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
