"""What rules need to know about where a circuit begins, what lies beside it, and how it comes back."""

from __future__ import annotations

import math
import re
from typing import Final

from groundstrap.assess.spare import SAFETY, current_was_read, loads_were_read
from groundstrap.checks.facts import CircuitSubject
from groundstrap.checks.once import once
from groundstrap.model import FUSES, Circuit, GearKind, LoadKind, Part, PartKind, State, Supply, Wire
from groundstrap.tables import trailer_standards

__all__: list[str] = []

_TRAILER: Final = re.compile(r"\b(trailer|caravan)\b", re.IGNORECASE)
_COMPASS: Final = re.compile(r"\bcompass\b", re.IGNORECASE)
_COMPASS_M: Final = 0.5
"""How near a cable that leads to the compass's place passes it; own judgement. [m]"""
_EARTH_T: Final = 20e-6
"""Horizontal part of the earth's field in middle latitudes. [T]"""
_MU0_BY_2_PI: Final = 2e-7
"""Field of a long straight wire at one metre for each ampere. [T m/A]"""


def begins_with_tap(subject: CircuitSubject) -> bool:
    """Whether its first fuse sits in a fuse tap."""
    return _tap(subject.circuit) is not None


def behind_tapped_fuse(subject: CircuitSubject) -> bool:
    """Whether it begins at the load side of the fuse in whose slot the tap sits."""
    start = subject.facts.point(subject.circuit.start)
    return any(
        part.kind in FUSES and part.circuit != subject.circuit.name
        for part in subject.facts.parts.values()
        if subject.facts.point(part.end) == start
    )


def tap_fuse_a(subject: CircuitSubject) -> float | None:
    """Rating of the fuse that the tap adds. [A]"""
    tap = _tap(subject.circuit)
    return None if tap is None else tap.rating_a


def goes_to_trailer(subject: CircuitSubject) -> bool:
    """Whether it feeds a load on a trailer, or through a trailer socket."""
    circuit = subject.circuit
    if not circuit.loads:
        return False
    plugged = any(_is_socket(element) for element in circuit.path)
    loads = [subject.facts.loads[name] for name in circuit.loads if name in subject.facts.loads]
    towed = any(_TRAILER.search(load.place) is not None for load in loads)
    source = subject.facts.supplies.get((subject.found.source or "") if subject.found is not None else "")
    own = source is not None and _TRAILER.search(source.place) is not None
    return plugged or (towed and not own)


def comes_back_by_cable(subject: CircuitSubject) -> bool:
    """Whether its way back is a cable, and where it goes out by a trailer socket comes back by one."""
    circuit = subject.circuit
    if circuit.back_end is not None and subject.facts.on_body(circuit.back_end):
        return False
    if not any(_is_socket(element) for element in circuit.path):
        return True
    # A return that another circuit of the trailer draws may hold the pin.
    others = (c for c in subject.facts.circuits.values() if circuit.back_end in {c.start, c.end})
    ways = (circuit.back, *(other.path for other in others))
    return any(_is_socket(element) for way in ways for element in way)


def twin(subject: CircuitSubject) -> str:
    """An earlier circuit between the same two points, whose cable shares its current; empty for none."""
    found = _twin(subject)
    return found.name if found is not None else ""


def unlike_pct(subject: CircuitSubject) -> float | None:
    """How far the resistances of the two lie apart. [%]"""
    other = _twin(subject)
    own = _ohm(subject, subject.circuit)
    beside = None if other is None else _ohm(subject, other)
    if own is None or beside is None or min(own, beside) <= 0.0:
        return None
    return 100.0 * (max(own, beside) / min(own, beside) - 1.0)


def label(subject: CircuitSubject) -> str:
    """The number on its wires."""
    return subject.circuit.label or ""


