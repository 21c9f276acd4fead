"""The whole installation, as the job file says it, in SI units and with every point resolved."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import field

from groundstrap.model.circuit import Circuit, Element, Part, PartKind, Wire
from groundstrap.model.equipment import Gear, Load, LoadKind, MeterSpec, Supply, SupplyKind, Zone
from groundstrap.model.values import Assumption, Basis, Origin, Situation, State
from groundstrap.records import dataclass, replace
from groundstrap.units import ConductorSize

__all__ = [
    "CurvePoint",
    "DaySpan",
    "FuseCurve",
    "Installation",
    "Reading",
    "ReadingSet",
    "Stock",
    "StockItem",
    "Tie",
    "Waiver",
    "newest_readings",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tie:
    """A connection that nobody drew but that must be there, such as a battery's negative on the chassis.

    `kind` is `battery negative`, `charger negative`, `alternator`, `existing block`,
    `converter negative` (inside a converter that is not isolated) or `same` (two names of one point, without
    any resistance).
    """

    name: str
    start: str
    end: str
    kind: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One value of a reading: volts between two points, amps through a thing, or a temperature."""

    kind: str
    """`voltage`, `current` or `temperature`."""
    value: float
    last_digit: float
    half_width: float | None = None
    """What was written behind `+-`, in the unit of the value."""
    red: str | None = None
    black: str | None = None
    through: str | None = None
    """Of a current or temperature: the load, supply, circuit or part it was read at."""
    meter: MeterSpec | None = None
    note: str | None = None
    text: str = ""
    key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSet:
    """Readings taken together: one situation, the same loads running; or none yet, behind a mend."""

    when: Situation
    using: frozenset[str]
    meter: MeterSpec | None
    values: tuple[Reading, ...]
    date: str | None = None
    """Day that they were taken on, `2026-11-28`."""
    by: str | None = None
    """Who took them."""
    mended: str | None = None
    """What was mended before them: what was read before that is history."""


