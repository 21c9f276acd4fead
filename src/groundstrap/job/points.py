"""Names and points: which thing a text in a path or a reading means, and which node that is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from enum import StrEnum

from groundstrap.job.equipment import Equipment
from groundstrap.job.faults import Spot
from groundstrap.model import Gear, GearKind, Load, PartKind, Supply, SupplyKind
from groundstrap.records import dataclass

__all__ = ["Named", "Points", "Target", "Thing"]


class Thing(StrEnum):
    """What a text means."""

    SUPPLY = "supply"
    LOAD = "load"
    COIL = "coil"
    BLOCK = "block"
    CHASSIS = "chassis"
    GEAR = "gear"
    PART = "part"
    """A part without a name of its own."""
    CIRCUIT = "circuit"


@dataclass(frozen=True, slots=True)
class Target:
    """The thing that a text means; `point` is its node where the text says one (`warmer fuse out`).

    `side` is the `+`, `-`, `in` or `out` that was written, `way` a slot, pin or position.
    """

    thing: Thing
    name: str
    way: str | None = None
    point: str | None = None
    side: str | None = None


@dataclass(frozen=True, slots=True)
class Named:
    """A part without a name of its own, under the name it is given."""

    circuit: str
    kind: PartKind


@dataclass(slots=True)
class Points:
    """All names of a job, and what texts made of them mean."""

    equipment: Equipment
    circuits: Mapping[str, Spot]
    parts: dict[str, Named] = field(default_factory=dict)
    _known: dict[str, tuple[Target, ...]] = field(default_factory=dict)

    def find(self, text: str) -> tuple[Target, ...]:
        """Return everything that a text could mean."""
        if text not in self._known:
            self._known[text] = tuple(self._find(text))
        return self._known[text]

    def _find(self, text: str) -> list[Target]:
        if text == "chassis":
            return [Target(Thing.CHASSIS, "chassis")]
        if text.startswith("chassis at "):
            return [Target(Thing.CHASSIS, "chassis", point=text)]
        words = text.split(" ")
        found: list[Target] = []
        for number in range(len(words), 0, -1):
            name, rest = " ".join(words[:number]), " ".join(words[number:])
            found += [target for target in self._readings(name, rest) if target is not None]
        return found

    def _readings(self, name: str, rest: str) -> list[Target | None]:
        equipment = self.equipment
        found: list[Target | None] = []
        if name in equipment.supplies:
            found.append(_of_supply(equipment.supplies[name], rest))
        if name in equipment.gear:
            found.append(_of_gear(equipment.gear[name], rest))
        if name in equipment.loads:
            found.append(_of_load(equipment.loads[name], rest))
        if name in self.parts:
            found.append(_of_part(name, self.parts[name], rest))
        return found

    def broken(self, text: str) -> bool:
        """Whether a text begins with the name of an entry that could not be read."""
        return any(text == name or text.startswith(f"{name} ") for name in self.equipment.broken)

    def look_up(
        self, spot: Spot, text: str, *, wanted: str = "a name or a point of the job"
    ) -> Target | None:
        """Return what a text means; nothing or two things are faults."""
        found = self.find(text)
        if len(found) == 1:
            return found[0]
        if len(found) > 1:
            names = " or ".join(_described(target) for target in found)
            spot.fault("a text that means one thing", found=text, reason=f"it may be {names}")
            return None
        if not self.broken(text):
            self._unknown(spot, text, wanted)
        return None

    def _unknown(self, spot: Spot, text: str, wanted: str) -> None:
        owner, rest = self._longest_owner(text)
        if owner is not None and rest:
            sides = self.sides(owner)
            nearest = spot.near(rest, sides)
            spot.fault(
                f"{owner}, or {owner} with one of {', '.join(sides)}" if sides else owner,
                found=text,
                nearest=f"{owner} {nearest}" if nearest else owner if not sides else None,
                reason=f"{owner} has no '{rest}'",
            )
            return
        if text in self.circuits:
            spot.fault(
                wanted,
                found=text,
                nearest=self._part_of(text),
                reason="a circuit is no point; its ends and parts are",
            )
            return
        spot.fault(wanted, found=text, nearest=spot.near(text, self.names()), reason="nothing has that name")

    def _part_of(self, circuit: str) -> str | None:
        return next((name for name, part in self.parts.items() if part.circuit == circuit), None)

    def _longest_owner(self, text: str) -> tuple[str | None, str]:
        words = text.split(" ")
        for number in range(len(words), 0, -1):
            name = " ".join(words[:number])
            if name in self.equipment.declared or name in self.equipment.supplies or name in self.parts:
                return name, " ".join(words[number:])
        return None, ""

    def names(self) -> tuple[str, ...]:
        """Return every name that a point may begin with."""
        equipment = self.equipment
        return (*equipment.supplies, *equipment.gear, *equipment.loads, *self.parts, "chassis")

    def sides(self, name: str) -> tuple[str, ...]:
        """Return what may stand behind a name."""
        equipment = self.equipment
        if name in equipment.supplies:
            supply = equipment.supplies[name]
            taps = tuple(f"{number} +" for number in range(1, supply.series))
            return (
                (*taps, "+", "-")
                if supply.in_plus is None
                else ("in", "out", "in +", "in -", "out +", "out -")
            )
        if name in equipment.loads:
            return ("+", "-")
        if name in equipment.gear:
            return _sides_of_gear(equipment.gear[name])
        if name in self.parts:
            return ("in", "out", "coil") if self.parts[name].kind is PartKind.RELAY else ("in", "out")
        return ()

    def check_names(self) -> None:
        """Refuse names that could be read as a point of something else."""
        for name, spot in self.equipment.declared.items():
            found = self.find(name)
            if len(found) > 1:
                own = (name, None)
                other = next((target for target in found[1:] if (target.name, target.way) != own), found[-1])
                reason = f"it may also be {_described(other)}"
                spot.fault("a name that is no point of anything else", found=name, reason=reason)


def _described(target: Target) -> str:
    if target.way is not None:
        return f"way {target.way} of {target.name}"
    if target.side is not None:
        return f"{target.side} of {target.thing} {target.name}"
    return f"the {target.thing} {target.name}"


def _of_supply(supply: Supply, rest: str) -> Target | None:
    name = supply.name
    if not rest:
        return Target(Thing.SUPPLY, name)
    ends = {"+": supply.plus, "-": supply.minus}
    if supply.in_plus is not None and supply.in_minus is not None:
        ends |= {"in": supply.in_plus, "in +": supply.in_plus, "in -": supply.in_minus}
    if supply.in_plus is not None or supply.kind is SupplyKind.MAINS_CHARGER:
        ends |= {"out": supply.plus, "out +": supply.plus, "out -": supply.minus}
    if supply.series > 1:
        joints = (supply.minus, *supply.taps, supply.plus)
        for number in range(1, supply.series + 1):
            ends[f"{number} +"], ends[f"{number} -"] = joints[number], joints[number - 1]
    point = ends.get(rest)
    return None if point is None else Target(Thing.SUPPLY, name, point=point, side=rest)


def _of_load(load: Load, rest: str) -> Target | None:
    if not rest:
        return Target(Thing.LOAD, load.name)
    point = {"+": load.plus, "-": load.minus}.get(rest)
    return None if point is None else Target(Thing.LOAD, load.name, point=point, side=rest)


def _sides_of_gear(gear: Gear) -> tuple[str, ...]:
    if gear.kind in {GearKind.BLOCK, GearKind.CHASSIS}:
        return gear.ways
    if gear.kind is GearKind.CONNECTOR and gear.ways:
        return (*gear.ways, *(f"{way} {side}" for way in gear.ways for side in ("in", "out")))
    coils = ("coil", *(f"{way} coil" for way in gear.ways)) if gear.kind is GearKind.RELAY else ()
    return ("in", "out", *gear.ways, *coils)


def _of_gear(gear: Gear, rest: str) -> Target | None:
    name = gear.name
    if gear.kind is GearKind.CHASSIS:
        return None if rest else Target(Thing.CHASSIS, name, point=name)
    if gear.kind is GearKind.BLOCK:
        return None if rest and rest not in gear.ways else Target(Thing.BLOCK, name, rest or None, point=name)
    if not rest:
        return Target(Thing.GEAR, name)
    if rest in gear.ways:
        # A pin has two sides, so its own name is no node; a position of a switch is one.
        point = None if gear.kind is GearKind.CONNECTOR else f"{name} {rest}"
        return Target(Thing.GEAR, name, rest, point=point)
    if gear.kind is GearKind.RELAY:
        coil = _coil(name, rest, gear.ways)
        if coil is not None:
            return coil
    if gear.kind is GearKind.CONNECTOR and gear.ways:
        way, _, side = rest.rpartition(" ")
        if way in gear.ways and side in {"in", "out"}:
            return Target(Thing.GEAR, name, way, point=f"{name} {rest}", side=side)
        return None
    return Target(Thing.GEAR, name, point=f"{name} {rest}", side=rest) if rest in {"in", "out"} else None


def _coil(name: str, rest: str, ways: tuple[str, ...]) -> Target | None:
    head, _, sign = rest.rpartition(" ") if rest[-1:] in {"+", "-"} else (rest, "", "")
    way = head.removesuffix("coil").rstrip()
    if not (head == "coil" or head.endswith(" coil")) or (way and way not in ways):
        return None
    if ways and not way:
        return None
    base = f"{name} {head}"
    return Target(Thing.COIL, base, way or None, point=f"{base} {sign}" if sign else None, side=sign or None)


def _of_part(name: str, part: Named, rest: str) -> Target | None:
    if not rest:
        return Target(Thing.PART, name)
    if rest in {"in", "out"}:
        return Target(Thing.PART, name, point=f"{name} {rest}", side=rest)
    return _coil(name, rest, ()) if part.kind is PartKind.RELAY else None
