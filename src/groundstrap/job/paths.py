"""A path as elements of the model: wires, parts and what they touch, each between two points."""

from __future__ import annotations

from dataclasses import field
from typing import Final

from groundstrap.job.equipment import Equipment
from groundstrap.job.faults import Spot
from groundstrap.job.forms import Fields, is_unknown
from groundstrap.job.geography import joined
from groundstrap.job.lengths import Piece, Span, Usual, measure, with_own_laying
from groundstrap.job.schema import CIRCUIT_KEYS, read_record
from groundstrap.job.steps import CableStep, NameStep, PartStep, Step, UnknownStep, read_steps
from groundstrap.job.stops import Position, Slot, Stop, Stops
from groundstrap.job.tree import SequenceNode
from groundstrap.model import Element, Origin, Part, PartKind, State, Stretch, Tie, Wire
from groundstrap.records import dataclass
from groundstrap.words import words

__all__ = ["Draft", "Run", "build_run", "is_point", "read_draft"]

_CABLE_FIELDS: Final = ("size", "material", "insulation", "colour", "parallel")


@dataclass(slots=True)
class Draft:
    """One circuit as it stands in the file."""

    name: str
    spot: Spot
    fields: Fields
    spots: dict[str, Spot]
    slots: list[Slot] = field(default_factory=list)
    back: list[Slot] | None = None
    """Steps of the return where one is written."""
    sound: bool = True

    @property
    def state(self) -> State:
        """Whether it is new, there already, or to be taken out."""
        state: State = self.fields.get("state", State.NEW)
        return state

    @property
    def key(self) -> str:
        """Its key in the file."""
        return f"circuits/{self.name}"

    def laying(self) -> Fields:
        """Return how its cable is laid, as far as the circuit itself says."""
        return {key: value for key, value in self.fields.items() if key in {"laid", "others"}}

    def says_unknown(self, key: str) -> bool:
        """Whether a key of the circuit is written as unknown."""
        return key in self.spots and is_unknown(self.spots[key])


@dataclass(slots=True)
class Run:
    """Cable in one direction: its stops, its elements, and where it runs."""

    stops: list[Stop]
    elements: list[Element] = field(default_factory=list)
    ties: list[Tie] = field(default_factory=list)
    whole: list[Stretch] = field(default_factory=list)
    length_known: bool = True
    at_m: list[float] = field(default_factory=list)
    """Cable from the start to each stop. [m]"""

    @property
    def length_m(self) -> float:
        """Of all its cable. [m]"""
        return sum(element.length_m for element in self.elements if isinstance(element, Wire))


def read_draft(name: str, spot: Spot, equipment: Equipment) -> Draft:
    """Read a circuit's own keys and its steps; names in them are looked up later."""
    before = len(spot.faults.found)
    record = read_record(spot, CIRCUIT_KEYS, "circuit")
    draft = Draft(name, spot, record.fields, record.spots)
    counted: dict[str, int] = {}
    if "path" in record.fields:
        draft.slots = _slots(draft, record.fields.pop("path"), "path", counted)
    elif "path" not in record.spots:
        draft.slots = _usual_path(draft, equipment, counted)
    if "return" in record.fields:
        single = not is_list(record.spots["return"])
        draft.back = _slots(draft, record.fields.pop("return"), "return", counted, single=single)
    draft.sound = len(spot.faults.found) == before
    return draft


def is_list(spot: Spot) -> bool:
    """Whether a list stands there."""
    return isinstance(spot.node, SequenceNode)


def is_point(slots: list[Slot]) -> bool:
    """Whether the steps are one point alone."""
    return len(slots) == 1 and isinstance(slots[0].step, NameStep)


def _slots(
    draft: Draft, spots: list[Spot], key: str, counted: dict[str, int], *, single: bool = False
) -> list[Slot]:
    steps = read_steps(spots) or []
    if not spots:
        draft.spots[key].fault("at least one step", found="[]", reason="the list is empty")
    slots: list[Slot] = []
    for number, step in enumerate(steps):
        where = f"{draft.key}/{key}" if single else f"{draft.key}/{key}/{number}"
        slots.append(Slot(step, where, _part_name(draft.name, step, counted)))
    return slots


