"""What rules need to know about the volts at a fuse and what they ask of it."""

from __future__ import annotations

from groundstrap.checks.facts import FuseSubject
from groundstrap.checks.known import family_of, fed_v
from groundstrap.model import State
from groundstrap.tables import fuse_families, fuse_family

__all__: list[str] = []

_FORGIVING_V = 12.0
_TABLED_V = 24.0
_LEAD = frozenset({"flooded", "agm", "gel"})


def forgiving_source(subject: FuseSubject) -> bool:
    """Whether everything that feeds a fault here is lead-acid at 12 V."""
    return fed_v(subject.facts, subject.part.circuit) <= _FORGIVING_V and all(
        battery.chemistry in _LEAD for battery in subject.facts.batteries
    )


def tabled_source(subject: FuseSubject) -> bool:
    """Whether the boat standard's table is for what feeds it: lead-acid at 12 or 24 V."""
    return fed_v(subject.facts, subject.part.circuit) <= _TABLED_V and all(
        battery.chemistry in _LEAD for battery in subject.facts.batteries
    )


def highest_v(subject: FuseSubject) -> float:
    """Most volts that may stand at it. [V]"""
    return (
        subject.found.highest_v if subject.found is not None else fed_v(subject.facts, subject.part.circuit)
    )


def _made_for_v(subject: FuseSubject) -> float | None:
    return subject.found.made_for_v if subject.found is not None else subject.part.rated_at_v


def left_open(subject: FuseSubject) -> bool:
    """Whether it is a new one for which no rating is written or chosen."""
    part = subject.part
    return part.rating_a is None and part.state is State.NEW and not part.unknown_rating


def fuse_rated_v(subject: FuseSubject) -> float | None:
    """Voltage that it is made for, or that its family, or each where that is not known, commonly is. [V]"""
    made_v, family = _made_for_v(subject), family_of(subject)
    if made_v is not None:
        return made_v
    if family is not None:
        found = fuse_family(family)
        # Of a new one nothing is left to read: its family has no make for the volts.
        return max(found.rated_v, found.also_rated_v or 0.0) if _is_new(subject) else found.rated_v
    least_v = min(found.rated_v for found in fuse_families())
    return least_v if least_v >= highest_v(subject) else None


def special_make_v(subject: FuseSubject) -> float | None:
    """Voltage of a special make of its family, where its print alone tells; else None. [V]"""
    family = family_of(subject)
    if family is None or _made_for_v(subject) is not None or _is_new(subject):
        return None
    return fuse_family(family).also_rated_v


def _is_new(subject: FuseSubject) -> bool:
    return subject.part.state is State.NEW