def newest_readings(
    sets: Iterable[ReadingSet], history: Callable[[str, ReadingSet], frozenset[int]] | None = None
) -> tuple[ReadingSet, ...]:
    """Return the sets of the newest day, and those without a date: what was read before is another visit.

    Of those, what was read before something was mended is history too, as far as `history` says so: it tells
    which values of a set a mend changes, by their numbers. Left out, all of them.
    """
    every = tuple(sets)
    newest = max((each.date for each in every if each.date is not None), default=None)
    ofday = [each for each in every if each.date in {None, newest}]
    mends = {number: each.mended for number, each in enumerate(ofday) if each.mended is not None}
    found = []
    for number, each in enumerate(ofday):
        since = [what for later, what in mends.items() if later > number]
        if not since:
            found.append(each)
        elif history is not None:
            gone = frozenset().union(*(history(what, each) for what in since))
            left = tuple(value for n, value in enumerate(each.values) if n not in gone)
            found += [replace(each, values=left)] if left else []
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class DaySpan:
    """A span of the day that `endure` runs."""

    when: Situation
    time_s: float
    using: Mapping[str, float | None]
    """Loads that run, each with its power in watts where one was written. [W]"""
    temperature_c: float | None = None
    sun_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiver:
    """A finding that a person answers for."""

    rule: str
    where: str
    reason: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StockItem:
    """A line of the shelf: `kind` is `wire`, `fuse` or `other`."""

    kind: str
    size: ConductorSize | None = None
    rating_a: float | None = None
    family: str | None = None
    insulation: str | None = None
    material: str | None = None
    colour: str | None = None
    price: float | None = None
    """Per metre of wire, per piece of anything else."""
    item: str | None = None
    """Of another thing: its words in the list of parts."""
    part: str | None = None
    """The shop's own number for it."""
    pack: int | None = None
    """How many pieces are sold together."""
    reel_m: float | None = None
    """Of wire: length of a reel. [m]"""
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """What is on the shelf; without one, generic stock is assumed."""

    file: str
    items: tuple[StockItem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvePoint:
    """One point of a fuse's curve: how fast and how slowly it may open at a current."""

    current_a: float
    fastest_s: float | None
    """None where the sheet does not say."""
    slowest_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseCurve:
    """A maker's own time-current points, by rising current."""

    file: str
    points: tuple[CurvePoint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Installation:
    """One piece of electrical work on one vehicle or boat."""

    title: str
    system_v: float
    basis: Basis
    about: Mapping[str, str]
    units: str
    sizes: str
    body: str
    """`steel`, `aluminium`, `fibreglass` or `wood`; `none` where there is no metal return (boat)."""
    supplies: Mapping[str, Supply]
    gear: Mapping[str, Gear]
    loads: Mapping[str, Load]
    circuits: Mapping[str, Circuit]
    places: Mapping[str, str]
    """Place -> zone."""
    zones: Mapping[str, Zone]
    ties: tuple[Tie, ...] = ()
    chassis_points: tuple[str, ...] = ()
    """Points on the body (`chassis at boot`, and `chassis` where the place was not said)."""
    reference: str = ""
    """The point that volts are counted from: the first battery's negative post."""
    day: tuple[DaySpan, ...] = ()
    readings: tuple[ReadingSet, ...] = ()
    waivers: tuple[Waiver, ...] = ()
    stock: Stock | None = None
    curves: Mapping[str, FuseCurve] = field(default_factory=dict)
    """Curves that fuses name, by their file."""
    assumptions: tuple[Assumption, ...] = ()

    def wires(self) -> tuple[Wire, ...]:
        """Every piece of cable that stays or is to be laid."""
        return tuple(w for c in self.circuits.values() if c.state is not State.REMOVE for w in c.wires)

    def parts(self) -> tuple[Part, ...]:
        """Every part that the current of some circuit passes."""
        return tuple(p for c in self.circuits.values() if c.state is not State.REMOVE for p in c.parts)

    @property
    def vehicle_battery(self) -> Supply | None:
        """The only battery, else the one that a starter or an alternator is drawn straight to, if any."""
        kept = [supply for supply in self.supplies.values() if supply.state is not State.REMOVE]
        batteries = [supply for supply in kept if supply.kind is SupplyKind.BATTERY]
        if len(batteries) < 2:
            return next(iter(batteries), None)
        loads = [load for load in self.loads.values() if load.state is not State.REMOVE]
        starters = {load.plus for load in loads if load.kind is LoadKind.STARTER}
        alternators = {supply.plus for supply in kept if supply.kind is SupplyKind.ALTERNATOR}
        ends = [{c.start, c.end} for c in self.circuits.values() if c.state is not State.REMOVE]
        for machines in (starters, alternators):
            reached = {point for pair in ends if pair & machines for point in pair}
            for battery in batteries:
                if battery.plus in reached:
                    return battery
        return None

    def may_short(self, circuit: Circuit) -> bool:
        """Whether a circuit may join a source's plus to its negative: without a load, with an unknown part.

        Whatever sits there holds off the source, or it would have burnt: it is a break until somebody knows.
        """
        if circuit.loads or circuit.converter is not None or circuit.state is not State.EXISTING:
            return False
        ends = {circuit.start, circuit.end}
        plus = {supply.plus for supply in self.supplies.values()}
        minus = {supply.minus for supply in self.supplies.values()} | {*self.chassis_points, "chassis"}
        unknown = any(part.kind is PartKind.UNKNOWN for part in circuit.parts)
        return unknown and bool(ends & plus) and bool(ends & minus)

    def with_choices(
        self, sizes: Mapping[str, ConductorSize], ratings: Mapping[str, tuple[float, str]]
    ) -> Installation:
        """The same installation with chosen wires (by wire name) and fuses (part name -> rating, family).

        A fuse whose rating is written without a family takes the family that was chosen for that rating.
        """
        circuits = {name: _choose(circuit, sizes, ratings) for name, circuit in self.circuits.items()}
        return replace(self, circuits=circuits)


def _choose(
    circuit: Circuit, sizes: Mapping[str, ConductorSize], ratings: Mapping[str, tuple[float, str]]
) -> Circuit:
    def one(element: Element) -> Element:
        if isinstance(element, Wire) and element.size is None and element.name in sizes:
            return replace(element, size=sizes[element.name], origin=Origin.CHOSEN)
        if isinstance(element, Part) and element.name in ratings and element.origin in (None, Origin.CHOSEN):
            rating_a, family = ratings[element.name]
            return replace(element, rating_a=rating_a, family=family, origin=Origin.CHOSEN)
        if isinstance(element, Part) and element.family is None and element.name in ratings:
            rating_a, family = ratings[element.name]
            return replace(element, family=family) if rating_a == element.rating_a else element
        return element

    names = [element.name for element in (*circuit.path, *circuit.back)]
    if sizes.keys().isdisjoint(names) and ratings.keys().isdisjoint(names):
        return circuit
    return replace(circuit, path=tuple(map(one, circuit.path)), back=tuple(map(one, circuit.back)))
