"""Reference letters and numbers of everything that is built in, and the numbers of the cables.

The number of a thing follows the circuits by the numbers on their cables, along each path from its source
on, out and back; what no circuit passes comes last, by name. So it does not hang on the order of the file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Final

from groundstrap.model import (
    Circuit,
    Gear,
    GearKind,
    Installation,
    Load,
    LoadKind,
    Part,
    Passage,
    Supply,
    SupplyKind,
    Wire,
)
from groundstrap.records import dataclass
from groundstrap.words import Name

__all__ = ["References", "circuits_in_order", "natural", "references"]

# IEC 81346-2 gives a letter to what a thing is for. A pump or fan of a vehicle is bought and wired as one
# motor, so it has the motor's letter; a relay keeps the letter that vehicle drawings give it.
_SUPPLY_LETTERS: Final = {
    SupplyKind.BATTERY: "G",
    SupplyKind.ALTERNATOR: "G",
    SupplyKind.SOLAR: "G",
    SupplyKind.DC_DC: "T",
    SupplyKind.SOLAR_CHARGER: "T",
    SupplyKind.MAINS_CHARGER: "T",
}
_LOAD_LETTERS: Final = {
    LoadKind.HEATER: "E",
    LoadKind.PTC_HEATER: "E",
    LoadKind.LAMP: "E",
    LoadKind.LED: "E",
    LoadKind.MOTOR: "M",
    LoadKind.STARTER: "M",
    LoadKind.COMPRESSOR: "M",
    LoadKind.PUMP: "M",
    LoadKind.FAN: "M",
    LoadKind.INVERTER: "T",
    LoadKind.CHARGER: "T",
    LoadKind.ELECTRONICS: "A",
    LoadKind.OTHER: "A",
    LoadKind.COIL: "K",
}
_GEAR_LETTERS: Final = {
    "fuse": "F",
    "breaker": "F",
    "switch": "S",
    "isolator": "Q",
    "relay": "K",
    "connector": "X",
    "sensor": "B",
    "diode": "R",
    "resistor": "R",
    "joint": "X",
    "unknown": "A",
    "block": "X",
    "chassis": "X",
}
_BY_HAND: Final = frozenset({"hand", "always", "ignition", "engine"})
"""What a switch is worked by that senses nothing."""


@lru_cache(maxsize=4096)
def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Return what texts with numbers in them are sorted by, as people count.

    >>> sorted(["12", "2", "fan 10", "fan 9"], key=natural)
    ['2', '12', 'fan 9', 'fan 10']
    """
    pieces = re.findall(r"[0-9]+|[^0-9]+", text)
    return tuple((0, int(p), p) if p.isdecimal() else (1, 0, p) for p in pieces)


def circuits_in_order(installation: Installation) -> tuple[Circuit, ...]:
    """Return the circuits by the numbers on their cables, as they follow each other in every list."""
    every = installation.circuits.values()
    return tuple(sorted(every, key=lambda each: (natural(each.label or each.name), natural(each.name))))


@dataclass(frozen=True, slots=True)
class References:
    """What stands beside each thing on drawings, lists and labels."""

    by_name: Mapping[str, str]
    """Supply, load, gear, part or chassis point -> reference such as `-F3`."""
    by_wire: Mapping[str, tuple[str, ...]]
    """Wire -> the number on each of its cables, one for each that lies beside the others."""

    def of(self, name: str) -> str:
        """Return the reference of a thing by its name; the name where it is none of the job's."""
        return Name(self.by_name.get(name, name))

    def cables(self, wire: str) -> tuple[str, ...]:
        """Return the numbers of a wire's cables, the same at both ends of each."""
        return tuple([Name(number) for number in self.by_wire[wire]])

    def cable(self, wire: str) -> str:
        """Return the number of a wire, that of its first and last cable where several lie in parallel."""
        numbers = self.by_wire[wire]
        if len(numbers) == 1:
            return Name(numbers[0])
        # They end on a letter each: a name of several words before it is there once.
        return Name(f"{numbers[0]}–{numbers[-1].rpartition(' ')[2]}")


