"""Resistance of parts, wire ends, ties and the body: low, typical and high end of each."""

from __future__ import annotations

import math
from functools import lru_cache

from groundstrap.assess.figures import (
    BATTERY_NEGATIVE_OHM,
    DIODE_DROP_V,
    EXISTING_FEED_OHM,
    MACHINE_CABLE_OHM,
    Ends,
)
from groundstrap.model import Installation, Part, PartKind, Tie
from groundstrap.tables import (
    ContactResistance,
    chassis_resistance,
    contact_resistance,
    fuse_element,
    next_rating,
)

__all__ = [
    "arm_ends",
    "contact_of",
    "fuse_family_for",
    "part_ends",
    "presumed_rating_a",
    "tie_ends",
    "wire_end_ends",
]

BOLTED_FROM_MM2 = 10.0
"""From here on wires end in ring terminals, below in crimps that plug in; common practice. [mm2]"""

_CONTACT_OF: dict[PartKind, str] = {
    PartKind.SWITCH: "switch",
    PartKind.ISOLATOR: "isolator",
    PartKind.RELAY: "relay",
    PartKind.CONNECTOR: "connector",
    PartKind.SENSOR: "sensor",
    PartKind.JOINT: "joint",
    PartKind.BREAKER: "breaker",
    # Nobody knows what it is: taken as a joint, and what hangs on it stays uncertain.
    PartKind.UNKNOWN: "joint",
    PartKind.RESISTOR: "joint",
}
_HELD_OFF = Ends(1e4, 1e4, 1e4)
"""An unknown part from a source's plus to its negative: next to nothing flows, or it would have burnt. [ohm]
Own judgement; the finding says that it may be a short."""
_FAMILIES = ("regular blade", "high-current blade", "bolt-down strip 51 mm")


@lru_cache(maxsize=4096)
def presumed_rating_a(current_a: float, *, short: bool = False) -> float:
    """Return the least fuse that would go with a current, while none is chosen. [A]

    A fuse that only carries short runs needs no margin for hours; the one that is chosen is never smaller, so
    it never loses more volts than was reckoned with.

    >>> presumed_rating_a(12.0), presumed_rating_a(10.0, short=True)
    (15.0, 10.0)
    """
    wanted = max(current_a, 1.0) / (1.0 if short else 0.8)
    for family in _FAMILIES:
        rating = next_rating(wanted, family)
        if rating is not None:
            return rating
    return wanted


def part_ends(installation: Installation, part: Part, current_a: float, *, short: bool = False) -> Ends:
    """Return the resistance of a closed part that carries this design current. [ohm]

    `short` tells that it only carries loads that run for a short while.
    """
    if part.kind is PartKind.UNKNOWN and installation.may_short(installation.circuits[part.circuit]):
        return _HELD_OFF
    gear = installation.gear.get(part.gear or "")
    written = (
        part.resistance_ohm if part.resistance_ohm is not None else (gear.resistance_ohm if gear else None)
    )
    if written is not None and written > 0.0:
        return Ends(written, written, written)
    rating = part.rating_a if part.rating_a is not None else (gear.rating_a if gear else None)
    if part.kind is PartKind.FUSE:
        presumed = presumed_rating_a(current_a, short=short)
        return _fuse_ends(rating if rating is not None else presumed, part.family)
    if part.kind is PartKind.DIODE:
        amps = max(current_a, 1.0)
        return Ends(DIODE_DROP_V.low / amps, DIODE_DROP_V.typical / amps, DIODE_DROP_V.high / amps)
    return _contact(_CONTACT_OF[part.kind], rating if rating is not None else current_a)


def contact_of(kind: PartKind) -> str | None:
    """Return what the table of contacts calls a kind of part; None for one that it does not hold.

    >>> contact_of(PartKind.SWITCH)
    'switch'
    """
    return _CONTACT_OF.get(kind)


@lru_cache(maxsize=4096)
def _contact(name: str, rating_a: float) -> Ends:
    return _ends(contact_resistance(name, rating_a))


def _ends(found: ContactResistance) -> Ends:
    return Ends(found.low_ohm, found.typical_ohm, found.high_ohm)


@lru_cache(maxsize=1024)
def _fuse_ends(rating_a: float, family: str | None) -> Ends:
    element = fuse_element(family or fuse_family_for(rating_a), rating_a)
    holder = _contact("fuse holder", rating_a)
    return Ends(
        element.cold_low_ohm + holder.low,
        element.cold_typical_ohm + holder.typical,
        element.cold_high_ohm + holder.high,
    )


def fuse_family_for(rating_a: float) -> str:
    """Return the family that a fuse of a rating is taken for where none is written."""
    return next((f for f in _FAMILIES if next_rating(rating_a, f) is not None), _FAMILIES[-1])


@lru_cache(maxsize=64)
def _wire_end(*, bolted: bool) -> Ends:
    found = contact_resistance("ring terminal" if bolted else "joint")
    return Ends(2 * found.low_ohm, 2 * found.typical_ohm, 2 * found.high_ohm)


def wire_end_ends(area_mm2: float, parallel: int) -> Ends:
    """Return the resistance of both ends of a wire together. [ohm]"""
    one = _wire_end(bolted=area_mm2 >= BOLTED_FROM_MM2)
    return Ends(one.low / parallel, one.typical / parallel, one.high / parallel)


def tie_ends(tie: Tie) -> Ends:
    """Return the resistance of a connection that nobody drew. [ohm]"""
    if tie.kind == "existing block":
        return EXISTING_FEED_OHM
    return MACHINE_CABLE_OHM if tie.kind == "alternator" else BATTERY_NEGATIVE_OHM


@lru_cache(maxsize=16)
def arm_ends(body: str) -> Ends:
    """Return half of the body's resistance: two arms lie between any two points on it. [ohm]"""
    found = chassis_resistance(body if body in {"steel", "aluminium", "frame"} else "steel")
    ends = Ends(found.low_ohm / 2, found.typical_ohm / 2, found.high_ohm / 2)
    assert math.isfinite(ends.high)
    return ends
