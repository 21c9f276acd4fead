"""What rules need to know of what would break, or bring down, the fault current at a fuse."""

from __future__ import annotations

from collections.abc import Iterator
from math import nextafter
from typing import Final

from groundstrap.assess.results import ReasonKind
from groundstrap.checks.around import feeding_wire, fuses_before, source_of, wires_behind
from groundstrap.checks.facts import FuseSubject
from groundstrap.checks.known import fed_v
from groundstrap.checks.needs.fuses import breaks_a, fuse_a
from groundstrap.checks.words import quantity
from groundstrap.model import GearKind, PartKind, State, SupplyKind
from groundstrap.physics.conductor import COPPER_OHM_MM2_PER_M, COPPER_PER_K, ohm_at_temperature
from groundstrap.tables import (
    BreakingCapacity,
    NotTabled,
    breaking_capacity,
    continuous_share,
    fuse_families,
    fuse_ratings,
)
from groundstrap.words import term, words

__all__: list[str] = []

_SMALL_A: Final = 40.0
"""A small load may stand behind so much where nothing smaller breaks the fault; own judgement, as it is for
what a plan chooses. [A]"""

_MOST_TIMES: Final = 2.0
"""How many times its present rating another type may have above that; own judgement. [1]"""

_CHARGED_WITH_V: Final = 24.0
"""Nominal volts up to which a make for them stands what charges there; common practice. [V]"""

_FEED_MM2: Final = 6.0
"""Cable that a main fuse of 30 A, the smallest that breaks much, saves anywhere; own judgement. [mm2]"""

_MOST_FEED_M: Final = 20.0
"""More cable than that nobody lays to weaken a fault; own judgement. [m]"""

_BY_LOAD: Final = frozenset({ReasonKind.LEAD, ReasonKind.LARGEST_FUSE, ReasonKind.CONTACT})
"""Limits that thicker cable does not lift."""


def type_that_breaks(subject: FuseSubject) -> str | None:
    """Rating and family that break the fault and that everything but new cable allows; None where none do."""
    found, least_a = subject.found, _least_a(subject)
    if (
        found is None
        or found.fault_most_a is None
        or least_a is None
        or subject.part.kind is PartKind.BREAKER
    ):
        return None
    most_a = min((*_limits(subject), max(_SMALL_A, _MOST_TIMES * least_a)))
    fed, able = fed_v(subject.facts, subject.part.circuit), []
    # What is tabled for 12 and 24 V is for what charges there; above, the make is to stand those volts too.
    volts = fed if fed <= _CHARGED_WITH_V else max(fed, found.highest_v)
    for family in fuse_families():
        breaks = breaking_capacity(family.name, volts)
        share = continuous_share(family.name, subject.facts.installation.zones[subject.part.zone].high_c)
        if not isinstance(breaks, BreakingCapacity) or breaks.interrupt_a < found.fault_most_a:
            continue
        if isinstance(share, NotTabled) or family.name.endswith("breaker"):
            continue
        carried_a = (found.continuous_a or found.known_a) / share.share
        able += [
            (rating_a, family.name)
            for rating_a in fuse_ratings(family.name)
            if max(least_a, carried_a) <= rating_a <= most_a
        ]
    if not able:
        return None
    rating_a, name = min(able)
    return words("{rating}, {family}", rating=quantity(rating_a, "A"), family=term(name))


def in_slot(subject: FuseSubject) -> bool | None:
    """Whether it sits in a slot of a fuse block, which takes no other type."""
    gear = subject.facts.installation.gear.get(subject.facts.circuits[subject.part.circuit].start)
    block = gear is not None and gear.kind is GearKind.BLOCK and bool(gear.ways)
    return block and subject.part.distance_m == 0.0