def _part_name(circuit: str, step: Step, counted: dict[str, int]) -> str | None:
    """Name a part that has none: `warmer fuse`, and the second one `warmer fuse 2`."""
    if isinstance(step, PartStep):
        word = step.word
    elif isinstance(step, UnknownStep):
        word = "unknown"
    else:
        return None
    counted[word] = counted.get(word, 0) + 1
    return f"{circuit} {word}" if counted[word] == 1 else f"{circuit} {word} {counted[word]}"


def _usual_path(draft: Draft, equipment: Equipment, counted: dict[str, int]) -> list[Slot]:
    """Return `[battery, fuse, LOAD]` with the only battery and the load of the circuit's name."""
    spot = draft.spot
    batteries = equipment.batteries
    if draft.name not in equipment.loads:
        reason = "without a path a circuit goes to the load of its own name, and there is none"
        nearest = spot.near(draft.name, tuple(equipment.loads))
        spot.fault("a path, or the name of a load", found=draft.name, reason=reason, nearest=nearest)
        return []
    if len(batteries) != 1:
        reason = "without a path a circuit comes from the only battery"
        spot.fault("a path that says from which battery", found=draft.name, reason=reason)
        return []
    steps: tuple[Step, ...] = (
        NameStep(batteries[0].name, spot),
        PartStep("fuse", {}, spot),
        NameStep(draft.name, spot),
    )
    key = f"{draft.key}/path"
    slots = [
        Slot(step, f"{key}/{number}", _part_name(draft.name, step, counted))
        for number, step in enumerate(steps)
    ]
    equipment.assume(draft.name, f"[{batteries[0].name}, fuse, {draft.name}]", words("no path is written"))
    return slots


def build_run(
    draft: Draft, slots: list[Slot], stops: Stops, *, first: Stop | None = None, usual: Usual | None = None
) -> Run | None:
    """Build one direction of a circuit; `first` is the load's negative where the return is built."""
    back = first is not None
    whole_m = None if back else draft.fields.get("length_m")
    found = _find_stops(draft, slots, stops, first)
    if found is None:
        return None
    run, gaps = found
    spans = _spans(run.stops, gaps)
    whole_at = draft.spots.get("length")
    existing = draft.state is not State.NEW
    geography = stops.equipment.geography
    if not measure(spans, geography, whole_m=whole_m, whole_at=whole_at, existing=existing, usual=usual):
        return None
    _Layer(draft, stops.equipment, run, back=back).lay(gaps, spans)
    return run


@dataclass(slots=True)
class _Gap:
    """Cable steps between two neighbours, as pieces."""

    pieces: list[Piece]


def _find_stops(
    draft: Draft, slots: list[Slot], stops: Stops, first: Stop | None
) -> tuple[Run, list[_Gap]] | None:
    back = first is not None
    found: list[Stop] = [first] if first is not None else []
    gaps: list[_Gap] = []
    pieces: list[Piece] = []
    last = first.entry if first is not None else ""
    indexes = [number for number, slot in enumerate(slots) if not isinstance(slot.step, CableStep)]
    if not _has_ends(slots, indexes, back=back):
        return None
    sound = True
    for number, slot in enumerate(slots):
        if isinstance(slot.step, CableStep):
            pieces.append(Piece(slot.step, slot.key))
            continue
        position = Position.LAST if number == len(slots) - 1 else Position.MIDDLE
        if number == 0 and not back:
            position = Position.FIRST
        near = _near(found, slots, number, stops)
        stop = stops.stop(slot, draft.name, position, back=back, near=near)
        if stop is None:
            sound = False
            continue
        if found:
            between = f"from {last} to {_called(slot)}"
            gaps.append(_Gap(pieces or [Piece(None, f"{found[-1].key}+", between=between)]))
        pieces, last = [], _called(slot)
        found.append(stop)
    return (Run(found), gaps) if sound and len(found) > 1 else None


