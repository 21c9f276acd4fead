"""Circuits of a job file: every path and return built, and one owner for every part with a name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field
from itertools import count

from groundstrap.job.equipment import Equipment, name_at
from groundstrap.job.faults import Spot
from groundstrap.job.paths import Draft, Run, build_run, read_draft
from groundstrap.job.points import Named, Points
from groundstrap.job.steps import PartStep
from groundstrap.job.stops import Position, Sides, Stop, Stops, Touch, part_fields, sides_of
from groundstrap.job.tree import ScalarNode
from groundstrap.model import FUSES, Circuit, Element, GearKind, Origin, Part, PartKind, State, Tie, Wire
from groundstrap.records import dataclass, replace
from groundstrap.units import format_quantity
from groundstrap.words import words

__all__ = ["Built", "Circuits", "read_circuits"]


@dataclass(slots=True)
class Built:
    """A circuit whose way out is built; `back` holds the elements of its return once that is built too."""

    draft: Draft
    out: Run
    loads: tuple[str, ...]
    converter: str | None
    back: list[Element] = field(default_factory=list)
    back_end: str | None = None
    return_known: bool = True
    return_apart: bool = False

    @property
    def start(self) -> Stop:
        """Where it begins."""
        return self.out.stops[0]

    @property
    def end(self) -> Stop:
        """Where its way out ends."""
        return self.out.stops[-1]

    def nodes(self) -> list[str]:
        """Points of its way out, in order."""
        nodes: list[str] = []
        for element in self.out.elements:
            ends = (element.start, element.end) if isinstance(element, Wire | Part) else (element.point,)
            nodes += [node for node in ends if not nodes or nodes[-1] != node]
        return nodes


@dataclass(slots=True)
class Circuits:
    """All circuits of a job while they are being built."""

    equipment: Equipment
    points: Points
    stops: Stops
    drafts: dict[str, Draft]
    built: dict[str, Built] = field(default_factory=dict)
    ties: list[Tie] = field(default_factory=list)
    implied: dict[str, Circuit] = field(default_factory=dict)
    """Negatives that nobody drew and that the work needs."""


def read_circuits(equipment: Equipment, section: Spot | None, *, body: str) -> Circuits:
    """Read every circuit and build its way out."""
    drafts, spots = _drafts(equipment, section)
    points = Points(equipment, spots)
    for draft in drafts.values():
        for slot in (*draft.slots, *(draft.back or ())):
            if slot.name is not None:
                kind = PartKind(slot.step.word) if isinstance(slot.step, PartStep) else PartKind.UNKNOWN
                points.parts[slot.name] = Named(draft.name, kind)
    points.check_names()
    slots = {name: [*draft.slots, *(draft.back or ())] for name, draft in drafts.items()}
    stops = Stops(equipment, points, slots, body=body)
    circuits = Circuits(equipment, points, stops, drafts)
    for draft in drafts.values():
        run = build_run(draft, draft.slots, stops) if draft.sound else None
        if run is not None:
            _note_guess(equipment, draft)
            circuits.built[draft.name] = _built(draft, run)
            # What is to be taken out ties nothing to anything.
            circuits.ties += run.ties if draft.state is not State.REMOVE else []
    return circuits


def _drafts(equipment: Equipment, section: Spot | None) -> tuple[dict[str, Draft], dict[str, Spot]]:
    drafts: dict[str, Draft] = {}
    spots: dict[str, Spot] = {}
    if section is None or (isinstance(section.node, ScalarNode) and section.node.empty):
        return drafts, spots
    for key, spot in section.entries("a map: the name of each circuit, and what it is"):
        name = name_at(spot.at(key))
        if name is None:
            continue
        if name in spots:
            spot.at(key).fault("a name that no other circuit has", reason="two circuits of one name")
            continue
        spots[name] = spot.at(key)
        drafts[name] = read_draft(name, spot, equipment)
    return drafts, spots


def _note_guess(equipment: Equipment, draft: Draft) -> None:
    """Note a length that nobody has measured yet."""
    if draft.fields.get("guessed"):
        why = words("nobody has measured it yet: measure along the way that the cable will take")
        where = words("{name} length", name=draft.name)
        equipment.assume(where, format_quantity(draft.fields["length_m"], "m"), why)


def _built(draft: Draft, run: Run) -> Built:
    behind = run.stops[1:]
    loads = tuple(stop.load for stop in behind if stop.load is not None)
    return Built(draft, run, loads, run.stops[-1].converter)


def settle_parts(circuits: Circuits) -> None:
    """Give every part with a name to the one circuit that it belongs to; two that meet in it are refused."""
    uses: dict[tuple[str, str | None], list[Touch]] = {}
    for touch in circuits.stops.touches:
        uses.setdefault((touch.gear, touch.way), []).append(touch)
    for (name, way), touches in uses.items():
        whole = [touch for touch in touches if touch.whole]
        if not _shared(circuits, name, way, whole):
            _own(circuits, name, way, touches)


def _shared(circuits: Circuits, name: str, way: str | None, whole: list[Touch]) -> bool:
    """Whether circuits meet in a part: only one that ends at it and one that begins there may."""
    seen: dict[Position, Touch] = {}
    for touch in whole:
        clash = seen.get(touch.position) or seen.get(Position.MIDDLE)
        if clash is None and touch.position is Position.MIDDLE and seen:
            clash = next(iter(seen.values()))
        if clash is not None:
            kind = circuits.equipment.gear[name].kind
            what = name if way is None else f"{name} {way}"
            touch.spot.fault(
                f"a {kind} or way of its own, or a block that joins them",
                found=what,
                reason=f"{clash.circuit} passes it already, and the two circuits would meet in it",
            )
            return True
        seen[touch.position] = touch
    return False


def _own(circuits: Circuits, name: str, way: str | None, touches: list[Touch]) -> None:
    """Put a part that no circuit passes to the one that begins at it, or else ends at its position."""
    if any(touch.position is Position.MIDDLE and touch.whole for touch in touches):
        return
    gear = circuits.equipment.gear[name]
    first = [touch for touch in touches if touch.position is Position.FIRST]
    first.sort(key=lambda touch: not touch.whole)
    last = [touch for touch in touches if touch.position is Position.LAST and touch.whole]
    sides = sides_of(gear, way)
    if first and circuits.built.get(first[0].circuit) is not None:
        built = circuits.built[first[0].circuit]
        if built.start.entry == sides.far:
            built.out.elements.insert(0, _part_of(circuits, built.draft, name, way, sides))
    elif last and way is not None and gear.kind is not GearKind.CONNECTOR:
        found = circuits.built.get(last[0].circuit)
        if found is not None and found.end.entry == sides.far:
            turned = Sides(sides.far, sides.near)
            found.out.elements.append(_part_of(circuits, found.draft, name, way, turned))


def _part_of(circuits: Circuits, draft: Draft, name: str, way: str | None, sides: Sides) -> Part:
    gear = circuits.equipment.gear[name]
    fields = part_fields(gear, way)
    state = fields.pop("state")
    state = state if state is not State.NEW else draft.state
    if fields["rating_a"] is not None:
        fields["origin"] = Origin.EXISTING if state is State.EXISTING else Origin.WRITTEN
    return Part(
        **fields,
        circuit=draft.name,
        start=sides.near,
        end=sides.far,
        place=gear.place,
        zone=gear.zone,
        state=state,
        key=gear.key,
    )


def finished(circuits: Circuits) -> Mapping[str, Circuit]:
    """Return the circuits of the model, their wires named in order.

    Where nobody wrote a number one is given, by the names in their order and not by the order of the file.
    """
    written = {name: built.draft.fields.get("label") for name, built in circuits.built.items()}
    taken = set(written.values())
    free = (str(number) for number in count(1) if str(number) not in taken)
    names = sorted({*circuits.built, *circuits.implied})
    given = {name: written.get(name) or next(free) for name in names}
    made = {name: _finished(built, given[name]) for name, built in circuits.built.items()}
    return made | {name: _labelled(circuit, given[name]) for name, circuit in circuits.implied.items()}


def _labelled(circuit: Circuit, label: str) -> Circuit:
    path = tuple(replace(each, label=label) if isinstance(each, Wire) else each for each in circuit.path)
    return replace(circuit, path=path, label=label)


def _finished(built: Built, label: str) -> Circuit:
    draft, fields = built.draft, built.draft.fields
    path = tuple(_named(built.out.elements, f"{draft.name} wire", label))
    back = tuple(_named(built.back, f"{draft.name} return", label))
    # A part with a name that this circuit owns stands before or behind what the path itself says.
    owned = [element for element in (path[0], path[-1]) if isinstance(element, Part)]
    before = next((part.start for part in owned if part is path[0]), built.start.leave)
    behind = next((part.end for part in owned if part is path[-1]), built.end.entry)
    return Circuit(
        name=draft.name,
        path=path,
        back=back,
        start=before,
        end=behind,
        back_end=built.back_end,
        loads=built.loads,
        converter=built.converter,
        length_m=sum(e.length_m for e in path if isinstance(e, Wire)),
        drop_pct=fields.get("drop_pct"),
        drop_v=fields.get("drop_v"),
        carries_a=fields.get("carries_a"),
        label=label,
        return_known=built.return_known,
        return_apart=built.return_apart,
        fuse_unknown=_fuse_unknown(draft, (*path, *back)),
        state=draft.state,
        note=fields.get("note"),
        key=draft.key,
    )


def _fuse_unknown(draft: Draft, elements: Iterable[Element]) -> bool:
    """Whether cable that is there may have a fuse somewhere, which nobody has found."""
    shown = any(isinstance(each, Part) and each.kind in FUSES for each in elements)
    return draft.says_unknown("fuse") and draft.state is State.EXISTING and not shown


def _named(elements: Iterable[Element], base: str, label: str) -> Iterable[Element]:
    number = 0
    for element in elements:
        if isinstance(element, Wire):
            number += 1
            yield replace(element, name=f"{base} {number}", label=label)
        else:
            yield element
