"""A job's text to its installation: every section in turn, every fault in one go."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from pathlib import Path
from typing import Final

from groundstrap.job.circuits import Circuits, finished, read_circuits, settle_parts
from groundstrap.job.equipment import Equipment, name_at, read_equipment, resolve_exclusions
from groundstrap.job.faults import Faults, Spot, one_of
from groundstrap.job.forms import read_choice, read_quantity
from groundstrap.job.geography import Geography, Leg
from groundstrap.job.implied import imply_ties, with_situations
from groundstrap.job.records import Things, read_day, read_readings, read_waivers
from groundstrap.job.returns import build_returns
from groundstrap.job.schema import ROUTE_KEYS, TOP_KEYS, ZONE_KEYS, read_record
from groundstrap.job.selectors import with_interlocks
from groundstrap.job.shelf import read_curve, read_stock
from groundstrap.job.spelt import check_places
from groundstrap.job.traps import read_tree
from groundstrap.job.tree import MapNode, Node, ScalarNode
from groundstrap.job.words import built_in_zones, needs_vented_battery
from groundstrap.model import Basis, FuseCurve, Gear, Installation, Load, Stock, Supply, SupplyKind, Zone
from groundstrap.records import dataclass, replace
from groundstrap.units import Kind

__all__ = ["Job", "read_job"]

FORMAT: Final = "1"
SYSTEMS: Final = ("12 V", "24 V", "48 V")
BODIES: Final = ("steel", "aluminium", "fibreglass", "wood")


@dataclass(frozen=True, slots=True)
class Job:
    """A job file as it was read: its text, its name, and what it describes."""

    text: str
    file: str
    installation: Installation
    folder: Path | None = None


def read_job(text: str, file: str = "-", *, folder: Path | None = None) -> Job:
    """Read a job's text.

    Every fault is raised in one `JobError`, each with its place and what would do.

    Parameters
    ----------
    text : str
        The whole text of the job file.
    file : str
        Its name, for messages.
    folder : Path or None
        Where files that it names are looked for; without one such a name is a fault.

    Examples
    --------
    >>> job = read_job('''groundstrap: 1
    ... title: Work light on the trailer
    ... system: 12 V
    ... loads:
    ...   work light: {claims: {power: 60 W}}
    ... circuits:
    ...   work light: {length: 7 m}
    ... ''')
    >>> [wire.length_m for wire in job.installation.wires()]
    [7.0, 7.0]
    """
    faults = Faults(file, text)
    root = read_tree(text, faults)
    installation: Installation | None = None
    if isinstance(root, MapNode):
        installation = _Reader(faults, Spot(root, (), faults), folder).read()
    elif root is not None or not faults.found:
        node = ScalarNode("", 0, 0, 1, 1) if root is None else root
        reason = "the text is empty" if _blank(node) else "the text is no map of keys and values"
        Spot(node, (), faults).fault("a job file that begins with groundstrap: 1", reason=reason)
    faults.check()
    # Without a tree there was a fault.
    assert installation is not None
    return Job(text, file, installation, folder)


def _blank(node: Node) -> bool:
    return isinstance(node, ScalarNode) and not node.text


@dataclass(slots=True)
class _Reader:
    """Reads the sections in the order in which they need each other."""

    faults: Faults
    root: Spot
    folder: Path | None
    sections: dict[str, Spot] = field(default_factory=dict)
    route_ends: list[tuple[str, Spot]] = field(default_factory=list)

    def read(self) -> Installation:
        self._sections()
        self._format()
        basis = Basis(self._choice("basis", tuple(Basis), Basis.ROAD))
        body = self._choice("body", BODIES, "steel" if basis is Basis.ROAD else "none")
        zones, geography = self._places(basis)
        equipment = Equipment(self.faults, basis, self._system_v(), geography)
        read_equipment(equipment, self.sections)
        resolve_exclusions(equipment)
        if "loads" not in self.sections and "circuits" not in self.sections:
            self.root.fault("loads or circuits", found="", reason="the job has neither a load nor a circuit")
        circuits = self._circuits(equipment, body)
        check_places(equipment, self.route_ends)
        return self._installation(equipment, circuits, zones)

    def _circuits(self, equipment: Equipment, body: str) -> Circuits:
        """Build all circuits, their returns, and what nobody drew."""
        job_return = self.sections.get("return")
        circuits = read_circuits(equipment, self.sections.get("circuits"), body=body)
        self._check_shared_names(circuits)
        build_returns(circuits, job_return)
        settle_parts(circuits)
        imply_ties(circuits, job_return)
        return circuits

    def _installation(
        self, equipment: Equipment, circuits: Circuits, zones: Mapping[str, Zone]
    ) -> Installation:
        made = finished(circuits)
        loads: Mapping[str, Load] = {**equipment.loads, **circuits.stops.coils}
        loads = with_situations(loads, made, equipment.gear, equipment.supplies)
        loads = with_interlocks(loads, made, equipment.gear)
        things = Things(circuits.points, equipment.supplies, loads, made, frozenset(circuits.drafts))
        units = self._choice("units", ("metric", "us"), "metric")
        batteries = equipment.batteries
        return Installation(
            title=self._needed("title") or "",
            system_v=equipment.system_v,
            basis=equipment.basis,
            about=self._about(),
            units=units,
            sizes=self._choice("sizes", ("metric", "awg"), "awg" if units == "us" else "metric"),
            body=circuits.stops.body,
            supplies=equipment.supplies,
            gear=equipment.gear,
            loads=loads,
            circuits=made,
            places=self._all_places(equipment, circuits),
            zones=_as_found(zones, equipment),
            ties=tuple(circuits.ties),
            chassis_points=tuple(circuits.stops.chassis_points),
            reference=batteries[0].minus if batteries else "",
            day=read_day(things, self.sections.get("day")),
            readings=read_readings(things, self.sections.get("readings")),
            waivers=read_waivers(self.sections.get("waivers")),
            stock=self._stock(),
            curves=self._curves(equipment, circuits),
            assumptions=tuple(equipment.assumptions),
        )

    def _sections(self) -> None:
        known = tuple(TOP_KEYS)
        for key, spot in self.root.entries("a map"):
            name = key.text
            if name not in known:
                nearest = spot.near(name, known)
                reason = "no key of a job"
                if name in set(SupplyKind):
                    reason += f"; it goes under supplies, as `supplies: {{{name}: ...}}`"
                spot.at(key).fault(one_of("key", known), nearest=nearest, reason=reason)
                if nearest is None or self._written(nearest):
                    continue
                # Read as what was meant, so that nothing else in the file is a fault because of it.
                name = nearest
            if isinstance(spot.node, ScalarNode) and spot.node.empty:
                spot.fault(f"what the job says under {name}, or not the key at all", found="")
                continue
            self.sections[name] = spot

    def _written(self, key: str) -> bool:
        """Whether a key stands in the file, be its value read or not."""
        node = self.root.node
        return isinstance(node, MapNode) and any(entry.key.text == key for entry in node.entries)

    def _needed(self, key: str) -> str | None:
        spot = self.sections.get(key)
        if spot is not None:
            return spot.word(f"the {key}")
        if not self._written(key):
            self.root.fault(f"a line {key}: ...", found="", reason=f"{key} is missing")
        return None

    def _format(self) -> None:
        version = self._needed("groundstrap")
        if version is not None and version != FORMAT:
            self.sections["groundstrap"].fault(FORMAT, reason="this version of the format is not known here")

    def _system_v(self) -> float:
        if self._needed("system") is None:
            return 12.0
        spot = self.sections["system"]
        found = read_quantity(spot, Kind.VOLTAGE)
        if found is None:
            return 12.0
        if found.value not in {12.0, 24.0, 48.0} or found.plus_minus is not None:
            spot.fault(
                one_of("system voltage", SYSTEMS), reason="no system voltage of vehicles and boats here"
            )
            return 12.0
        return found.value

    def _choice(self, key: str, known: tuple[str, ...], usual: str) -> str:
        spot = self.sections.get(key)
        found = None if spot is None else read_choice(spot, key, known)
        return usual if found is None else found

    def _about(self) -> dict[str, str]:
        spot = self.sections.get("about")
        if spot is None:
            return {}
        entries = spot.entries("a map of names and texts")
        words = {key.text: value.word("a text") for key, value in entries}
        return {key: word for key, word in words.items() if word is not None}

    def _places(self, basis: Basis) -> tuple[dict[str, Zone], Geography]:
        zones = dict(built_in_zones(basis))
        spot = self.sections.get("zones")
        for key, value in (
            spot.entries("a map: the name of each zone, and its air") if spot is not None else ()
        ):
            name = name_at(value.at(key))
            record = read_record(value, ZONE_KEYS, "zone")
            if name is not None:
                zones[name] = _zone(name, record.fields, zones.get(name), value)
        geography = Geography(frozenset(zones))
        spot = self.sections.get("places")
        for key, value in (
            spot.entries("a map: the name of each place, and its zone") if spot is not None else ()
        ):
            name = name_at(value.at(key))
            zone = read_choice(value, "zone", tuple(zones))
            if name is not None:
                geography.zone_of_place[name] = zone or "cabin"
        self._routes(geography)
        return zones, geography

    def _routes(self, geography: Geography) -> None:
        spot = self.sections.get("routes")
        for item in spot.items("a list of {from, to, length}") if spot is not None else ():
            record = read_record(item, ROUTE_KEYS, "route")
            fields = record.fields
            fields.pop("note", None)
            if not {"start", "end", "length_m"} <= set(fields):
                continue
            if fields["start"] == fields["end"]:
                item.fault("two places", reason="the route leads from a place to itself")
                continue
            name = f"{fields['start']} to {fields['end']}"
            self.route_ends += [(fields["start"], record.spots["from"]), (fields["end"], record.spots["to"])]
            taken = sum(leg.name == name or leg.name.startswith(f"{name} (") for leg in geography.legs)
            geography.legs.append(Leg(name=f"{name} ({taken + 1})" if taken else name, **fields))

    def _check_shared_names(self, circuits: Circuits) -> None:
        """A circuit may share the name of a supply or load at its end, and no other name."""
        equipment = circuits.equipment
        for name, built in circuits.built.items():
            declared = equipment.declared.get(name)
            ends = {stop.passage.name for stop in (built.start, built.end) if stop.passage is not None}
            if declared is not None and (name not in ends or declared.key[0] == "gear"):
                owner = ".".join(declared.key)
                reason = f"{owner} has that name, and is no supply or load at an end of this circuit"
                circuits.points.circuits[name].fault("another name", found=name, reason=reason)

    def _all_places(self, equipment: Equipment, circuits: Circuits) -> dict[str, str]:
        geography = equipment.geography
        places = dict(geography.zone_of_place)
        things: list[Supply | Gear | Load] = [*equipment.supplies.values(), *equipment.gear.values()]
        for thing in (*things, *equipment.loads.values(), *circuits.stops.coils.values()):
            places.setdefault(thing.place, thing.zone)
        for place in geography.assumed_places:
            places.setdefault(place, geography.zone(place))
        return places

    def _stock(self) -> Stock | None:
        spot = self.sections.get("stock")
        return None if spot is None else read_stock(spot, self.folder)

    def _curves(self, equipment: Equipment, circuits: Circuits) -> Mapping[str, FuseCurve]:
        found: dict[str, FuseCurve] = {}
        wanted: dict[str, Spot] = {}
        for name, gear in equipment.gear.items():
            if gear.curve is not None:
                wanted.setdefault(gear.curve, equipment.declared[name])
        for draft in circuits.drafts.values():
            for slot in (*draft.slots, *(draft.back or ())):
                curve = getattr(slot.step, "fields", {}).get("curve")
                if curve is not None:
                    wanted.setdefault(curve, slot.step.spot)
        for name, spot in wanted.items():
            curve = read_curve(spot, name, self.folder)
            if curve is not None:
                found[name] = curve
        return found


def _as_found(zones: Mapping[str, Zone], equipment: Equipment) -> dict[str, Zone]:
    """Hydrogen gathers in a built-in zone only where a vented lead-acid battery stands in it."""
    built_in = built_in_zones(equipment.basis)
    vented = {supply.zone for supply in equipment.batteries if supply.chemistry in {"flooded", None}}
    return {
        name: replace(zone, vapour="no")
        if zone is built_in.get(name) and needs_vented_battery(name) and name not in vented
        else zone
        for name, zone in zones.items()
    }


def _zone(name: str, fields: Mapping[str, object], known: Zone | None, spot: Spot) -> Zone:
    """Make a zone; what is not said of a built-in one stays as it is."""
    values: dict[str, object] = {"name": name}
    if known is not None:
        values = {
            "name": name,
            "low_c": known.low_c,
            "high_c": known.high_c,
            "wet": known.wet,
            "vapour": known.vapour,
            "closed": known.closed,
        }
    values |= fields
    if "low_c" not in values:
        spot.fault("ambient of the zone, such as 5..70 degC", found="", reason="ambient is missing")
        values |= {"low_c": 0.0, "high_c": 0.0}
    return Zone(**values)  # type: ignore[arg-type]
