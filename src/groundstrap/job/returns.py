"""The way back of every circuit that ends at something with two terminals: written, shared or assumed."""

from __future__ import annotations

from functools import partial

from groundstrap.job.circuits import Built, Circuits
from groundstrap.job.faults import Spot
from groundstrap.job.forms import Fields
from groundstrap.job.geography import SAME_PLACE_M, cut, joined
from groundstrap.job.lengths import Usual, differ, with_own_laying
from groundstrap.job.paths import build_run, is_point, make_wire
from groundstrap.job.steps import NameStep
from groundstrap.job.stops import Position, Slot, Stop
from groundstrap.model import Passage, State, Stretch, SupplyKind, Wire
from groundstrap.records import dataclass
from groundstrap.units import format_quantity
from groundstrap.words import words

__all__ = ["build_returns", "source_of"]


@dataclass(frozen=True, slots=True)
class _Terminal:
    """A negative terminal on a circuit that current has to come back from."""

    name: str
    point: str
    place: str
    at_m: float


def build_returns(circuits: Circuits, job_return: Spot | None) -> None:
    """Build the returns of all circuits; those that share a load share its return."""
    owners = _owners(circuits)
    for built in circuits.built.values():
        terminals = _terminals(circuits, built)
        written = built.draft.spots.get("return")
        if not terminals:
            if written is not None:
                reason = "its path ends at one pole, so it is one conductor and comes back by no other"
                written.fault("no return here; draw the negative as a circuit of its own", reason=reason)
            continue
        own = [terminal for terminal in terminals if owners[terminal.name] is built]
        if own:
            _Return(circuits, built, own, job_return).build()
        elif written is not None:
            first = owners[terminals[-1].name].draft.name
            written.fault(
                f"the return on one of them: {first} has it",
                reason=f"{first} and this circuit share one return",
            )
    for built in circuits.built.values():
        if built.back_end is None and (built.loads or built.converter):
            owner = owners[_terminals(circuits, built)[-1].name]
            built.back_end, built.return_known = owner.back_end, owner.return_known


def _terminals(circuits: Circuits, built: Built) -> list[_Terminal]:
    found: list[_Terminal] = []
    equipment = circuits.equipment
    for stop, at_m in list(zip(built.out.stops, built.out.at_m, strict=True))[1:]:
        if stop.load is not None:
            load = equipment.loads.get(stop.load) or circuits.stops.coils[stop.load]
            if load.name not in {terminal.name for terminal in found}:
                found.append(_Terminal(load.name, load.minus, load.place, at_m))
        elif stop.converter is not None:
            supply = equipment.supplies[stop.converter]
            assert supply.in_minus is not None
            found.append(_Terminal(supply.name, supply.in_minus, supply.place, at_m))
    return found


def _owners(circuits: Circuits) -> dict[str, Built]:
    """Return for each load the circuit that has its return: the first that writes one, else the first."""
    owners: dict[str, Built] = {}
    for built in circuits.built.values():
        if built.draft.state is State.REMOVE:
            continue
        for terminal in _terminals(circuits, built):
            first = owners.get(terminal.name)
            writes = "return" in built.draft.spots
            if first is None or (writes and "return" not in first.draft.spots):
                owners[terminal.name] = built
    for built in circuits.built.values():
        for terminal in _terminals(circuits, built):
            owners.setdefault(terminal.name, built)
    return owners


def source_of(circuits: Circuits, built: Built, seen: set[str] | None = None) -> str | None:
    """Return the supply that a circuit is fed from, looking upstream; None where nothing tells."""
    passage = built.start.passage
    if passage is not None and passage.what == "supply":
        return passage.name
    start = built.start.leave
    seen = set() if seen is None else seen
    seen.add(built.draft.name)
    for other in circuits.built.values():
        if other.draft.name not in seen and start in other.nodes()[1:]:
            found = source_of(circuits, other, seen)
            if found is not None:
                return found
    return None