def _called(slot: Slot) -> str:
    """Return a step as a fault names it: its name, or the word for the part that it is."""
    step = slot.step
    return step.text if isinstance(step, NameStep) else step.word if isinstance(step, PartStep) else "unknown"


def _has_ends(slots: list[Slot], indexes: list[int], *, back: bool) -> bool:
    """Whether cable has something at both of its ends."""
    if not slots:
        return False
    for number, what in ((0, "begins"), (len(slots) - 1, "ends")):
        if number not in indexes and not (back and number == 0):
            slots[number].step.spot.fault(
                "a name or a point at each end", reason=f"the path {what} with cable"
            )
            return False
    if not back and len(indexes) < 2:
        slots[0].step.spot.fault(
            "at least two names or points", reason="a path leads from one thing to another"
        )
        return False
    return True


def _near(found: list[Stop], slots: list[Slot], number: int, stops: Stops) -> str | None:
    """Return the place next to a step: that of the last name before it, else of the next behind it."""
    before = next((stop.place for stop in reversed(found) if stop.named and stop.place is not None), None)
    if before is not None:
        return before
    for slot in slots[number + 1 :]:
        if isinstance(slot.step, NameStep):
            targets = stops.points.find(slot.step.text)
            return stops.equipment.place_of(targets[0].name) if len(targets) == 1 else None
    return None


def _spans(stops: list[Stop], gaps: list[_Gap]) -> list[Span]:
    """Group the gaps from name to name."""
    spans: list[Span] = []
    start, pieces = stops[0], list[Piece]()
    for gap, stop in zip(gaps, stops[1:], strict=True):
        pieces.extend(gap.pieces)
        if stop.named:
            spans.append(Span(start.place, stop.place, pieces, stop.spot))
            start, pieces = stop, []
    return spans


