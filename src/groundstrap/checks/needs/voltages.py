"""What rules need to know about the volts at a fuse and what they ask of it."""

from __future__ import annotations

from groundstrap.checks.facts import FuseSubject
from groundstrap.checks.known import family_of, fed_v
from groundstrap.checks.rule import above
from groundstrap.model import State
from groundstrap.tables import (
    BreakingCapacity,
    FuseFamily,
    breaking_capacity,
    fuse_families,
    fuse_family,
    fuse_ratings,
)

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
        return _most_v(found) if _is_new(subject) else found.rated_v
    least_v = min(found.rated_v for found in fuse_families())
    return least_v if least_v >= highest_v(subject) else None


def next_make(subject: FuseSubject) -> str | None:
    """Family that is made for its volts and breaks a fault at them, of the least rating; None if none is."""
    most_v = highest_v(subject)
    named = [
        (fuse_ratings(found.name)[0], found.name)
        for found in fuse_families()
        if not above(most_v, _most_v(found))
        and isinstance(breaking_capacity(found.name, most_v), BreakingCapacity)
    ]
    return min(named)[1] if named else None


def next_make_from_a(subject: FuseSubject) -> float | None:
    """Smallest rating of that family. [A]"""
    name = next_make(subject)
    return None if name is None else fuse_ratings(name)[0]


def _most_v(found: FuseFamily) -> float:
    return max(found.rated_v, found.also_rated_v or 0.0)


def special_make_v(subject: FuseSubject) -> float | None:
    """Voltage of a special make of its family, where its print alone tells; else None. [V]"""
    family = family_of(subject)
    if family is None or _made_for_v(subject) is not None or _is_new(subject):
        return None
    return fuse_family(family).also_rated_v


def _is_new(subject: FuseSubject) -> bool:
    return subject.part.state is State.NEW
