"""What a switch or relay with several positions keeps apart: one of them closes, the others are open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import permutations
from typing import Final

from groundstrap.model import Circuit, Gear, GearKind, Load, Part, State
from groundstrap.records import replace

__all__ = ["with_interlocks"]

_SELECTORS: Final = frozenset({GearKind.SWITCH, GearKind.RELAY})


def with_interlocks(
    loads: Mapping[str, Load], circuits: Mapping[str, Circuit], gear: Mapping[str, Gear]
) -> Mapping[str, Load]:
    """Return the loads, each knowing those behind the other positions of a selector as never on with it."""
    apart: dict[str, set[str]] = {}
    standing = {name: c for name, c in circuits.items() if c.state is not State.REMOVE}
    for selector in gear.values():
        if selector.kind not in _SELECTORS or len(selector.ways) < 2:
            continue
        behind = {way: _behind(standing, loads, selector.name, way) for way in selector.ways}
        for one, other in permutations(selector.ways, 2):
            for name in behind[one] - behind[other]:
                apart.setdefault(name, set()).update(behind[other] - behind[one])
    return {
        name: replace(load, never_with=load.never_with | apart[name]) if apart.get(name) else load
        for name, load in loads.items()
    }


def _behind(
    circuits: Mapping[str, Circuit], loads: Mapping[str, Load], selector: str, way: str
) -> frozenset[str]:
    """Loads that only run while this position is closed, those that a relay behind it switches among them."""
    fed = {name for name, c in circuits.items() if any(_is(part, selector, way) for part in c.parts)}
    found: frozenset[str] = frozenset()
    while True:
        fed |= set(_fed_by(circuits, fed)) | set(_switched(circuits, loads, found))
        now = frozenset(name for circuit in fed for name in circuits[circuit].loads)
        now = frozenset(name for name in now if _feeders(circuits, name) <= fed)
        if now == found:
            return found
        found = now


def _is(part: Part, gear: str, way: str) -> bool:
    return part.gear == gear and part.way == way


def _feeders(circuits: Mapping[str, Circuit], load: str) -> set[str]:
    return {name for name, circuit in circuits.items() if load in circuit.loads}


def _fed_by(circuits: Mapping[str, Circuit], fed: set[str]) -> Iterator[str]:
    """Circuits that begin where one of these ends, and where no other does."""
    ends = {circuits[name].end for name in fed if not circuits[name].loads}
    for name, circuit in circuits.items():
        leading = {other for other, c in circuits.items() if c.end == circuit.start}
        if circuit.start in ends and leading <= fed:
            yield name


def _switched(
    circuits: Mapping[str, Circuit], loads: Mapping[str, Load], found: frozenset[str]
) -> Iterator[str]:
    """Circuits that pass a relay whose only coil is among these loads."""
    relays = {loads[name].relay for name in found} - {None}
    shared = {load.relay for name, load in loads.items() if name not in found}
    for name, circuit in circuits.items():
        if any((part.gear or part.name) in relays - shared for part in circuit.parts):
            yield name
