"""What nobody drew and must be there: negatives, the alternator, blocks of the vehicle as found."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Final

from groundstrap.job.circuits import Circuits
from groundstrap.job.equipment import CONVERTERS
from groundstrap.job.faults import Spot
from groundstrap.job.negatives import draw_negative
from groundstrap.job.steps import NameStep
from groundstrap.job.stops import Position, Slot, Stop
from groundstrap.model import (
    Basis,
    Circuit,
    Gear,
    GearKind,
    Load,
    LoadKind,
    Part,
    PartKind,
    Passage,
    Situation,
    State,
    Supply,
    SupplyKind,
    Tie,
)
from groundstrap.records import replace
from groundstrap.words import words

__all__ = ["imply_ties", "with_situations"]

_ENGINE_OFF: Final = frozenset({Situation.RESTING, Situation.MAINS})
_WITH_KEY: Final = frozenset({"ignition", "engine"})

_Coils = Mapping[str, tuple[str, ...]]
"""The points that feed the coils of each relay."""


class _Implied:
    """Draws the ties that nobody drew."""

    def __init__(self, circuits: Circuits, job_return: Spot | None) -> None:
        self.circuits = circuits
        self.equipment = circuits.equipment
        self.job_return = job_return
        # A negative is drawn where one conductor leads from it, not where a load comes back to it.
        self.drawn: set[str] = set()
        for built in circuits.built.values():
            if built.draft.state is not State.REMOVE:
                self.drawn |= {built.start.leave, built.end.entry}
        self.returned = {
            point
            for built in circuits.built.values()
            for point in (built.back_end, *(supply_minus(circuits, built.converter),))
            if point is not None
        }

    def tie(self, start: str, end: str, kind: str, why: str) -> None:
        if start == end:
            return
        self.circuits.ties.append(Tie(name=f"{start} on {end}", start=start, end=end, kind=kind, why=why))
        self.equipment.assume(start, end, why)

    def all(self) -> None:
        batteries = self.equipment.batteries
        first = batteries[0] if batteries else None
        for supply in self.equipment.supplies.values():
            if supply.state is State.REMOVE:
                continue
            if supply.kind is SupplyKind.BATTERY:
                self.battery(supply, first)
            elif supply.kind is SupplyKind.ALTERNATOR:
                self.alternator(supply, first)
            else:
                self.other(supply, first)
        if first is not None:
            self.body(first)
        for gear in self.equipment.gear.values():
            if gear.kind is GearKind.BLOCK and gear.state is State.EXISTING and first is not None:
                self.block(gear, first)

    def battery(self, supply: Supply, first: Supply | None) -> None:
        if supply.minus in self.drawn:
            return
        place: str | None = supply.place
        if self.equipment.basis is Basis.ROAD and self.circuits.stops.body in {"steel", "aluminium"}:
            has_strap = self.has_strap(supply, first)
            point = self.circuits.stops.chassis_at(supply.place)
            end = Passage(point=point, what="chassis", name=point)
            why = words("a battery's negative that nobody drew is on the chassis")
        else:
            stop = self.return_stop(supply)
            end = self.end_of(stop, supply, first)
            place = stop.place if stop is not None else first.place if first is not None else place
            has_strap = self.has_strap(supply, first) and not self.is_new_block(end)
            why = words("a negative that nobody drew is on the job's return")
        if end.point == supply.minus:
            return
        if has_strap or not draw_negative(
            self.circuits,
            supply,
            end,
            place,
            words("{why}, and this one is part of the work: draw it", why=why),
        ):
            self.tie(supply.minus, end.point, "battery negative", why)

    def has_strap(self, supply: Supply, first: Supply | None) -> bool:
        """Whether a battery is the vehicle's own, or nothing but itself needs its way to the body."""
        if supply.state is not State.NEW or supply.assumed or self.on_existing(supply):
            return True
        if supply is not first:
            return False
        machines = (each for each in self.equipment.supplies.values() if each.state is not State.REMOVE)
        engine = any(each.kind is SupplyKind.ALTERNATOR for each in machines)
        alone = not self.circuits.stops.chassis_points and len(self.equipment.batteries) == 1
        return engine or (alone and self.circuits.stops.body in {"steel", "aluminium"})

    def on_existing(self, supply: Supply) -> bool:
        """Whether cable that is there already leads to its plus: so it is there itself."""
        return any(
            built.draft.state is State.EXISTING and supply.plus in {built.start.leave, built.end.entry}
            for built in self.circuits.built.values()
        )

    def is_new_block(self, end: Passage) -> bool:
        block = self.equipment.gear.get(end.name)
        return end.what == "block" and block is not None and block.state is State.NEW

    def end_of(self, stop: Stop | None, supply: Supply, first: Supply | None) -> Passage:
        """Return where a negative ends off the body: on the job's return, else on the first battery."""
        if stop is not None:
            return stop.passage or Passage(point=stop.entry, what="gear", name=stop.entry)
        last = first if first is not None else supply
        return Passage(point=last.minus, what="supply", name=last.name)

    def body(self, first: Supply) -> None:
        """Tie the body to the first battery where things return on it and no drawn cable leads back."""
        points = self.circuits.stops.chassis_points
        if not points or first.minus in self.joined(set(points)):
            return
        point = self.circuits.stops.chassis_at(first.place)
        why = words(
            "things return on the body, and no cable that is drawn joins it to the battery's negative"
        )
        self.tie(first.minus, point, "battery negative", why)

    def joined(self, reached: set[str]) -> set[str]:
        """Points that single conductors and ties join to some points."""
        pairs = [(tie.start, tie.end) for tie in self.circuits.ties]
        pairs += [(circuit.start, circuit.end) for circuit in self.circuits.implied.values()]
        pairs += [
            (built.start.leave, built.end.entry)
            for built in self.circuits.built.values()
            if built.draft.state is not State.REMOVE and not built.loads and built.converter is None
        ]
        before = 0
        while len(reached) > before:
            before = len(reached)
            for a, b in pairs:
                if a in reached or b in reached:
                    reached |= {a, b}
        return reached

    def alternator(self, supply: Supply, first: Supply | None) -> None:
        own = self.vehicle_battery(supply) or first
        if own is None:
            return
        why = words("an alternator that nobody drew is on the first battery")
        if own is not first:
            why = words("what nobody drew of an alternator is on the battery that it charges or starts from")
        if supply.plus not in self.drawn:
            self.tie(supply.plus, own.plus, "alternator", why)
        if supply.minus not in self.drawn:
            self.tie(supply.minus, own.minus, "alternator", why)

    def vehicle_battery(self, alternator: Supply) -> Supply | None:
        """Return the battery that an alternator, or else a starter, is drawn straight to."""
        ends = [
            {built.start.leave, built.end.entry}
            for built in self.circuits.built.values()
            if built.draft.state is not State.REMOVE
        ]
        kept = (load for load in self.equipment.loads.values() if load.state is not State.REMOVE)
        starters = {load.plus for load in kept if load.kind is LoadKind.STARTER}
        for machines in ({alternator.plus}, starters):
            reached = {point for pair in ends if pair & machines for point in pair}
            for battery in self.equipment.batteries:
                if battery.plus in reached:
                    return battery
        return None

    def other(self, supply: Supply, first: Supply | None) -> None:
        """Draw the negative of a new charger or converter; tie one that is there, and a panel's."""
        charged = self.charged_by(supply) or first
        end = self.return_point(supply) or (charged.minus if charged is not None else None)
        common = supply.kind in CONVERTERS and not supply.isolated and supply.in_minus is not None
        if common and supply.in_minus is not None:
            why = words("input and output of a converter that is not isolated share their negative")
            self.tie(supply.minus, supply.in_minus, "converter negative", why)
        if supply.minus in self.drawn or (supply.kind is SupplyKind.SOLAR and supply.minus in self.returned):
            return
        # Its input comes back to the same point by a wire that also serves the output; a second tie would
        # bridge that wire.
        if common and end is not None and self.input_returns_to(supply, end):
            return
        why = words("a supply's negative that nobody drew is on the return")
        if end is not None and not self.draws_output(supply, charged, why):
            self.tie(supply.minus, end, "charger negative", why)

    def charged_by(self, supply: Supply) -> Supply | None:
        """Return the battery that a cable from its plus ends at, where somebody drew that one's negative.

        One that is implied leads to the first battery: what charges comes back over it, so that it is sized.
        """
        ends = {
            built.end.entry
            for built in self.circuits.built.values()
            if built.start.leave == supply.plus and built.draft.state is not State.REMOVE
        }
        charged = (battery for battery in self.equipment.batteries if battery.plus in ends)
        return next((battery for battery in charged if battery.minus in self.drawn), None)

    def draws_output(self, supply: Supply, charged: Supply | None, why: str) -> bool:
        """Draw the negative of a new charger or converter; False where it is no cable of the work."""
        on_panel = supply.kind not in CONVERTERS
        if on_panel or supply.state is not State.NEW or supply.assumed or supply.minus in self.returned:
            return False
        if supply.plus not in self.drawn:
            return False
        stop = self.return_stop(supply)
        end = self.end_of(stop, supply, charged)
        place = stop.place if stop is not None else charged.place if charged is not None else supply.place
        said = words("{why}, and this one is part of the work: draw it", why=why)
        return draw_negative(self.circuits, supply, end, place, said)

    def input_returns_to(self, supply: Supply, end: str) -> bool:
        return any(
            built.converter == supply.name and built.back_end == end for built in self.circuits.built.values()
        )

    def return_point(self, supply: Supply) -> str | None:
        """Return the job's own return as a point, at the place of a supply."""
        stop = self.return_stop(supply)
        return None if stop is None else stop.entry

    def return_stop(self, supply: Supply) -> Stop | None:
        if self.job_return is None:
            return None
        text = self.job_return.word("a point")
        if text is None:
            return None
        slot = Slot(NameStep(text, self.job_return), "return")
        return self.circuits.stops.stop(slot, "", Position.LAST, back=True, near=supply.place)

    def block(self, gear: Gear, first: Supply) -> None:
        fed = any(
            gear.name in built.nodes()[1:]
            for built in self.circuits.built.values()
            if built.draft.state is not State.REMOVE
        )
        returned = gear.name in self.returned or any(
            isinstance(element, Passage) and element.point == gear.name
            for built in self.circuits.built.values()
            for element in built.back
        )
        feeds = any(built.start.leave == gear.name for built in self.circuits.built.values())
        if not fed and feeds and not returned:
            self.tie(
                first.plus,
                gear.name,
                "existing block",
                words("an existing block that nobody feeds is on the first battery"),
            )