def references(installation: Installation) -> References:
    """Return the references of an installation.

    Source: iec-81346-2 (letters of the main classes), common-practice (K of relays, M of pumps and fans).
    """
    letters: dict[str, str] = {}
    owners: dict[str, str] = {}
    for owner, letter, names in _things(installation):
        letters.setdefault(owner, letter)
        owners |= dict.fromkeys(names, owner)
    counted: dict[str, int] = {}
    numbered: dict[str, str] = {}
    for owner, letter in letters.items():
        counted[letter] = counted.get(letter, 0) + 1
        numbered[owner] = f"-{letter}{counted[letter]}"
    by_name = {name: numbered[owner] for name, owner in owners.items()}
    return References(by_name, _cable_numbers(installation))


_Any = Supply | Gear | Load
_Thing = tuple[str, str, tuple[str, ...]]
"""What is counted once, its letter, and the names that it goes by."""


def _things(installation: Installation) -> Iterator[_Thing]:
    """Everything that gets a reference, as the circuits touch it and then by name; repeats do no harm."""
    for circuit in circuits_in_order(installation):
        for element in (*circuit.path, *circuit.back):
            if isinstance(element, Part):
                yield _of_part(installation, element)
            elif isinstance(element, Passage):
                yield from _of_passage(installation, element)
    every = _every(installation)
    for name in sorted(every, key=natural):
        yield _named(every[name])
    for point in sorted(installation.chassis_points, key=natural):
        yield (point, _GEAR_LETTERS["chassis"], (point,))


def _every(installation: Installation) -> Mapping[str, _Any]:
    return {**installation.supplies, **installation.gear, **installation.loads}


def _of_part(installation: Installation, part: Part) -> _Thing:
    gear = installation.gear.get(part.gear or "")
    if gear is not None:
        owner, letter, names = _named(gear)
        return owner, letter, (*names, part.name)
    return part.name, _letter(part.kind.value, part.when), (part.name,)


def _of_passage(installation: Installation, passage: Passage) -> Iterator[_Thing]:
    every = _every(installation)
    if passage.name in every:
        yield _named(every[passage.name])
    elif passage.what == "chassis":
        yield (passage.point, _GEAR_LETTERS["chassis"], (passage.point,))
    elif passage.what == "unknown":
        yield (passage.point, _GEAR_LETTERS["unknown"], (passage.point,))


def _named(thing: _Any) -> _Thing:
    """Thing with a name of its own; a relay's coil is counted with the relay."""
    if isinstance(thing, Supply):
        return thing.name, _SUPPLY_LETTERS[thing.kind], (thing.name,)
    if isinstance(thing, Load):
        owner = thing.relay or thing.name
        return owner, _LOAD_LETTERS[thing.kind], (thing.name, owner)
    return thing.name, _letter(thing.kind.value, thing.when), (thing.name,)


def _letter(kind: str, when: str | None) -> str:
    """Letter of a part; a switch that a float or a pressure works is a sensor."""
    if kind == GearKind.SWITCH.value and when is not None and when not in _BY_HAND:
        return _GEAR_LETTERS[GearKind.SENSOR.value]
    return _GEAR_LETTERS[kind]


def _cable_numbers(installation: Installation) -> dict[str, tuple[str, ...]]:
    """Number of each piece of cable: that of its circuit, and which piece it is where there are several."""
    circuits = circuits_in_order(installation)
    for between in (".", "-", "/", ":"):
        made = {
            wire.name: numbers
            for circuit in circuits
            for wire, numbers in zip(circuit.wires, _numbers(circuit.wires, between), strict=True)
        }
        every = [number for numbers in made.values() for number in numbers]
        if len(set(every)) == len(every):
            return made
    return {wire.name: _parallel(wire, wire.name) for circuit in circuits for wire in circuit.wires}


def _numbers(wires: tuple[Wire, ...], between: str) -> Iterator[tuple[str, ...]]:
    for piece, wire in enumerate(wires, 1):
        number = wire.label or wire.circuit
        yield _parallel(wire, number if len(wires) == 1 else f"{number}{between}{piece}")


def _parallel(wire: Wire, number: str) -> tuple[str, ...]:
    if wire.parallel == 1:
        return (number,)
    return tuple(f"{number}{_letters(each)}" for each in range(wire.parallel))


def _letters(number: int) -> str:
    """A letter for each cable that lies beside others: a to z, then aa."""
    letters = chr(ord("a") + number % 26)
    return letters if number < 26 else _letters(number // 26 - 1) + letters
