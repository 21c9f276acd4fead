"""What all texts of the pack have in common: how things, places, cables and lists of names are said."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from functools import cached_property
from typing import TypeVar, cast

from groundstrap.assess import Wiring, wire_up
from groundstrap.assess.isolating import Isolation, isolation_of
from groundstrap.assess.working_results import CircuitWorking
from groundstrap.assess.workings import workings_of
from groundstrap.checks import Finding, Hazard, WorkStep, hazards_of
from groundstrap.draw.points import PointNumbers, point_numbers
from groundstrap.draw.references import References, circuits_in_order, references
from groundstrap.model import Circuit, Part, Situation, State, Supply, SupplyKind, Wire
from groundstrap.pack.lists.cuts import Cut, cuts_of
from groundstrap.pack.lists.labels import Label, labels_of
from groundstrap.pack.lists.reels import CableReels, reels_of
from groundstrap.pack.lists.spots import Spot, spots_of
from groundstrap.report.figures import UNKNOWN, Display, amps
from groundstrap.report.first_power import FUSES
from groundstrap.report.parts import fuse_type
from groundstrap.report.plan import Plan
from groundstrap.report.stamp import stamp_words
from groundstrap.report.unknown_text import told
from groundstrap.report.working import cautions_of
from groundstrap.words import Words, listed, term, words

__all__ = ["FUSES", "Telling", "listed"]


T = TypeVar("T")


class Telling:
    """One plan, the references of its things and the units it is shown in; every section reads from it."""

    def __init__(self, plan: Plan, shown: Display) -> None:
        """Keep the plan and how it is shown."""
        self.plan = plan
        self.shown = shown
        self._kept: dict[object, object] = {}

    def once(self, key: Hashable, make: Callable[[], T]) -> T:
        """Return what several sections need and one made; the key says what it hangs on beside the plan."""
        if key not in self._kept:
            self._kept[key] = make()
        return cast("T", self._kept[key])

    @cached_property
    def refs(self) -> References:
        """References of all things, numbers of all cables."""
        return references(self.plan.installation)

    @cached_property
    def test_points(self) -> PointNumbers:
        """Numbers of the points that the drawing marks."""
        return point_numbers(self.plan)

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """Every part of a path by its name."""
        return {part.name: part for part in self.plan.installation.parts()}

    @cached_property
    def hazards(self) -> tuple[Hazard, ...]:
        """What can hurt someone in this job."""
        return hazards_of(self.plan.installation)

    def cautions(self, step: WorkStep, circuit: str | None = None) -> tuple[str, ...]:
        """Return the cautions at one step of the work, those of one circuit where it is a circuit's."""
        return cautions_of(self.hazards, step, circuit)

    @cached_property
    def live(self) -> Isolation:
        """What is live when."""
        return isolation_of(self.plan.installation)

    @cached_property
    def spots(self) -> Mapping[str, Spot]:
        """Where each point is."""
        return spots_of(self.plan, self.refs)

    @cached_property
    def every_cut(self) -> tuple[Cut, ...]:
        """Cables to be cut, by their numbers."""
        return cuts_of(self.plan, self.refs)

    @cached_property
    def reels(self) -> tuple[CableReels, ...]:
        """The reels of each kind of cable."""
        return reels_of(self.plan, self.every_cut, us=self.shown.us)

    @cached_property
    def labels(self) -> tuple[Label, ...]:
        """Two labels for each cable."""
        return labels_of(self.plan, self.refs, self.every_cut)

    @cached_property
    def cuts(self) -> Mapping[str, tuple[Cut, ...]]:
        """Cables to be cut, by their circuit."""
        found: dict[str, tuple[Cut, ...]] = {}
        for cut in self.every_cut:
            found[cut.circuit] = (*found.get(cut.circuit, ()), cut)
        return found

    @cached_property
    def wiring(self) -> Wiring:
        """The job as a network."""
        return wire_up(self.plan.installation, self.plan.estimates)

    @cached_property
    def workings(self) -> Mapping[str, CircuitWorking]:
        """The sums of each circuit."""
        plan = self.plan
        return workings_of(plan.installation, plan.estimates, plan.assessment, self.wiring)

    @cached_property
    def circuits(self) -> tuple[Circuit, ...]:
        """All circuits that stay or are built, as lists and drawing have them."""
        every = circuits_in_order(self.plan.installation)
        return tuple(circuit for circuit in every if circuit.state is not State.REMOVE)

    @cached_property
    def new(self) -> tuple[Circuit, ...]:
        """Circuits that are to be built."""
        return tuple(circuit for circuit in self.circuits if circuit.state is State.NEW)

    @cached_property
    def batteries(self) -> tuple[Supply, ...]:
        """All batteries that stay or are built in."""
        every = self.plan.installation.supplies.values()
        return tuple(s for s in every if s.kind is SupplyKind.BATTERY and s.state is not State.REMOVE)

    def capability_a(self, supply: str, situation: Situation) -> float | None:
        """Return what a supply can give in a situation: an alternator at idle what is said of it. [A]"""
        found = self.plan.assessment.supplies.get(supply)
        written = self.plan.installation.supplies[supply]
        if written.kind is not SupplyKind.ALTERNATOR or situation is not Situation.IDLING:
            return None if found is None else found.capability_a
        if written.idle_a is not None:
            return written.idle_a
        if written.idle_pct is not None and written.rating_a is not None:
            return written.rating_a * written.idle_pct / 100.0
        return None

    def is_at_work(self, supply: str, situation: Situation) -> bool:
        """Tell whether a supply is counted on: no sun is, no alternator without its engine."""
        found = self.plan.installation.supplies[supply]
        engine = situation in {Situation.IDLING, Situation.DRIVING}
        if found.kind is SupplyKind.DC_DC:
            return engine or found.when == "always" or not self.charges(supply)
        return {
            SupplyKind.ALTERNATOR: engine,
            SupplyKind.MAINS_CHARGER: situation is Situation.MAINS,
            SupplyKind.SOLAR: False,
            SupplyKind.SOLAR_CHARGER: False,
        }.get(found.kind, True)

    def charges(self, supply: str) -> bool:
        """Tell whether a converter's output leads to a battery."""
        starts = {c.name for c in self.circuits if c.start == self.plan.installation.supplies[supply].plus}
        found = self.plan.assessment.circuits
        return any(found[name].charging for name in starts if name in found)

    def tag(self, name: str) -> str:
        """Return a thing with its reference before it, as it stands on the drawing.

        A part that has a name of its own is called by that.
        """
        part = self.parts.get(name)
        told = name if part is None or part.gear is None else part.gear
        found = self.refs.by_name.get(name)
        return told if found is None else f"{found} {told}"

    def point(self, point: str) -> str:
        """Return a point as a fitter looks for it: the thing with its reference, and which terminal."""
        spot = self.spots.get(point)
        if spot is None:
            return point
        named: str = f"{spot.reference} {spot.thing}".lstrip()
        if spot.reference and isinstance(spot.thing, Words):
            named = words("{reference} {thing}", reference=spot.reference, thing=spot.thing)
        return words("{thing}, {terminal}", thing=named, terminal=spot.terminal) if spot.terminal else named

    def text(self, text: str, exact: Iterable[float | None] = ()) -> str:
        """Return a text of a lower layer in the units that are shown; its template stays where it can."""
        if not self.shown.us:
            return text
        known = tuple(exact)
        told = self.shown.text(text, known)
        if isinstance(text, Words):
            inside = self._inside(text, known)
            return inside if inside == told else told
        return told

    def told(self, found: Sequence[Finding]) -> str:
        """Return where and what of findings that say the same, in the units that are shown."""
        one = found[0]
        exact = (one.value, one.limit) if one.unit in {"m", "degC"} else ()
        return self.text(told(found), exact)

    def _inside(self, text: Words, exact: tuple[float | None, ...]) -> Words:
        """The same words with their fields in the units that are shown."""
        fields = {
            name: self._inside(value, exact)
            if isinstance(value, Words)
            else self.shown.text(value, exact)
            if isinstance(value, str)
            else value
            for name, value in text.fields.items()
        }
        return type(text)(text.template, fields, text.many)

    def cable(self, wire: str) -> str:
        """Return the number on a cable."""
        return self.refs.cable(wire)

    def size(self, wire: Wire) -> str:
        """Return the size of a cable as it is sold, with how many lie beside each other."""
        if wire.size is None:
            return words("size not known")
        if wire.parallel > 1:
            return words("{count} x {size}", count=wire.parallel, size=self.shown.short(wire.size))
        return self.shown.short(wire.size)

    def length(self, wire: Wire) -> str:
        """Return the length of a cable as it lies."""
        return self.metres([wire])

    def metres(self, wires: Sequence[Wire]) -> str:
        """Return how long some cables are together; of one that nobody measured, that it is not known."""
        known = all(wire.length_known for wire in wires)
        return self.shown.length(sum(wire.length_m for wire in wires) if known else None)

    @staticmethod
    def no_fuse(circuit: Circuit) -> str:
        """Return what is said of a circuit whose path shows no fuse."""
        return UNKNOWN if circuit.fuse_unknown else words("none")

    @cached_property
    def warning(self) -> str:
        """What stands on every page of a job that must not be built as it is; empty for any other."""
        return stamp_words(self.plan)

    def rating(self, part: Part) -> str:
        """Return what a part is rated for; empty where nobody says."""
        rating_a = part.rating_a
        gear = self.plan.installation.gear.get(part.gear or "")
        if rating_a is None and gear is not None:
            rating_a = gear.rating_a
        return "" if rating_a is None else amps(rating_a)

    def family(self, part: Part) -> str | None:
        """Return the family of a fuse, as written or as chosen; None where there is none."""
        found = self.plan.assessment.circuits.get(part.circuit)
        rated = None if found is None else found.fuses.get(part.name)
        return part.family or (None if rated is None else rated.family)

    def fuse(self, part: Part) -> str:
        """Return a fuse or breaker as one asks for it at the counter."""
        family = self.family(part)
        rating = words("rating not chosen") if part.rating_a is None else amps(part.rating_a)
        kind = term(part.kind.value)
        if family is None:
            return words("{kind} {rating}", kind=kind, rating=rating)
        found = self.plan.assessment.circuits.get(part.circuit)
        named = fuse_type(family, None if found is None else found.fuses.get(part.name))
        return words("{kind} {rating}, {family}", kind=kind, rating=rating, family=named)
