"""The stops of a path: what each step but cable is in the network, and where cable arrives and leaves."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum

from groundstrap.job.equipment import CONVERTERS, Equipment
from groundstrap.job.faults import Spot
from groundstrap.job.forms import Fields
from groundstrap.job.points import Points, Target, Thing
from groundstrap.job.steps import NameStep, PartStep, Step, UnknownStep
from groundstrap.model import Claim, Gear, GearKind, Load, LoadKind, PartKind, Passage
from groundstrap.records import dataclass

__all__ = ["Position", "Sides", "Slot", "Stop", "Stops", "Touch"]


class Position(StrEnum):
    """Where in its path a step stands."""

    FIRST = "first"
    MIDDLE = "middle"
    LAST = "last"


@dataclass(frozen=True, slots=True)
class Slot:
    """A step, its key in the file, and the name it was given where it is a part without one."""

    step: Step
    key: str
    name: str | None = None


@dataclass(slots=True)
class Stop:
    """A stop of a path: cable arrives at `entry` and leaves from `leave`."""

    entry: str
    leave: str
    place: str | None
    key: str
    spot: Spot
    named: bool = True
    passage: Passage | None = None
    part: Fields | None = None
    """Fields of the part that the current passes here."""
    load: str | None = None
    """Load or coil whose terminal this is."""
    converter: str | None = None
    """Supply whose input this is."""


@dataclass(frozen=True, slots=True)
class Touch:
    """One use of a part with a name, or of one of its ways."""

    gear: str
    way: str | None
    circuit: str
    position: Position
    spot: Spot
    whole: bool = True
    """False where only one side of it is named."""


@dataclass(slots=True)
class Stops:
    """Turns steps into stops, and notes what they use."""

    equipment: Equipment
    points: Points
    circuits: dict[str, list[Slot]]
    touches: list[Touch] = field(default_factory=list)
    coils: dict[str, Load] = field(default_factory=dict)
    chassis_points: list[str] = field(default_factory=list)
    body: str = "steel"

    def stop(
        self, slot: Slot, circuit: str, position: Position, *, back: bool, near: str | None
    ) -> Stop | None:
        """Return the stop of a step; None where it is faulty. `near` is the place of its neighbour."""
        step = slot.step
        if isinstance(step, NameStep):
            target = self.points.look_up(step.spot, step.text)
            return (
                None if target is None else self._named(target, slot, circuit, position, back=back, near=near)
            )
        if isinstance(step, PartStep):
            if position is not Position.MIDDLE:
                step.spot.fault(
                    "a name or a point at each end of a path", reason=f"a path can't end at a {step.word}"
                )
                return None
            assert slot.name is not None
            return _part_stop(slot.name, PartKind(step.word), step.fields, slot, step.spot)
        assert isinstance(step, UnknownStep)
        if position is Position.MIDDLE:
            assert slot.name is not None
            return _part_stop(slot.name, PartKind.UNKNOWN, {"unknown_rating": True}, slot, step.spot)
        point = f"{circuit} {'start' if position is Position.FIRST else 'end'}"
        passage = Passage(point=point, what="unknown", name=circuit)
        return Stop(point, point, None, slot.key, step.spot, passage=passage)

    def _named(
        self, target: Target, slot: Slot, circuit: str, position: Position, *, back: bool, near: str | None
    ) -> Stop | None:
        spot = slot.step.spot
        if target.thing is Thing.SUPPLY:
            return self._supply(target, slot, position, back=back)
        if target.thing is Thing.LOAD:
            load = self.equipment.loads[target.name]
            point = target.point or (load.minus if back else load.plus)
            return self._at_load(load, point, slot)
        if target.thing is Thing.COIL:
            return self._coil(target, slot)
        if target.thing is Thing.CHASSIS:
            return self._chassis(target, slot, near)
        if target.thing is Thing.BLOCK:
            gear = self.equipment.gear[target.name]
            return _at(target.name, gear.place, slot, "block", target.name, way=target.way)
        if target.thing is Thing.GEAR:
            return self._gear(target, slot, circuit, position)
        if target.point is None:
            spot.fault(f"{target.name} in, or {target.name} out", reason="a part has two sides")
            return None
        place = self._place_before(target.name)
        return _at(target.point, place, slot, "gear", target.name)

    def _supply(self, target: Target, slot: Slot, position: Position, *, back: bool) -> Stop | None:
        supply = self.equipment.supplies[target.name]
        point = target.point
        arrives = position is not Position.FIRST and not back
        if point is None:
            if supply.kind in CONVERTERS and position is Position.MIDDLE:
                slot.step.spot.fault(
                    f"two circuits: one that ends at {supply.name}, one that begins there",
                    reason="a path ends at the input of a converter and begins at its output",
                )
                return None
            point = supply.in_plus if arrives and supply.in_plus is not None else supply.plus
            if back:
                point = supply.minus
        assert point is not None
        stop = _at(point, supply.place, slot, "supply", supply.name)
        if arrives and point == supply.in_plus:
            stop.converter = supply.name
        return stop

    def _at_load(self, load: Load, point: str, slot: Slot) -> Stop:
        stop = _at(point, load.place, slot, "load", load.name)
        if point == load.plus:
            stop.load = load.name
        return stop

    def _coil(self, target: Target, slot: Slot) -> Stop | None:
        coil = self.coils.get(target.name) or self._new_coil(target)
        return self._at_load(coil, target.point or coil.plus, slot)

    def _new_coil(self, target: Target) -> Load:
        """Make a load of the coil of a relay, the first time that a circuit comes to it."""
        relay = target.name.removesuffix("coil").rstrip()
        if target.way is not None:
            relay = relay.removesuffix(target.way).rstrip()
        gear = self.equipment.gear.get(relay)
        coil_a = gear.coil_a if gear is not None else self._coil_of_part(relay)
        place = gear.place if gear is not None else self._place_before(relay) or relay
        name = target.name
        made = Load(
            name=name,
            kind=LoadKind.COIL,
            place=place,
            zone=self.equipment.zone_at(place, name),
            plus=f"{name} +",
            minus=f"{name} -",
            claims=() if coil_a is None else (Claim(current_a=coil_a, by="coil", text=f"{coil_a:g} A"),),
            relay=relay,
            key="" if gear is None else gear.key,
        )
        self.coils[name] = made
        return made

    def _coil_of_part(self, name: str) -> float | None:
        for slot in self.circuits.get(self.points.parts[name].circuit, ()):
            if slot.name == name and isinstance(slot.step, PartStep):
                coil_a: float | None = slot.step.fields.get("coil_a")
                return coil_a
        return None

    def _place_before(self, name: str) -> str | None:
        """Return the place of the last name before a part in its own path."""
        place: str | None = None
        for slot in self.circuits.get(self.points.parts[name].circuit, ()):
            if slot.name == name:
                break
            if isinstance(slot.step, NameStep):
                found = self.points.find(slot.step.text)
                if len(found) == 1:
                    place = self.equipment.place_of(found[0].name) or place
        return place

    def _chassis(self, target: Target, slot: Slot, near: str | None) -> Stop | None:
        if target.name != "chassis":
            gear = self.equipment.gear[target.name]
            return _at(target.name, gear.place, slot, "chassis", target.name)
        spot = slot.step.spot
        if self.body in {"fibreglass", "wood", "none"}:
            reason = f"a body of {self.body} conducts nothing"
            if self.body == "none":
                reason = "a boat has no chassis to return on"
            spot.fault("a busbar, a stud or the supply's negative", reason=reason)
            return None
        place = target.point.removeprefix("chassis at ") if target.point else near
        if target.point and place is not None:
            self.equipment.at.append((place, spot))
        point = self.chassis_at(place)
        return _at(point, place, slot, "chassis", point)

    def chassis_at(self, place: str | None) -> str:
        """Return the point on the body at a place, and note that it is there."""
        point = "chassis" if place is None else f"chassis at {place}"
        if place is not None:
            self.equipment.zone_at(place, point)
        if point not in self.chassis_points:
            self.chassis_points.append(point)
        return point

    def _gear(self, target: Target, slot: Slot, circuit: str, position: Position) -> Stop | None:
        gear, way, spot = self.equipment.gear[target.name], target.way, slot.step.spot
        if target.side is not None and target.point is not None:
            self.touches.append(Touch(gear.name, way, circuit, position, spot, whole=False))
            return _at(target.point, gear.place, slot, "gear", gear.name)
        if gear.kind is GearKind.CONNECTOR and gear.ways and way is None:
            spot.fault(
                f"{gear.name} with one of its ways: {', '.join(gear.ways[:12])}",
                reason="a circuit passes one way of it",
            )
            return None
        self.touches.append(Touch(gear.name, way, circuit, position, spot))
        sides = sides_of(gear, way)
        if position is Position.MIDDLE:
            return Stop(sides.near, sides.far, gear.place, slot.key, spot, part=part_fields(gear, way))
        # A position of a switch is reached from its own side; a plain part from its near side.
        if gear.kind is not GearKind.CONNECTOR and way is not None:
            point = sides.far
        else:
            point = sides.far if position is Position.FIRST else sides.near
        return _at(point, gear.place, slot, "gear", gear.name)


@dataclass(frozen=True, slots=True)
class Sides:
    """The points on both sides of a part: where current comes in, and where it goes on."""

    near: str
    far: str


def sides_of(gear: Gear, way: str | None) -> Sides:
    """Return the points on both sides of a part with a name, or of one of its ways."""
    if way is None:
        return Sides(f"{gear.name} in", f"{gear.name} out")
    if gear.kind is GearKind.CONNECTOR:
        return Sides(f"{gear.name} {way} in", f"{gear.name} {way} out")
    return Sides(f"{gear.name} in", f"{gear.name} {way}")


def part_fields(gear: Gear, way: str | None) -> Fields:
    """Return the fields of a part that stands for a piece of gear."""
    return {
        "name": gear.name if way is None else f"{gear.name} {way}",
        "kind": PartKind(gear.kind.value),
        "gear": gear.name,
        "way": way,
        "rating_a": gear.rating_a,
        "family": gear.family,
        "interrupt_a": gear.interrupt_a,
        "holder": gear.holder,
        "resistance_ohm": gear.resistance_ohm,
        "coil_a": gear.coil_a,
        "closes_v": gear.closes_v,
        "opens_v": gear.opens_v,
        "when": gear.when,
        "curve": gear.curve,
        "ignition_protected": gear.ignition_protected,
        "plug": gear.plug,
        "suppressor": gear.suppressor,
        "rated_for": gear.rated_for,
        "rated_at_v": gear.rated_at_v,
        "solid_state": gear.solid_state,
        "state": gear.state,
    }


def _part_stop(name: str, kind: PartKind, fields: Fields, slot: Slot, spot: Spot) -> Stop:
    part: Fields = {**fields, "name": name, "kind": kind}
    return Stop(f"{name} in", f"{name} out", None, slot.key, spot, named=False, part=part)


def _at(point: str, place: str | None, slot: Slot, what: str, name: str, *, way: str | None = None) -> Stop:
    passage = Passage(point=point, what=what, name=name, way=way)
    return Stop(point, point, place, slot.key, slot.step.spot, passage=passage)