@dataclass(slots=True)
class _Layer:
    """Lays the measured pieces as wires and parts."""

    draft: Draft
    equipment: Equipment
    run: Run
    back: bool
    at_m: float = 0.0
    joints: int = 0

    def lay(self, gaps: list[_Gap], spans: list[Span]) -> None:
        span_of = {id(piece): span for span in spans for piece in span.pieces}
        stops = self.run.stops
        self._stop(stops[0], None, None)
        for gap, before, stop in zip(gaps, stops, stops[1:], strict=False):
            self._gap(gap, before.leave, stop.entry)
            span = span_of[id(gap.pieces[-1])]
            self._stop(stop, span, gap)
        self.run.whole = joined(
            stretch for span in spans for piece in span.pieces for stretch in piece.stretches
        )

    def _stop(self, stop: Stop, span: Span | None, gap: _Gap | None) -> None:
        self.run.at_m.append(self.at_m)
        if stop.passage is not None:
            self.run.elements.append(stop.passage)
        if stop.part is not None:
            self.run.elements.append(self._part(stop, span, gap))

    def _part(self, stop: Stop, span: Span | None, gap: _Gap | None) -> Part:
        assert stop.part is not None
        fields = dict(stop.part)
        place, written = stop.place, True
        if not stop.named and span is not None and gap is not None:
            place, written = self._place_of_part(span, gap)
        place = place or ""
        draft = self.draft
        state = fields.pop("state", State.NEW)
        fields["state"] = state if state is not State.NEW else draft.state
        if fields["kind"] is PartKind.FUSE and fields.get("gear") is None:
            self._usual_fuse(fields)
        if fields.get("rating_a") is not None:
            fields["origin"] = Origin.EXISTING if fields["state"] is State.EXISTING else Origin.WRITTEN
        return Part(
            **fields,
            circuit=draft.name,
            start=stop.entry,
            end=stop.leave,
            place=place,
            zone=self.equipment.geography.zone(place),
            distance_m=self.at_m,
            distance_written=written,
            returning=self.back,
            key=stop.key,
        )

    def _usual_fuse(self, fields: Fields) -> None:
        """Give a fuse without a rating of its own the circuit's."""
        if fields.get("rating_a") is not None or fields.get("unknown_rating"):
            return
        if "fuse_a" in self.draft.fields:
            fields["rating_a"] = self.draft.fields["fuse_a"]
        elif self.draft.says_unknown("fuse"):
            fields["unknown_rating"] = True

    def _place_of_part(self, span: Span, gap: _Gap) -> tuple[str, bool]:
        """Return where a part without a name is, and whether somebody wrote that."""
        last = next(number for number, piece in enumerate(span.pieces) if piece is gap.pieces[-1])
        before, after = span.pieces[: last + 1], span.pieces[last + 1 :]
        from_start_m = sum(piece.length_m for piece in before)
        nearer_end = from_start_m > span.length_m / 2
        place = (span.end or span.start) if nearer_end else (span.start or span.end)
        written = _all_written(before) or _all_written(after)
        return place or "", written

    def _gap(self, gap: _Gap, start: str, end: str) -> None:
        """Lay the cable between two neighbours; a gap of no length is one point with two names."""
        pieces = gap.pieces
        if len(pieces) == 1 and pieces[0].step is None and pieces[0].length_m <= 0.0:
            if start != end:
                name = f"{start} = {end}"
                self.run.ties.append(
                    Tie(name=name, start=start, end=end, kind="same", why="no cable between them")
                )
            return
        here = start
        for number, piece in enumerate(pieces):
            if number < len(pieces) - 1:
                self.joints += 1
                there = f"{self.draft.name} {'return ' if self.back else ''}joint {self.joints}"
            else:
                there = end
            self.run.elements.append(self._wire(piece, here, there))
            here = there

    def _wire(self, piece: Piece, start: str, end: str) -> Wire:
        step = piece.step
        if piece.length_m <= 0.0 and step is not None:
            step.spot.fault(
                "some length for it", reason="nothing of the length is left for this piece of cable"
            )
        wire = make_wire(self.draft, step.fields if step is not None else {}, self._circuit_laid(piece))
        self.at_m += piece.length_m
        self.run.length_known &= piece.known
        if step is not None and step.unknown:
            wire |= {"unknown": True, "size": None, "origin": None}
        if not piece.known:
            self.equipment.assume(
                f"{self.draft.name}",
                f"{piece.length_m:g} m",
                words("length not known: {start} to {end}", start=start, end=end),
            )
        return Wire(
            **wire,
            name="",
            start=start,
            end=end,
            length_m=piece.length_m,
            length_known=piece.known,
            borrowed=piece.borrowed,
            returning=self.back,
            key=piece.key,
        )

    def _circuit_laid(self, piece: Piece) -> list[Stretch]:
        """Return the stretches with the circuit's own `laid` and `with`, the step's own first."""
        own = self.draft.laying()
        if piece.step is not None:
            own = {key: value for key, value in own.items() if key not in piece.step.fields}
        return with_own_laying(piece.stretches, own)


def _all_written(pieces: list[Piece]) -> bool:
    return bool(pieces) and all(piece.written_m is not None for piece in pieces)


def make_wire(draft: Draft, step: Fields, stretches: list[Stretch]) -> Fields:
    """Return the fields of a wire: what its step says, else what its circuit says."""
    fields: Fields = {}
    for key in _CABLE_FIELDS:
        value = step.get(key, draft.fields.get(key))
        if value is not None:
            fields[key] = value
    state = step.get("state", draft.state)
    if "size" in fields:
        fields["origin"] = Origin.EXISTING if state is State.EXISTING else Origin.WRITTEN
    elif draft.says_unknown("wire"):
        fields["unknown"] = True
    return {
        **fields,
        "circuit": draft.name,
        "stretches": tuple(stretches),
        "state": state,
    }
