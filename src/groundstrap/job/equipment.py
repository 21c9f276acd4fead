"""Supplies, gear and loads of a job file as things of the model, with their places."""

from __future__ import annotations

from dataclasses import field
from typing import Any, Final

from groundstrap.job.faults import Faults, Spot
from groundstrap.job.geography import CABIN, Geography
from groundstrap.job.rested import check_rested
from groundstrap.job.schema import GEAR_KEYS, LOAD_KEYS, SUPPLY_KEYS, Record, read_record
from groundstrap.job.tree import ScalarNode
from groundstrap.job.values import forbidden_in_name
from groundstrap.model import (
    Assumption,
    Basis,
    Gear,
    Load,
    LoadKind,
    Situation,
    State,
    Supply,
    SupplyKind,
)
from groundstrap.records import dataclass, replace
from groundstrap.words import words

__all__ = ["CONVERTERS", "Equipment", "name_at", "read_equipment"]

CONVERTERS: Final = frozenset({SupplyKind.DC_DC, SupplyKind.SOLAR_CHARGER})
RESERVED: Final = frozenset({
    "chassis", "unknown", "wire", "length", "fuse", "breaker", "switch", "isolator", "relay", "connector",
    "sensor", "diode", "resistor", "joint", "all", "none", "in", "out", "coil", "+", "-",
})  # fmt: skip


@dataclass(slots=True)
class Equipment:
    """What the file lists beside its circuits, and what had to be assumed for it."""

    faults: Faults
    basis: Basis
    system_v: float
    geography: Geography
    supplies: dict[str, Supply] = field(default_factory=dict)
    gear: dict[str, Gear] = field(default_factory=dict)
    loads: dict[str, Load] = field(default_factory=dict)
    declared: dict[str, Spot] = field(default_factory=dict)
    broken: set[str] = field(default_factory=set)
    """Names whose entries could not be read: nothing more is said about what refers to them."""
    excluded: dict[str, list[Spot]] = field(default_factory=dict)
    assumptions: list[Assumption] = field(default_factory=list)
    no_alternator: bool = False
    at: list[tuple[str, Spot]] = field(default_factory=list)
    """Places of things as they are written."""

    @property
    def batteries(self) -> tuple[Supply, ...]:
        """The batteries that stay, in the order of the file."""
        there = [supply for supply in self.supplies.values() if supply.state is not State.REMOVE]
        return tuple(supply for supply in there if supply.kind is SupplyKind.BATTERY)

    def assume(self, where: str, value: str, why: str) -> None:
        """Note something that nobody wrote."""
        self.assumptions.append(Assumption(where, value, why))

    def place_of(self, name: str) -> str | None:
        """Return the place of a supply, piece of gear or load."""
        thing = self.supplies.get(name) or self.gear.get(name) or self.loads.get(name)
        return None if thing is None else thing.place

    def said(self, place: str | None) -> bool:
        """Whether somebody wrote of that place: as a thing's own, on the list of places or on a route."""
        legs = self.geography.legs
        return (
            place in self.geography.zone_of_place
            or any(place in {leg.start, leg.end} for leg in legs)
            or any(place == written for written, _ in self.at)
        )

    def zone_at(self, place: str, where: str) -> str:
        """Return the zone of a place, and note where it had to be assumed."""
        if not self.geography.listed(place) and place not in self.geography.assumed_places:
            self.geography.assumed_places[place] = where
            zone = self.geography.by_name(place)
            if zone is None:
                self.assume(f"places.{place}", CABIN, words("a place without a zone is in the cabin"))
            else:
                why = words("by its name; a line under `places` says where it is otherwise")
                self.assume(f"places.{place}", zone, why)
        return self.geography.zone(place)


