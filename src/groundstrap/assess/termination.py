"""Ends of cable: ring, tab, contact or splice by conductor and part, with stud, torque and heat-shrink."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any, Final

from groundstrap.assess.conductors import Lie, conductor
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.part_results import WireEnd
from groundstrap.assess.thermal import conductor_c
from groundstrap.assess.wiring import Wiring
from groundstrap.model import (
    FUSES,
    Gear,
    GearKind,
    Installation,
    Load,
    LoadKind,
    Part,
    PartKind,
    Passage,
    Supply,
    SupplyKind,
    Uncertain,
    Wire,
)
from groundstrap.records import dataclass, replace
from groundstrap.tables import (
    HeatShrink,
    PartTerminal,
    Ring,
    Torque,
    crimp_colours_for,
    fuse_family,
    heat_shrink_for,
    part_terminal,
    plugs_with_contacts,
    ring_for,
    rings_of,
    smallest_stud,
    stud_called,
    torque,
    torque_connections,
)

__all__ = ["ends_of", "lies_at_parts", "shrink_of", "shrink_of_mm"]

BARREL: Final = 1.5
"""Outer diameter of a crimp's barrel over the conductor's; own judgement. [1]"""
_TAB: Final = re.compile(r"(\d+(?:\.\d+)?) ?mm")
_TABS: Final = ("2.8 mm tab", "4.8 mm tab", "6.3 mm tab", "9.5 mm tab")
_WET: Final = frozenset({"splash", "spray", "submerged"})
_SEALED: Final = frozenset({"agm", "gel", "lfp"})


@dataclass(frozen=True, slots=True)
class _Terminal:
    """What a point offers, before any conductor comes to it."""

    point: str
    terminal: str | None
    stud: str | None = None
    assumed: bool = True
    at_part: bool = False
    tab_mm: float | None = None
    least_mm2: float | None = None
    most_mm2: float | None = None
    connection: str | None = None
    """Its name in the table of torques."""
    source: str = ""


def ends_of(wiring: Wiring) -> Mapping[str, tuple[WireEnd, WireEnd]]:
    """Return both ends of every wire, by its name."""
    return at_any_length(wiring, "ends of wires", _ends_of)


def _ends_of(wiring: Wiring) -> Mapping[str, tuple[WireEnd, WireEnd]]:
    installation = wiring.installation
    terminals = {each.point: each for each in _terminals(installation)}
    found = {}
    for wire in installation.wires():
        sized = _sized(installation, wire)
        found[wire.name] = (
            _end(wiring, wire, terminals.get(wire.start) or _Terminal(wire.start, None), 0, sized),
            _end(wiring, wire, terminals.get(wire.end) or _Terminal(wire.end, None), -1, sized),
        )
    return found


def lies_at_parts(wiring: Wiring) -> Mapping[str, tuple[Lie, ...]]:
    """Return where each wire brings its heat to a fuse, switch, relay or stud, by its name.

    As everything that hangs on no length, with pieces of one metre.
    """
    return at_any_length(wiring, "lies at parts", _lies_at_parts)


def _lies_at_parts(wiring: Wiring) -> Mapping[str, tuple[Lie, ...]]:
    hot = {each.point for each in _terminals(wiring.installation) if each.at_part}
    found = {}
    for wire in wiring.installation.wires():
        lies = wiring.lies.get(wire.name, ())
        ends = ((wire.start, 0), (wire.end, -1))
        found[wire.name] = tuple(dict.fromkeys(lies[n] for point, n in ends if lies and point in hot))
    return found


def _sized(installation: Installation, wire: Wire) -> dict[str, Any]:
    """What both ends of a wire have by its size: heat-shrink, and the colours of crimps."""
    if wire.size is None:
        return {}
    return {
        "shrink_mm": shrink_of_mm(installation, wire),
        "crimp_colours": tuple(each.colour for each in crimp_colours_for(wire.size.area_mm2)),
    }


def _end(wiring: Wiring, wire: Wire, found: _Terminal, number: int, sized: Mapping[str, Any]) -> WireEnd:
    warmth = _warmth(wiring, wire, number)
    common: dict[str, Any] = {
        "point": found.point,
        "terminal": found.terminal,
        "stud": found.stud,
        "assumed": found.assumed,
        "at_part": found.at_part,
        "tab_mm": found.tab_mm,
        "air_c": warmth.air_c,
        "conductor_c": warmth.conductor_c,
        "torque_nm": _torque(found.connection, found.stud),
        "takes_least_mm2": found.least_mm2,
        "takes_most_mm2": found.most_mm2,
        "source": found.source,
        **sized,
    }
    if wire.size is not None and found.terminal == "ring":
        common |= _ring(found, wire.size.area_mm2, common["torque_nm"])
    return WireEnd(**common)


@dataclass(frozen=True, slots=True)
class _Warmth:
    air_c: float | None
    conductor_c: float | None


def _warmth(wiring: Wiring, wire: Wire, number: int) -> _Warmth:
    """The air at one end of a wire, and what its conductor brings there."""
    lies = wiring.lies.get(wire.name, ())
    if not lies:
        return _Warmth(None, None)
    lie = lies[number]
    carried = wiring.currents.pieces.get(wire.name)
    amps = carried.continuous_a if carried is not None else None
    if wire.size is None or carried is None or amps is None:
        return _Warmth(lie.ambient_c, None)
    one = conductor(wire, wire.size, wiring.installation.basis)
    hot_c = conductor_c(one, lie, amps / wire.parallel, carried.pulses, wiring.installation.loads)
    return _Warmth(lie.ambient_c, hot_c if math.isfinite(hot_c) else None)


def _ring(found: _Terminal, area_mm2: float, torque_nm: Uncertain | None) -> dict[str, Any]:
    """What a ring adds: thinnest stud, and with a stud its hole, torque and the conductors it takes."""
    least = smallest_stud(area_mm2)
    fields: dict[str, Any] = {"least_stud": least.stud if isinstance(least, Ring) else None}
    if found.stud is None:
        return fields
    rings = rings_of(found.stud)
    # A gauge beside its metric equal is taken although its area lies a little outside.
    made = isinstance(ring_for(area_mm2, found.stud), Ring)
    own_nm = Uncertain((rings.low_nm + rings.high_nm) / 2, rings.low_nm, rings.high_nm)
    return fields | {
        "hole_mm": rings.hole_mm,
        "torque_nm": torque_nm if torque_nm is not None else own_nm,
        "takes_least_mm2": min(rings.least_mm2, area_mm2) if made else rings.least_mm2,
        "takes_most_mm2": max(rings.most_mm2, area_mm2) if made else rings.most_mm2,
        "source": found.source or rings.source,
    }


@lru_cache(maxsize=256)
def _torque(connection: str | None, stud: str | None) -> Uncertain | None:
    if connection is None or connection not in torque_connections():
        return None
    for thread in (stud, "any"):
        found = torque(connection, thread) if thread is not None else None
        if isinstance(found, Torque):
            return Uncertain((found.low_nm + found.high_nm) / 2, found.low_nm, found.high_nm)
    return None


def shrink_of_mm(installation: Installation, wire: Wire) -> float | None:
    """Return the heat-shrink over cable and barrel before it shrinks; None where none fits. [mm]"""
    found = shrink_of(installation, wire)
    return found.expanded_mm if found is not None else None


def shrink_of(installation: Installation, wire: Wire) -> HeatShrink | None:
    """Return the heat-shrink over cable and barrel; None where none fits.

    Lined in wet places, and where only the lined one, which shrinks further, grips both.
    """
    if wire.size is None:
        return None
    data = conductor(wire, wire.size, installation.basis).data
    zones = [installation.zones[stretch.zone] for stretch in wire.stretches]
    wet = any(zone.wet in _WET for zone in zones)
    largest_mm = max(data.thick_outer_d_mm, BARREL * data.conductor_d_mm)
    for adhesive in (True,) if wet else (False, True):
        found = heat_shrink_for(data.thin_outer_d_mm, largest_mm, adhesive=adhesive)
        if isinstance(found, HeatShrink):
            return found
    return None


def _terminals(installation: Installation) -> Iterator[_Terminal]:
    """Every point of the job with what it offers; the nearest thing to a point comes last and stands."""
    for point in installation.chassis_points:
        yield _usual(point, "chassis", 0.0, at_part=True)
    for gear in installation.gear.values():
        if gear.kind in {GearKind.BLOCK, GearKind.CHASSIS}:
            yield _of_block(gear)
    for supply in installation.supplies.values():
        yield from _of_supply(supply)
    for load in installation.loads.values():
        yield from _of_load(installation, load)
    for circuit in installation.circuits.values():
        before = None
        for element in (*circuit.path, *circuit.back):
            if isinstance(element, Part):
                yield from _of_part(installation, element, before)
            before = element


def _usual(
    point: str, part: str, rating_a: float, *, at_part: bool, connection: str | None = None
) -> _Terminal:
    """What such a part usually has."""
    found: PartTerminal = part_terminal(part, rating_a)
    return _Terminal(
        point,
        found.terminal,
        stud=found.stud,
        at_part=at_part,
        tab_mm=found.tab_mm,
        least_mm2=found.least_mm2,
        most_mm2=found.most_mm2,
        connection=connection,
        source=found.source,
    )


def _written(point: str, words: str, *, connection: str | None = None) -> _Terminal:
    """What the job says that it has: a stud by its thread, or a tab by its width."""
    stud = stud_called(words)
    if stud is not None:
        return _Terminal(point, "ring", stud=stud, assumed=False, at_part=True, connection=connection)
    tab = _TAB.search(words)
    if tab is None:
        return _Terminal(point, None, assumed=False, at_part=True)
    usual = next((name for name in _TABS if name.startswith(f"{float(tab[1]):g} ")), None)
    if usual is None:
        return _Terminal(point, "tab", assumed=False, at_part=True, tab_mm=float(tab[1]))
    return replace(_usual(point, usual, 0.0, at_part=True), assumed=False)


def _of_block(gear: Gear) -> _Terminal:
    if gear.stud is not None:
        return _written(gear.name, gear.stud)
    if gear.ways:
        # Fuse blocks have tabs, screws or studs: nobody says which.
        return _Terminal(gear.name, None, at_part=True)
    return _usual(gear.name, "busbar" if gear.kind is GearKind.BLOCK else "chassis", 0.0, at_part=True)


def _of_supply(supply: Supply) -> Iterator[_Terminal]:
    battery = supply.kind is SupplyKind.BATTERY
    for point in (supply.plus, supply.minus, *supply.taps, supply.in_plus, supply.in_minus):
        if point is None:
            continue
        if supply.stud is not None:
            yield _written(point, supply.stud, connection=_battery_stud(supply) if battery else None)
        elif battery:
            yield _usual(point, "battery post", 0.0, at_part=False, connection="battery post clamp")
        elif supply.kind is SupplyKind.ALTERNATOR and point == supply.plus:
            yield _usual(point, "alternator", supply.rating_a or 0.0, at_part=True)
        else:
            yield _Terminal(point, None)


def _battery_stud(supply: Supply) -> str:
    return "sealed battery stud" if supply.chemistry in _SEALED else "flooded battery stud or L terminal"


def _of_load(installation: Installation, load: Load) -> Iterator[_Terminal]:
    for point in (load.plus, load.minus):
        if load.stud is not None:
            yield _written(point, load.stud)
        elif load.kind is LoadKind.COIL:
            yield _usual(point, "relay coil", _relay_a(installation, load), at_part=False)
        elif load.fitted.wire is not None:
            yield _Terminal(point, "splice", assumed=False)
        else:
            yield _Terminal(point, None)


def _relay_a(installation: Installation, coil: Load) -> float:
    gear = installation.gear.get(coil.relay or "")
    return (gear.rating_a or 0.0) if gear is not None else 0.0


def _of_part(installation: Installation, part: Part, before: object) -> Iterator[_Terminal]:
    gear = installation.gear.get(part.gear or "")
    rating_a = part.rating_a or (gear.rating_a if gear is not None else None) or 0.0
    block = installation.gear.get(before.name) if isinstance(before, Passage) else None
    in_block = block is not None and block.kind is GearKind.BLOCK and part.kind in FUSES
    for point in (part.start, part.end):
        if gear is not None and gear.stud is not None:
            yield _written(point, gear.stud)
        elif in_block and block is not None and block.stud is not None:
            yield _written(point, block.stud)
        elif in_block:
            # The fuse sits in the block, whose terminals nobody wrote.
            yield _Terminal(point, None, at_part=True)
        else:
            yield _of_kind(part, point, rating_a)


def _of_kind(part: Part, point: str, rating_a: float) -> _Terminal:
    if part.kind is PartKind.UNKNOWN or (part.kind is PartKind.FUSE and part.family is None):
        return _Terminal(point, None, at_part=True)
    if part.plug is not None and part.plug in plugs_with_contacts():
        return replace(_usual(point, part.plug, 0.0, at_part=True), assumed=False)
    name = part.kind.value
    if part.kind is PartKind.FUSE and part.family is not None:
        # Somebody may write a breaker's family at a `fuse`.
        found = fuse_family(part.family)
        name = found.name if found.kind == "fuse" else found.kind
    return _usual(point, name, rating_a, at_part=True, connection=name)