def label_twin(subject: CircuitSubject) -> str:
    """An earlier circuit with the same number on its wires; empty for none."""
    for name, other in subject.facts.circuits.items():
        if name == subject.circuit.name:
            return ""
        if other.label == subject.circuit.label and subject.circuit.label:
            return name
    return ""


def begins_on_existing(subject: CircuitSubject) -> bool:
    """Whether it is new and begins at something that is in the vehicle already."""
    return subject.circuit.state is State.NEW and bool(_hosts(subject))


def safety_purpose(subject: CircuitSubject) -> str:
    """Name of what it begins at or within, where that name tells of safety; empty where none does."""
    return next((name for name in _hosts(subject) if SAFETY.search(name)), "")


def host_measured(subject: CircuitSubject) -> bool | None:
    """True where what the circuit that it begins within carries was measured, else None."""
    facts = subject.facts
    host = next((facts.circuits[name] for name in _hosts(subject) if name in facts.circuits), None)
    if host is None:
        return None
    loads = [facts.loads[name] for name in host.loads if name in facts.loads]
    read = current_was_read(facts.installation, host) or loads_were_read(facts.installation, loads)
    return True if read else None


def near_compass(subject: CircuitSubject) -> bool:
    """Whether it leads to the place of a magnetic compass, on a boat."""
    return subject.facts.basis == "boat" and bool(
        _compass_places(subject) & _places(subject, subject.circuit)
    )


def laid_as_pair(subject: CircuitSubject) -> bool:
    """Whether its way back lies beside it, as a wire of its own or of a circuit between the same places."""
    circuit = subject.circuit
    if circuit.back_end is not None:
        back = any(isinstance(element, Wire) for element in circuit.back)
        return back and not subject.facts.on_body(circuit.back_end)
    places = _places(subject, circuit)
    return any(
        other.back_end is None and other.name != circuit.name and _places(subject, other) == places
        for other in subject.facts.circuits.values()
    )


def turns_compass_deg(subject: CircuitSubject) -> float | None:
    """How far its current alone, 0.5 m from a compass, turns it. [deg]"""
    amps = subject.found.continuous_a if subject.found is not None else None
    if amps is None:
        return None
    return math.degrees(math.atan(_MU0_BY_2_PI * amps / _COMPASS_M / _EARTH_T))


def spans_part(subject: CircuitSubject) -> bool:
    """Whether it takes part of a bank's voltage: out of or back to a point between its batteries."""
    return _tapped(subject) is not None


def tap_v(subject: CircuitSubject) -> float | None:
    """Nominal voltage that it spans of that bank; None where its other end does not tell. [V]"""
    bank = _tapped(subject)
    if bank is None:
        return None
    circuit = subject.circuit
    back = circuit.back_end if circuit.back_end is not None else circuit.end
    upper, lower = _level(subject, bank, circuit.start), _level(subject, bank, back)
    if lower is None and _at_tap(subject, bank, circuit.start):
        lower = 0  # over body or bus it comes back to the bank's negative post
    if upper is None or lower is None or upper == lower:
        return None
    return bank.nominal_v * abs(upper - lower) / bank.series


def bank_v(subject: CircuitSubject) -> float:
    """Nominal voltage of the bank that it taps, else of the vehicle. [V]"""
    bank = _tapped(subject)
    return bank.nominal_v if bank is not None else subject.facts.system_v


def _tap(circuit: Circuit) -> Part | None:
    first = next((e for e in circuit.path if isinstance(e, Part) and e.kind in FUSES), None)
    return first if first is not None and first.holder == "tap" else None


def _is_socket(element: object) -> bool:
    return (
        isinstance(element, Part)
        and element.kind is PartKind.CONNECTOR
        and element.plug in trailer_standards()
    )


@once
def _twin(subject: CircuitSubject) -> Circuit | None:
    facts, own = subject.facts, subject.circuit
    ends = {facts.point(own.start), facts.point(own.end)}
    for other in facts.circuits.values():
        if other.name == own.name:
            return None
        if {facts.point(other.start), facts.point(other.end)} == ends and len(ends) > 1:
            return other
    return None