def name_at(key: Spot, equipment: Equipment | None = None) -> str | None:
    """Read the name of an entry; None where it can't be one."""
    name = key.word("a name")
    if name is None:
        return None
    mark = forbidden_in_name(name)
    if mark is not None:
        key.fault("a name without , : # [ ] { } and ' to '", reason=f"a name never holds '{mark}'")
        return None
    if equipment is not None:
        if name in RESERVED:
            key.fault("another name", reason=f"{name} means something of its own in paths")
            return None
        first = equipment.declared.get(name)
        if first is not None:
            reason = f"{'.'.join(first.key)} on line {first.node.line} has that name"
            key.fault("a name that nothing else has", reason=reason)
            return None
    return name


def read_equipment(equipment: Equipment, sections: dict[str, Spot]) -> None:
    """Read supplies, gear and loads; names first, so that one bad entry does not hide the others."""
    supplies = _declare(equipment, sections.get("supplies"), "supply")
    gear = _declare(equipment, sections.get("gear"), "piece of gear")
    loads = _declare(equipment, sections.get("loads"), "load")
    for name, spot in supplies.items():
        _supply(equipment, name, spot)
    for name, spot in gear.items():
        _gear(equipment, name, spot)
    for name, spot in loads.items():
        _load(equipment, name, spot)
    _assume_supplies(equipment)


def _declare(equipment: Equipment, section: Spot | None, what: str) -> dict[str, Spot]:
    if section is None or (isinstance(section.node, ScalarNode) and section.node.empty):
        return {}
    found: dict[str, Spot] = {}
    for key, spot in section.entries(f"a map: the name of each {what}, and what it is"):
        name = name_at(spot.at(key), equipment)
        if name is not None:
            equipment.declared[name] = spot.at(key)
            found[name] = spot
    return found


def _place(equipment: Equipment, name: str, record: Record) -> tuple[str, str]:
    """Return place and zone of an entry; without `at` it has a place of its own."""
    place = record.fields.pop("place", None)
    if place is None:
        return name, equipment.zone_at(name, name)
    equipment.at.append((place, record.spots["at"]))
    return place, equipment.zone_at(place, name)


def _supply(equipment: Equipment, name: str, spot: Spot) -> None:
    if isinstance(spot.node, ScalarNode) and spot.node.text.strip() == "none" and name == "alternator":
        equipment.no_alternator = True
        equipment.declared.pop(name, None)
        return
    record = read_record(spot, SUPPLY_KEYS, "supply")
    place, zone = _place(equipment, name, record)
    if "kind" not in record.fields:
        equipment.broken.add(name)
        return
    equipment.supplies[name] = make_supply(equipment, name, record.fields, place, zone, "/".join(spot.key))
    if "rested" in record.spots and "rested_v" in record.fields:
        check_rested(equipment.supplies[name], record.spots["rested"])


def make_supply(
    equipment: Equipment, name: str, fields: dict[str, Any], place: str, zone: str, key: str
) -> Supply:
    """Make a supply from its fields, with its terminals and taps."""
    kind: SupplyKind = fields["kind"]
    converter = kind in CONVERTERS
    output = f"{name} out" if converter else name
    series = fields.get("series", 1)
    setpoint = fields.get("setpoint")
    system_v = equipment.system_v
    if kind in CONVERTERS and setpoint is None:
        equipment.assume(
            name, f"{system_v:g} V", words("a converter without a setpoint gives the system's voltage")
        )
    nominal_v = setpoint.high if setpoint is not None and kind is not SupplyKind.ALTERNATOR else system_v
    if kind is SupplyKind.SOLAR:
        nominal_v = fields.get("voltage_v", system_v)
    if kind is SupplyKind.BATTERY and "chemistry" not in fields:
        equipment.assume(name, "flooded", words("a battery whose chemistry nobody wrote"))
    return Supply(
        **fields,
        name=name,
        place=place,
        zone=zone,
        plus=f"{output} +",
        minus=f"{output} -",
        in_plus=f"{name} in +" if converter else None,
        in_minus=f"{name} in -" if converter else None,
        nominal_v=nominal_v,
        taps=tuple(f"{name} {number} +" for number in range(1, series)),
        key=key,
    )


