"""What can hurt someone in the work on one job, each with the step at which it does and where.

Only what the job really holds: a battery that gases, cable ahead of the first fuse, a zone with vapour. The
words are those of the table of cautions, or say why they are here; local codes and licensed practice come
before all of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from enum import StrEnum
from typing import Final

from groundstrap.model import (
    FUSES,
    Circuit,
    Installation,
    LoadKind,
    Part,
    PartKind,
    State,
    Supply,
    SupplyKind,
    Wire,
    Zone,
)
from groundstrap.records import dataclass
from groundstrap.tables import caution
from groundstrap.words import sentence, term, words

__all__ = ["Hazard", "WorkStep", "hazards_of"]

_HOT_ZONE_C: Final = 70.0
"""Air from which on hot metal is near; own judgement. [degC]"""
_SUN_ONLY: Final = frozenset({"roof"})
"""Hot by the sun alone: nothing there burns a cable."""
_DISTURBS: Final = frozenset({LoadKind.INVERTER, LoadKind.CHARGER, LoadKind.LED})
_DISTURBING: Final = frozenset({SupplyKind.DC_DC, SupplyKind.MAINS_CHARGER, SupplyKind.SOLAR_CHARGER})
"""What switches fast and is heard in a receiver; common practice."""
_ARC_V: Final = 48.0
"""Nominal voltage from which on an arc at a contact does not go out by itself. [V]"""
_AIRBAG: Final = re.compile(r"\b(air ?bags?|seat ?belt tensioners?|restraints?)\b", re.IGNORECASE)
_HIGH_VOLTAGE: Final = re.compile(
    r"\b(hybrid|high[- ]voltage|traction battery|orange cables?|"
    r"(?:battery[- ])?electric (?:car|van|truck|bus|vehicle))\b",
    re.IGNORECASE,
)


class WorkStep(StrEnum):
    """The step of the work at which a hazard is met."""

    DISCONNECT = "disconnect"
    LAY = "lay"
    CONNECT = "connect"
    POWER = "power"
    HAND_OVER = "hand over"


@dataclass(frozen=True, slots=True)
class Hazard:
    """One thing that can hurt someone: what it is, at which step of which circuit, and the caution."""

    name: str
    step: WorkStep
    text: str
    circuit: str | None = None


def hazards_of(installation: Installation) -> tuple[Hazard, ...]:
    """Return the hazards of the work on a job, in the order of the work; only what is really there."""
    return (
        *_batteries(installation),
        *_the_vehicle(installation),
        *(found for circuit in _new(installation) for found in _of_circuit(installation, circuit)),
        *_disturbing(installation),
        *_connecting(installation),
        *_charging(installation),
    )


def _new(installation: Installation) -> tuple[Circuit, ...]:
    return tuple(c for c in installation.circuits.values() if c.state is State.NEW)


def _there(installation: Installation) -> tuple[Supply, ...]:
    return tuple(s for s in installation.supplies.values() if s.state is not State.REMOVE)


def _worded(name: str, step: WorkStep, where: str = "", circuit: str | None = None) -> Hazard:
    """A hazard in the words of the table, with the place put before them."""
    told = term(caution(name).text)
    return Hazard(
        name, step, words("{where}: {told}.", where=where, told=told) if where else sentence(told), circuit
    )


def _batteries(installation: Installation) -> Iterator[Hazard]:
    batteries = [s for s in _there(installation) if s.kind is SupplyKind.BATTERY]
    kinds = {SupplyKind.SOLAR, SupplyKind.SOLAR_CHARGER, SupplyKind.MAINS_CHARGER}
    others = [*(s for s in _there(installation) if s.kind in kinds), *batteries[1:]]
    if others:
        names = ", ".join(supply.name for supply in others)
        text = words("Dead at one battery is not dead everywhere: also part {names}.", names=names)
        yield Hazard("second source", WorkStep.DISCONNECT, text)
    gassing = [battery.name for battery in batteries if battery.chemistry in {None, "flooded"}]
    if gassing:
        text = words(
            "{names}: air the place, no spark near; gloves and eye shield, water at hand.",
            names=", ".join(gassing),
        )
        yield Hazard("battery gas", WorkStep.DISCONNECT, text)


def _the_vehicle(installation: Installation) -> Iterator[Hazard]:
    """What a vehicle of its kind holds besides the work."""
    told = [installation.title, *installation.about.values(), *_names(installation)]
    # A traction battery that the job itself draws has the job's own volts.
    beside = [text for text in told if text not in installation.supplies]
    if any(_HIGH_VOLTAGE.search(text) for text in beside):
        yield _worded("high voltage", WorkStep.DISCONNECT)
        yield _worded("high voltage stored", WorkStep.DISCONNECT)
    if any(_AIRBAG.search(text) for text in told):
        yield _worded("airbag", WorkStep.DISCONNECT)


def _names(installation: Installation) -> Iterator[str]:
    yield from installation.supplies
    yield from installation.gear
    yield from installation.loads
    yield from installation.circuits
    yield from installation.places
    things = (installation.supplies, installation.gear, installation.loads, installation.circuits)
    for by_name in things:
        yield from (thing.note for thing in by_name.values() if thing.note is not None)


def _of_circuit(installation: Installation, circuit: Circuit) -> Iterator[Hazard]:
    name, zones = circuit.name, _zones(installation, circuit)
    hot = [z.name for z in zones if z.high_c >= _HOT_ZONE_C and z.name not in _SUN_ONLY]
    if hot:
        yield _worded("hot surface", WorkStep.LAY, ", ".join(hot), name)
    if any(zone.name == "underbody" for zone in zones):
        yield _worded("under the vehicle", WorkStep.LAY, circuit=name)
    for zone in zones:
        if zone.vapour != "no":
            gas = "battery gas" if zone.vapour == "hydrogen" else "fuel vapour"
            text = words(
                "{zone}: air it out first; no spark, no hot tool, only ignition-protected parts.",
                zone=zone.name,
            )
            yield Hazard(gas, WorkStep.LAY, text, name)
    kinds = {installation.loads[load].kind for load in circuit.loads if load in installation.loads}
    mains = _mains(installation, circuit)
    if mains:
        yield _worded("mains voltage", WorkStep.LAY, mains, name)
    if any(zone.vapour in {"petrol", "unknown"} for zone in zones):
        yield _worded("fuel vapour", WorkStep.POWER, circuit=name)
    if LoadKind.INVERTER in kinds:
        yield _worded("capacitor", WorkStep.POWER, circuit=name)
    if installation.system_v >= _ARC_V and any(p.kind is PartKind.CONNECTOR for p in circuit.parts):
        yield _worded("48 V contacts", WorkStep.POWER, circuit=name)


def _disturbing(installation: Installation) -> Iterator[Hazard]:
    """Once for the job, at the first circuit of what disturbs receivers."""
    found: dict[str, str] = {}
    for circuit in _new(installation):
        ends = {circuit.start, circuit.end}
        for name in circuit.loads:
            if name in installation.loads and installation.loads[name].kind in _DISTURBS:
                found.setdefault(name, circuit.name)
        for supply in _there(installation):
            if supply.kind in _DISTURBING and ends & {supply.plus, supply.in_plus}:
                found.setdefault(supply.name, circuit.name)
    if found:
        yield _worded("interference", WorkStep.LAY, ", ".join(found), next(iter(found.values())))


def _mains(installation: Installation, circuit: Circuit) -> str:
    """The inverter or mains charger that a circuit leads to or from; empty where there is none."""
    for name in circuit.loads:
        if name in installation.loads and installation.loads[name].kind is LoadKind.INVERTER:
            return name
    for supply in _there(installation):
        if supply.kind is SupplyKind.MAINS_CHARGER and supply.plus in {circuit.start, circuit.end}:
            return supply.name
    return ""


def _connecting(installation: Installation) -> Iterator[Hazard]:
    batteries = [s for s in _there(installation) if s.kind is SupplyKind.BATTERY]
    posts = {battery.plus for battery in batteries}
    bare = [circuit.name for circuit in _new(installation) if _bare_at_post(circuit, posts)]
    if bare:
        yield _worded("unfused battery cable", WorkStep.CONNECT, ", ".join(bare))
    lithium = [battery.name for battery in batteries if battery.chemistry == "lfp"]
    if lithium:
        yield _worded("lithium short circuit", WorkStep.CONNECT, ", ".join(lithium))


def _charging(installation: Installation) -> Iterator[Hazard]:
    charged = [s for s in _there(installation) if s.kind not in {SupplyKind.BATTERY, SupplyKind.SOLAR}]
    cold = [
        s.name
        for s in _there(installation)
        if s.chemistry == "lfp" and s.kind is SupplyKind.BATTERY and installation.zones[s.zone].low_c < 0.0
    ]
    if cold and charged:
        yield _worded("lithium cold charge", WorkStep.HAND_OVER, ", ".join(cold))


def _bare_at_post(circuit: Circuit, posts: set[str]) -> bool:
    """Whether cable of a circuit lies between a battery's plus and the fuse nearest to it."""
    ways = []
    if circuit.start in posts:
        ways.append(circuit.path)
    if circuit.end in posts:
        ways.append(circuit.path[::-1])
    for way in ways:
        for element in way:
            if isinstance(element, Part) and element.kind in FUSES:
                break
            if isinstance(element, Wire) and element.length_m > 0.0:
                return True
    return False


def _zones(installation: Installation, circuit: Circuit) -> list[Zone]:
    """Zones that a circuit's new cable and parts lie in, in their order."""
    names = [stretch.zone for wire in circuit.wires for stretch in wire.stretches]
    names += [part.zone for part in circuit.parts if part.state is State.NEW]
    return [installation.zones[name] for name in dict.fromkeys(names) if name in installation.zones]