def supply_minus(circuits: Circuits, name: str | None) -> str | None:
    """Return the negative of a converter's output, which its input may be joined to."""
    return None if name is None else circuits.equipment.supplies[name].in_minus


def imply_ties(circuits: Circuits, job_return: Spot | None) -> None:
    """Add the ties of everything that nobody drew, each listed as assumed."""
    _Implied(circuits, job_return).all()


class _Upstream:
    """Whether current to a point passes something that is closed with the key only.

    A point is keyed where every way to it is: through such a part, or from a point that is keyed. Rings lead
    back to themselves, so all points that something leads to begin as keyed, and lose it way by way.
    """

    def __init__(
        self,
        circuits: Iterable[Circuit],
        gear: Mapping[str, Gear],
        supplies: Collection[Supply],
        coils: _Coils,
    ) -> None:
        self.gear = gear
        self.coils = coils
        self.ways: dict[str, list[tuple[str, tuple[Part, ...]]]] = {}
        for circuit in circuits:
            if circuit.state is not State.REMOVE:
                self._add(circuit)
        self.converters = {s.plus: s for s in supplies if s.in_plus is not None}
        # A battery is live by itself, whatever charges it.
        batteries = [s for s in supplies if s.kind is SupplyKind.BATTERY and s.state is not State.REMOVE]
        posts = {point for battery in batteries for point in (battery.plus, *battery.taps)}
        self.points = {*self.ways, *self.converters} - posts
        self.keyed_points = {*self.points, *(name for name in gear if self._keyed_block(name))}
        losing = True
        while losing:
            losing = False
            for point in self.points:
                losing |= self._lose(point)

    def keyed(self, point: str) -> bool:
        return point in self.keyed_points

    def _add(self, circuit: Circuit) -> None:
        """Note how a circuit leads to each of its points."""
        parts: list[Part] = []
        for element in circuit.path:
            points = (element.point,) if isinstance(element, Passage) else (element.start, element.end)
            for number, point in enumerate(points):
                if number == 1 and isinstance(element, Part):
                    parts.append(element)
                if point != circuit.start:
                    self.ways.setdefault(point, []).append((circuit.start, tuple(parts)))

    def _keyed_block(self, point: str) -> bool:
        block = self.gear.get(point)
        return block is not None and block.kind is GearKind.BLOCK and block.when in _WITH_KEY

    def _lose(self, point: str) -> bool:
        """Take a point from the keyed ones where it no longer is; whether that was so."""
        if point not in self.keyed_points or self._keyed_block(point):
            return False
        converter = self.converters.get(point)
        if converter is not None and converter.in_plus is not None:
            keyed = converter.when in _WITH_KEY or self.keyed(converter.in_plus)
        else:
            keyed = all(self.keyed(start) or any(map(self._part, parts)) for start, parts in self.ways[point])
        if not keyed:
            self.keyed_points.discard(point)
        return not keyed

    def _part(self, part: Part) -> bool:
        if part.when in _WITH_KEY:
            return True
        if part.kind is not PartKind.RELAY or part.when is not None:
            return False
        coils = self.coils.get(part.gear or part.name, ())
        return bool(coils) and all(self.keyed(coil) for coil in coils)


def with_situations(
    loads: Mapping[str, Load],
    circuits: Mapping[str, Circuit],
    gear: Mapping[str, Gear],
    supplies: Mapping[str, Supply],
) -> Mapping[str, Load]:
    """Take the situations without the key from loads that only the ignition feeds, its relays included."""
    coils: dict[str, tuple[str, ...]] = {}
    for load in loads.values():
        if load.kind is LoadKind.COIL and load.relay is not None:
            coils[load.relay] = (*coils.get(load.relay, ()), load.plus)
    upstream = _Upstream(circuits.values(), gear, supplies.values(), coils)
    made: dict[str, Load] = {}
    for name, load in loads.items():
        made[name] = load
        if not load.runs_written and upstream.keyed(load.plus):
            made[name] = replace(load, runs=load.runs - _ENGINE_OFF)
    return made