def main_cable_m(subject: FuseSubject) -> float | None:
    """Cable of 6 mm2 that brings the fault down to what it breaks, behind a main fuse that is not there. [m]

    Out and back together; None where such a fuse and cable are there, or where nobody lays so much.
    """
    found, least_a, facts = subject.found, breaks_a(subject), subject.facts
    if feeding_wire(subject) is not None or found is None or not found.fault_most_a or not least_a:
        return None
    cold_c = facts.installation.zones[subject.part.zone].low_c
    ohm_per_m = ohm_at_temperature(COPPER_OHM_MM2_PER_M / _FEED_MM2, cold_c, alpha20_per_k=COPPER_PER_K)
    more_m = found.highest_v * (1.0 / least_a - 1.0 / found.fault_most_a) / ohm_per_m
    return more_m if 0.0 < more_m <= _MOST_FEED_M else None


def limiting_source(subject: FuseSubject) -> str | None:
    """What feeds it and gives less than twice its rating with no cable at all; None where more flows."""
    supply = subject.facts.supplies.get(source_of(subject) or "")
    rating_a, found = fuse_a(subject), subject.found
    if supply is None or supply.kind in {SupplyKind.BATTERY, SupplyKind.ALTERNATOR}:
        return None
    if rating_a is None or found is None or found.fault_most_a is None:
        return None
    return supply.name if found.fault_most_a < 2.0 * rating_a else None


def source_gives_a(subject: FuseSubject) -> float | None:
    """The most that flows into a short right behind it. [A]"""
    return subject.found.fault_most_a if subject.found is not None else None


def cable_carries_a(subject: FuseSubject) -> float | None:
    """What the weakest cable behind it carries for hours; None where some of it is not known. [A]"""
    known = [wire.ampacity_a for wire in wires_behind(subject)]
    return None if not known or None in known else min(amps for amps in known if amps is not None)


def _least_a(subject: FuseSubject) -> float | None:
    """Its own rating, or where that is above its window, what its load asks for. [A]"""
    rating_a, found = fuse_a(subject), subject.found
    if rating_a is None or found is None:
        return None
    most_a = found.window.most_limit_a
    return found.continuous_a or found.known_a if most_a is not None and rating_a > most_a else rating_a


def _limits(subject: FuseSubject) -> Iterator[float]:
    """Ratings that no new cable lifts: of devices, of parts, of cable that is there, of a fuse before it."""
    found, facts = subject.found, subject.facts
    assert found is not None
    if found.window.most_reason.kind in _BY_LOAD and found.window.most_limit_a is not None:
        yield found.window.most_limit_a
    wires = wires_behind(subject)
    for wire in wires:
        there = wire.name in facts.wires and facts.wires[wire.name].state is not State.NEW
        if there and wire.ampacity_a is not None:
            yield wire.ampacity_a
    for load in {name for wire in wires for name in wire.loads} & set(facts.loads):
        if (largest_a := facts.loads[load].largest_fuse_a) is not None:
            yield largest_a
    ends = {point for wire in wires for point in (wire.start, wire.end)}
    for part in facts.parts.values():
        if part.kind is PartKind.CONNECTOR and ends & {part.start, part.end}:
            gear = facts.installation.gear.get(part.gear or "")
            rating_a = part.rating_a or (gear.rating_a if gear is not None else None)
            if rating_a is not None:
                yield rating_a
    # One of the same rating before it would open first.
    for rating_a in _before_a(subject):
        yield nextafter(rating_a, 0.0)


def _before_a(subject: FuseSubject) -> Iterator[float]:
    """Ratings of the fuses right before it, those that its circuit begins at among them. [A]"""
    facts, first = subject.facts, subject.facts.circuits[subject.part.circuit].start
    ahead = [p for p in facts.parts.values() if p.kind is PartKind.FUSE and p.name != subject.part.name]
    ending = [p for p in ahead if facts.point(p.end) == facts.point(first)]
    at_them = [FuseSubject(facts, p, facts.fuses.get(p.name)) for p in ending]
    for before in (*fuses_before(subject), *at_them):
        rating_a = fuse_a(before)
        if rating_a is not None:
            yield rating_a