def _gear(equipment: Equipment, name: str, spot: Spot) -> None:
    record = read_record(spot, GEAR_KEYS, "piece of gear")
    place, zone = _place(equipment, name, record)
    if "kind" not in record.fields:
        equipment.broken.add(name)
        return
    equipment.gear[name] = Gear(**record.fields, name=name, place=place, zone=zone, key="/".join(spot.key))


def _load(equipment: Equipment, name: str, spot: Spot) -> None:
    record = read_record(spot, LOAD_KEYS, "load", kind=None)
    place, zone = _place(equipment, name, record)
    fields = record.fields
    equipment.excluded[name] = fields.pop("never_with", [])
    if "kind" not in fields:
        fields["kind"] = LoadKind.OTHER
        if "kind" in record.spots:
            equipment.broken.add(name)
        else:
            equipment.assume(name, "other", words("a load whose kind nobody wrote"))
    if fields["kind"] is LoadKind.STARTER and "runs" not in fields:
        fields["runs"] = frozenset({Situation.CRANKING})
    equipment.loads[name] = Load(
        **fields,
        critical_written="critical" in fields,
        name=name,
        place=place,
        zone=zone,
        plus=f"{name} +",
        minus=f"{name} -",
        key="/".join(spot.key),
    )


def resolve_exclusions(equipment: Equipment) -> None:
    """Look up the loads that an interlock excludes; what excludes is excluded too."""
    excluded: dict[str, set[str]] = {name: set() for name in equipment.loads}
    for name, spots in equipment.excluded.items():
        for spot in spots:
            other = spot.word("the name of a load")
            if other is None or other in equipment.broken:
                continue
            if other not in equipment.loads:
                spot.unknown_name("load", tuple(equipment.loads))
            elif other == name:
                spot.fault("another load", reason="a load does not exclude itself")
            else:
                excluded[name].add(other)
                excluded[other].add(name)
    for name, others in excluded.items():
        if others:
            equipment.loads[name] = replace(equipment.loads[name], never_with=frozenset(others))


def _assume_supplies(equipment: Equipment) -> None:
    """Assume the battery and the alternator of a job that lists none."""
    kinds = {supply.kind for supply in equipment.supplies.values()}
    # A supply that could not be read may be the battery; a load or a piece of gear can't.
    doubtful = {name for name in equipment.broken if _is_supply(equipment, name)}
    if SupplyKind.BATTERY not in kinds and not doubtful:
        _assume(equipment, "battery", SupplyKind.BATTERY, words("no battery is listed"))
    if SupplyKind.ALTERNATOR not in kinds and not equipment.no_alternator:
        _assume(
            equipment,
            "alternator",
            SupplyKind.ALTERNATOR,
            words("none is listed, and `alternator: none` is not written under `supplies`"),
        )


def _is_supply(equipment: Equipment, name: str) -> bool:
    spot = equipment.declared.get(name)
    return spot is not None and spot.key[0] == "supplies"


def _assume(equipment: Equipment, name: str, kind: SupplyKind, why: str) -> None:
    taken = equipment.declared.get(name)
    if taken is not None:
        if kind is SupplyKind.BATTERY or name not in equipment.broken:
            reason = f"a {name} has to be assumed, and the name is taken"
            taken.fault(f"another name, or a supply of kind {kind} in supplies", reason=reason)
        return
    place = name
    if kind is SupplyKind.ALTERNATOR and equipment.batteries:
        # It turns on the engine; where that is nobody said, and nothing is measured from there.
        place = equipment.batteries[0].place
    zone = equipment.zone_at(place, name)
    fields: dict[str, Any] = {"kind": kind, "assumed": True}
    equipment.supplies[name] = make_supply(equipment, name, fields, place, zone, "")
    battery = kind is SupplyKind.BATTERY
    what = words("a flooded battery") if battery else words("an alternator on the first battery")
    equipment.assume(name, what, why)