@dataclass(slots=True)
class _Return:
    """Builds one circuit's way back."""

    circuits: Circuits
    built: Built
    terminals: list[_Terminal]
    job_return: Spot | None

    def build(self) -> None:
        draft = self.built.draft
        if draft.back is not None and not is_point(draft.back):
            self._drawn(draft.back)
            return
        stop = self._point()
        if stop is None:
            return
        if self._text() == "chassis":
            self._on_body()
        else:
            self._along(stop)

    def _text(self) -> str | None:
        draft = self.built.draft
        if draft.back:
            step = draft.back[0].step
            return step.text if isinstance(step, NameStep) else None
        if self.job_return is not None and not self._from_panel():
            return self.job_return.word("a point")
        return None

    def _from_panel(self) -> bool:
        """Whether it comes from a solar panel: its two leads run together to what it charges."""
        passage = self.built.start.passage
        supplies = self.circuits.equipment.supplies
        return (
            passage is not None
            and passage.what == "supply"
            and supplies[passage.name].kind is SupplyKind.SOLAR
        )

    def _point(self) -> Stop | None:
        """Return where the negative ends: as written, as the job says, or at the supply's negative."""
        draft, stops = self.built.draft, self.circuits.stops
        near = self.terminals[-1].place
        existing = draft.state is not State.NEW
        if draft.back:
            return stops.stop(draft.back[0], draft.name, Position.LAST, back=True, near=near)
        if existing:
            self.built.return_known = False
        if self.job_return is not None and not self._from_panel():
            text = self.job_return.word("a point")
            if text is None:
                return None
            slot = Slot(NameStep(text, self.job_return), "return")
            stop = stops.stop(slot, draft.name, Position.LAST, back=True, near=near)
            if existing and stop is not None:
                self._assume(stop.entry, words("the return of an existing circuit, which nobody wrote"))
            return stop
        return self._supply_negative()

    def _supply_negative(self) -> Stop | None:
        equipment = self.circuits.equipment
        name = source_of(self.circuits, self.built)
        supply = equipment.supplies.get(name) if name is not None else None
        if supply is None:
            supply = next(iter(equipment.batteries), None)
        if supply is None:
            return None
        why: str = words("no return is written: the negative of the supply")
        if self._from_panel():
            why = words("no return is written: a panel's two leads run together")
        self._assume(supply.minus, why)
        passage = Passage(point=supply.minus, what="supply", name=supply.name)
        return Stop(supply.minus, supply.minus, supply.place, "", self.built.draft.spot, passage=passage)

    def _assume(self, value: str, why: str) -> None:
        self.circuits.equipment.assume(words("{name} return", name=self.built.draft.name), value, why)

    def _drawn(self, slots: list[Slot]) -> None:
        """Build a return that is drawn step by step; without lengths it is as long as the way out."""
        built = self.built
        last = self.terminals[-1]
        if len(self.terminals) > 1:
            self._between_loads()
            last = self.terminals[0]
        passage = Passage(point=last.point, what="load", name=last.name)
        before = f"{built.draft.key}/return/-1"
        first = Stop(last.point, last.point, last.place, before, built.draft.spot, passage=passage)
        # A way out that came from elsewhere tells nothing of a return within one place.
        short = self._ends_on_body(slots) or built.start.place != last.place
        near_m = SAME_PLACE_M if short else last.at_m or SAME_PLACE_M
        usual = Usual(near_m=near_m, whole_m=last.at_m or None, began=built.start.place)
        run = build_run(built.draft, slots, self.circuits.stops, first=first, usual=usual)
        if run is None:
            return
        self.circuits.ties += run.ties if built.draft.state is not State.REMOVE else []
        built.back += run.elements
        built.back_end = run.stops[-1].entry
        if not self._ends_on_body(slots):
            self._look_apart(last, run.stops[-1].place)

    def _look_apart(self, first: _Terminal, end: str | None) -> None:
        """Note a return that ends in another place than where the way out begins, and a length lent to it."""
        built, equipment = self.built, self.circuits.equipment
        began = built.start.place
        if not differ(began, end) or built.draft.state is State.REMOVE:
            return
        built.return_apart = equipment.said(began) and equipment.said(end)
        for wire in built.back:
            if isinstance(wire, Wire) and wire.borrowed:
                why = words(
                    "as long as the way out, which begins elsewhere: measure from {place} to {end}, or write "
                    "a route between them",
                    place=first.place,
                    end=end,
                )
                self._assume(format_quantity(wire.length_m, "m"), why)

    def _ends_on_body(self, slots: list[Slot]) -> bool:
        step = slots[-1].step
        return isinstance(step, NameStep) and step.text.startswith("chassis")

    def _on_body(self) -> None:
        """Return each load to the body at its own place, by a short wire."""
        built = self.built
        for terminal in self.terminals:
            point = self.circuits.stops.chassis_at(terminal.place)
            geography = self.circuits.equipment.geography
            stretches = geography.across(terminal.place, terminal.place, SAME_PLACE_M)
            built.back.append(Passage(point=terminal.point, what="load", name=terminal.name))
            built.back.append(self._wire(terminal.point, point, stretches))
            built.back.append(Passage(point=point, what="chassis", name=point))
            built.back_end = point

    def _along(self, stop: Stop) -> None:
        """Return along the way out, from load to load, to one point."""
        built = self.built
        self._between_loads()
        first = self.terminals[0]
        built.back_end = stop.entry
        if first.point == stop.entry:
            return
        built.back.append(Passage(point=first.point, what="load", name=first.name))
        built.back.append(self._way_back(first, stop))
        if stop.passage is not None:
            built.back.append(stop.passage)
        self._look_apart(first, stop.place)

    def _between_loads(self) -> None:
        for there, here in zip(self.terminals[-2::-1], self.terminals[:0:-1], strict=True):
            stretches = list(reversed(cut(self.built.out.whole, there.at_m, here.at_m)))
            self.built.back.append(Passage(point=here.point, what="load", name=here.name))
            self.built.back.append(
                self._wire(here.point, there.point, stretches, known=self.built.out.length_known)
            )

    def _way_back(self, first: _Terminal, stop: Stop) -> Wire:
        """Return the negative's own cable: along measured routes where they tell, else as the way out.

        The way out tells nothing of a negative that ends in another place than the one where that began.
        """
        geography, out = self.circuits.equipment.geography, self.built.out
        on_body = stop.passage is not None and stop.passage.what == "chassis"
        elsewhere = stop.place != self.built.start.place
        mirrored = list(reversed(cut(out.whole, 0.0, first.at_m)))
        wire = partial(self._wire, first.point, stop.entry)
        if not mirrored or (stop.place == first.place and (on_body or elsewhere)):
            return wire(geography.across(first.place, first.place, SAME_PLACE_M))
        if stop.place is not None and stop.place != first.place:
            route = geography.route(first.place, stop.place)
            if route is not None and (elsewhere or "length" not in self.built.draft.spots):
                return wire(geography.along(route))
        borrowed = differ(self.built.start.place, stop.place)
        return wire(mirrored, known=out.length_known, borrowed=borrowed)

    def _wire(
        self, start: str, end: str, stretches: list[Stretch], *, known: bool = True, borrowed: bool = False
    ) -> Wire:
        draft = self.built.draft
        step = {} if "wire" in draft.spots else self._last_wire()
        laid = joined(with_own_laying(stretches, draft.laying()))
        written = draft.spots.get("return")
        return Wire(
            **make_wire(draft, step, laid),
            name="",
            start=start,
            end=end,
            length_m=sum(stretch.length_m for stretch in laid),
            length_known=known,
            borrowed=borrowed,
            returning=True,
            key=f"{draft.key}/return" if written is not None else "",
        )

    def _last_wire(self) -> Fields:
        """Return what the return of a new circuit takes after: the cable that ends at its load."""
        if self.built.draft.state is not State.NEW:
            return {}
        wires = [element for element in self.built.out.elements if isinstance(element, Wire)]
        if not wires:
            return {}
        last = wires[-1]
        fields: Fields = {"material": last.material, "insulation": last.insulation, "parallel": last.parallel}
        return fields | ({} if last.size is None else {"size": last.size})