def _ohm(subject: CircuitSubject, circuit: Circuit) -> float | None:
    """Resistance of a circuit's cable on its way out, at 20 degC. [ohm]"""
    found = subject.facts.assessment.circuits.get(circuit.name)
    if found is None:
        return None
    ohms = [
        None if wire.ohm_per_m_20c is None else wire.ohm_per_m_20c * wire.length_m
        for wire in found.wires.values()
        if not wire.returning
    ]
    known = [ohm for ohm in ohms if ohm is not None]
    return sum(known) if known and len(known) == len(ohms) else None


@once
def _hosts(subject: CircuitSubject) -> tuple[str, ...]:
    """Names of the existing block or circuit that a circuit begins at or within, and of what hangs there."""
    facts, start = subject.facts, subject.circuit.start
    gear = facts.installation.gear.get(start)
    if gear is not None and gear.kind is GearKind.BLOCK:
        return (gear.name,) if gear.state is State.EXISTING else ()
    for circuit in facts.circuits.values():
        if circuit.state is not State.EXISTING or circuit.name == subject.circuit.name:
            continue
        points = {point for part in circuit.parts for point in (part.start, part.end)}
        points |= {point for wire in circuit.wires for point in (wire.start, wire.end)}
        if start in points - {circuit.start}:
            loads = (
                n for n in circuit.loads if n in facts.loads and facts.loads[n].kind is not LoadKind.COIL
            )
            return (circuit.name, *loads)
    return ()


def _compass_places(subject: CircuitSubject) -> set[str]:
    installation = subject.facts.installation
    named = {place for place in installation.places if _COMPASS.search(place)}
    named |= {load.place for load in installation.loads.values() if _COMPASS.search(load.name)}
    return named | {gear.place for gear in installation.gear.values() if _COMPASS.search(gear.name)}


def _places(subject: CircuitSubject, circuit: Circuit) -> set[str]:
    """Places of the two ends of a circuit."""
    installation = subject.facts.installation
    places = {name: gear.place for name, gear in installation.gear.items()}
    places |= {name: supply.place for name, supply in installation.supplies.items()}
    places |= {name: load.place for name, load in installation.loads.items()}
    ends = (circuit.start, circuit.end, *circuit.loads)
    names = {end.removesuffix(" +").removesuffix(" -") for end in ends}
    return {places[name] for name in names if name in places}


@once
def _tapped(subject: CircuitSubject) -> Supply | None:
    """The bank that it takes something out of the middle of; what charges one of its batteries takes none."""
    circuit, facts = subject.circuit, subject.facts
    ends = (circuit.start, circuit.end, circuit.back_end)
    points = [point for point in ends if point is not None]
    if any(_at_charger(subject, point) for point in points):
        return None
    return next((bank for bank in facts.batteries if any(_at_tap(subject, bank, p) for p in points)), None)


def _at_charger(subject: CircuitSubject, point: str) -> bool:
    """Whether a point is the output of what charges, or the minus of a charger that no battery feeds."""
    facts = subject.facts
    return facts.machine_at(point) is not None or facts.point(point) in facts.charging_minuses


def _at_tap(subject: CircuitSubject, bank: Supply, point: str) -> bool:
    """Whether a point lies between two batteries of a bank."""
    # A battery by itself has no point between.
    return (
        bool(bank.taps)
        and bool(_level(subject, bank, point))
        and subject.facts.point(point) != subject.facts.point(bank.plus)
    )


def _level(subject: CircuitSubject, bank: Supply, point: str) -> int | None:
    """Batteries of a bank that lie below a point, 0 at its negative post; None at no post of it."""
    facts = subject.facts
    posts = [facts.point(post) for post in (bank.minus, *bank.taps, bank.plus)]
    here = facts.point(point)
    return posts.index(here) if here in posts else None
