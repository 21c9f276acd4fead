"""Vehicles with one thing wrong, and what a meter shows on them: made apart from what looks for it.

A random job is planned by the tool; then its parts are scattered, one fault is put in, and each reading is
taken in a world of its own moment: the battery wanders, the leads' contact costs some millivolts, the body
and the lamps are not as the plan has them, and in every third vehicle something runs that nobody knows of.
The volts come from ngspice.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

import numpy as np

from groundstrap import api
from groundstrap.assess.topology import BODY, PieceKind
from groundstrap.assess.wiring import Case as Question
from groundstrap.assess.wiring import Wiring, parameters, wire_up
from groundstrap.locate.faults import other_fuses
from groundstrap.locate.segments import Segment, SegmentKind, segments_of
from groundstrap.model import LoadKind, PartKind, Situation
from groundstrap.records import replace
from groundstrap.solve import Law, Network, solve_one

from .plain import POWER_LAW_FLOOR_V, Case, Element, LawName
from .spice import working_points

Values = list[tuple[float, ...]]

KINDS = ("heater", "led", "lamp", "pump", "fan", "electronics", "compressor")
#: Worlds of one vehicle with its load on, and with it off, between which readings go round.
MOMENTS = 6
MOMENTS_OFF = 2
#: An open switch, to a simulator that can have no node on its own. [ohm]
_OPEN_OHM = 1e8


def vehicle_text(seed: int) -> str:
    """Return a job of eight to fourteen circuits with blocks, relays, plugs, bus and body returns."""
    rng = random.Random(seed)
    homes = [rng.choice(("dash", "rear", "floor")) for _ in range(rng.randint(1, 3))]
    bus = rng.random() < 0.5
    battery = f"chemistry: {rng.choice(('flooded', 'agm'))}, capacity: {rng.choice((60, 75, 95, 110))} Ah"
    lines = [
        "groundstrap: 1",
        f"title: Vehicle {seed}",
        "system: 12 V",
        "supplies:",
        f"  battery: {{kind: battery, at: bay, {battery}}}",
        f"  alternator: {{kind: alternator, at: bay, rating: {rng.choice((90, 120, 150))} A}}",
        "places: {bay: engine bay, dash: cabin, rear: outside, floor: cabin, frame: underbody}",
        "routes:",
    ]
    for place in ("dash", "rear", "floor", "frame"):
        lines.append(f"  - {{from: bay, to: {place}, length: {rng.uniform(0.8, 6.5):.1f} m}}")
    lines.append("gear:")
    lines += [f"  block {n}: {{kind: block, at: {home}, ways: 14}}" for n, home in enumerate(homes, 1)]
    lines += [f"  bus: {{kind: block, at: {homes[0]}}}"] if bus else []
    loads, circuits = ["loads:"], ["circuits:"]
    circuits += [f"  feed {n}: {{path: [battery, fuse, block {n}]}}" for n in range(1, len(homes) + 1)]
    circuits += ["  bus return: {path: [bus, battery -]}"] if bus else []
    circuits.append("  earth: {path: [battery -, wire: 25 mm2, chassis at bay], length: 50 cm}")
    for number in range(1, rng.randint(8, 14) + 1):
        load, circuit = _load_lines(rng, number, len(homes), bus=bus)
        loads.append(load)
        circuits.append(circuit)
    return "\n".join([*lines, *loads, *circuits]) + "\n"


def _load_lines(rng: random.Random, number: int, blocks: int, *, bus: bool) -> tuple[str, str]:
    watts = math.exp(rng.uniform(math.log(12), math.log(220)))
    home = rng.choice(("dash", "rear", "floor", "frame"))
    claim = f"{{power: {watts:.0f} W, voltage: 12.5 V, by: manual}}"
    load = f"  load {number}: {{kind: {rng.choice(KINDS)}, at: {home}, claims: {claim}}}"
    steps = [f"block {rng.randint(1, blocks)} {number}", "fuse"]
    steps += rng.choice(([], ["switch"], ["relay"], ["connector"], ["switch", "connector"]))
    steps.append(f"load {number}")
    body = f"chassis at {home}"
    back = "bus" if bus and rng.random() < 0.5 else rng.choice((body, body, "battery -"))
    path = f"path: [{', '.join(steps)}], return: [{back}], length: {rng.uniform(0.8, 5.0):.1f} m"
    return load, f"  load {number}: {{{path}}}"


@dataclass(frozen=True)
class Fault:
    """What was put in: the parameters with it, where, of which kind, what it costs the load."""

    values: Values
    segment: int
    kind: str
    costs_v: float
    leak: Element | None = None
    """What is beside the pieces of the vehicle."""


@dataclass(frozen=True)
class Planted:
    """A vehicle with something wrong: where, how, what it costs, and its volts at each moment."""

    seed: int
    wiring: Wiring
    question: Question
    load: str | None
    """That somebody complains of; None for a walk round, and where the battery goes flat."""
    dead: bool
    faults: tuple[Fault, ...]
    """None, one or two, with their places."""
    node_v: np.ndarray
    """Moments x nodes."""
    off_v: np.ndarray
    """Likewise, with all switched off."""
    amps: np.ndarray
    """Moments x pieces."""
    gain: float
    contact: np.random.Generator

    def reads_v(self, red: int, black: int, moment: int, *, off: bool = False) -> float:
        """What the meter shows: its gain, its leads' contact, its last digit."""
        worlds = self.off_v if off else self.node_v
        at = worlds[moment % len(worlds)]
        true = at[red] - at[black] + self.contact.uniform(-0.005, 0.005)
        shown = true * (1.0 + self.gain)
        digit = 0.0001 if abs(shown) < 0.6 else 0.001 if abs(shown) < 6.0 else 0.01
        return float(round((shown + self.contact.uniform(-2, 2) * digit) / digit) * digit)

    def reads_a(self, piece: int, moment: int, *, in_line: bool = False) -> float:
        """What the clamp shows, or a meter in line."""
        true = self.amps[moment % len(self.amps), piece]
        if in_line:
            shown = true * (1.0 + self.contact.uniform(-0.01, 0.01)) + self.contact.uniform(-0.003, 0.003)
            return float(round(shown, 3))
        shown = true * (1.0 + self.contact.uniform(-0.03, 0.03)) + self.contact.uniform(-0.1, 0.1)
        return float(round(shown / 0.01) * 0.01)


def scattered(wiring: Wiring, values: Values, rng: np.random.Generator) -> Values:
    """Return the parameters of one real vehicle."""
    return [_scattered(wiring, number, own, rng) for number, own in enumerate(values)]


def _scattered(
    wiring: Wiring, number: int, own: tuple[float, ...], rng: np.random.Generator
) -> tuple[float, ...]:
    piece = wiring.topology.pieces[number]
    if piece.conducts and math.isfinite(own[0]):
        ends = wiring.ends.get(piece.name)
        deviation = 0.05 if ends is None else math.log(ends.high / ends.low) / 3.92
        deviation *= 3.0 if piece.kind is PieceKind.BODY else 1.0
        return (own[0] * math.exp(deviation * rng.standard_normal()), *own[1:])
    if piece.kind is PieceKind.BATTERY:
        times = math.exp(0.25 * rng.standard_normal())
        return (own[0] + rng.uniform(-0.3, 0.1), own[1] * times, own[2] * times)
    if piece.kind is PieceKind.OWN_DRAW:
        return (own[0] * math.exp(0.4 * rng.standard_normal()),)
    if piece.kind is PieceKind.LOAD:
        law, by = wiring.network.branches[number].law, math.exp(0.06 * rng.standard_normal())
        first = own[0] / by if law is Law.RESISTOR else own[0] * by
        filament = law is Law.POWER_LAW and own[2] < 1.0
        return (first, own[1], rng.uniform(0.5, 0.6)) if filament else (first, *own[1:])
    return own


def _element(wiring: Wiring, number: int, own: tuple[float, ...], *, opened: bool) -> Element:
    branch, piece = wiring.network.branches[number], wiring.topology.pieces[number]
    values = tuple(min(float(each), _OPEN_OHM) for each in own)
    if opened and branch.law in {Law.CONSTANT_CURRENT, Law.POWER_LAW} and piece.kind is PieceKind.LOAD:
        # No lamp draws its current through an open switch.
        ohm = min(12.6 / max(values[0], 1e-12), _OPEN_OHM)
        return Element(law="RESISTOR", start=branch.start, end=branch.end, values=(ohm,))
    law = cast("LawName", branch.law.name)
    return Element(law=law, start=branch.start, end=branch.end, values=values, feeds=branch.feeds)


def plain_case(
    wiring: Wiring,
    values: Values,
    extra: tuple[int, int, float] | None,
    more: tuple[Element, ...] = (),
) -> Case:
    """Return the network as the plain case that the simulator's decks are written from."""
    pairs = zip(wiring.topology.pieces, values, strict=True)
    opened = any(piece.conducts and math.isinf(own[0]) for piece, own in pairs)
    elements = [_element(wiring, number, own, opened=opened) for number, own in enumerate(values)]
    if extra is not None:
        elements.append(Element(law="CONSTANT_CURRENT", start=extra[0], end=extra[1], values=(extra[2],)))
    elements += more
    flat = tuple(0.0 if n == 0 else 12.0 for n in range(len(wiring.topology.nodes)))
    return Case(seed=0, node_count=len(wiring.topology.nodes), elements=tuple(elements), start_v=flat)


Table = dict[str, tuple[float, tuple[SegmentKind, ...]]]

CABLE = (SegmentKind.JOINTS, SegmentKind.GROUND)

#: Kind of fault -> how often it is planted, and the kinds of places that it is planted at.
TABLE: Table = {
    "bad joint": (0.18, (SegmentKind.JOINTS,)),
    "corroded ground": (0.15, (SegmentKind.GROUND,)),
    "bad holder": (0.12, (SegmentKind.FUSE,)),
    "bad contact": (0.14, (SegmentKind.CONTACT, SegmentKind.CONNECTOR)),
    "thin, damaged or clad wire": (0.08, CABLE),
    "load off its rating": (0.14, (SegmentKind.LOAD,)),
    "weak battery": (0.07, (SegmentKind.BATTERY,)),
    "blown fuse": (0.03, (SegmentKind.FUSE,)),
    "fuse of a lower rating": (0.02, (SegmentKind.FUSE,)),
    "nothing flows": (0.04, (*CABLE, SegmentKind.CONTACT, SegmentKind.CONNECTOR)),
    "relay swapped": (0.03, (SegmentKind.CONTACT,)),
}
#: Where nobody complains of a load, what only a walk round shows is planted too.
WALKED: Table = {**TABLE, "current to the body": (0.06, (SegmentKind.JOINTS,))}
#: Two at once: each on a circuit of its own.
APART: Table = {kind: each for kind, each in TABLE.items() if kind != "weak battery"}
DRAINS: Table = {
    "drain of a load": (0.6, (SegmentKind.LOAD,)),
    "drain of a cable": (0.4, (SegmentKind.JOINTS,)),
}
DEAD = ("blown fuse", "nothing flows", "relay swapped")


def on_way(segment: Segment, by_it: np.ndarray, load: int) -> int | None:
    """Return the piece of a place that most of a load's current passes, or None."""
    best = max(segment.pieces, key=lambda n: by_it[n])
    return best if by_it[best] > 0.3 * by_it[load] else None


def switched_off(wiring: Wiring, values: Values, load: int) -> Values:
    """Return the parameters with a load off."""
    off = list(values)
    nothing = math.inf if wiring.network.branches[load].law is Law.RESISTOR else 0.0
    off[load] = (nothing, *values[load][1:])
    return off


def by_load(wiring: Wiring, values: Values, load: int) -> np.ndarray:
    """Return the current of each piece that is a load's: with it less without it."""
    with_it = solve_one(wiring.network, values)
    without = solve_one(wiring.network, switched_off(wiring, values, load))
    return np.asarray(np.abs(np.array(with_it.branch_a) - np.array(without.branch_a)))


def planted(seed: int, executable: str, *, faulty: bool = True, task: str = "complaint") -> Planted | None:
    """Return a vehicle with something wrong; None where the dice give none, or ngspice is silent.

    `task` is `complaint`, `walk` (nobody complains of a load), `two` (likewise, two faults on two circuits)
    or `flat` (something draws though all is off).
    """
    rng = np.random.default_rng(seed)
    answer = api.plan(api.read_job(vehicle_text(seed)))
    wiring = wire_up(answer.installation, answer.estimates)
    names = [n for n, each in answer.installation.loads.items() if each.kind is not LoadKind.COIL]
    load = names[rng.integers(len(names))]
    beside = frozenset(name for name in names if name != load and rng.random() < 0.35)
    running = frozenset() if task == "flat" else beside | {load}
    question = Question(situation=Situation.RESTING, running=running)
    values = scattered(wiring, parameters(wiring, question), rng)
    if not solve_one(wiring.network, values).found:
        return None
    faults: tuple[Fault, ...] | None = ()
    if faulty and task == "two":
        faults = _two(wiring, values, load, sorted(beside), rng)
    elif faulty:
        table = {"complaint": TABLE, "walk": WALKED, "flat": DRAINS}[task]
        found = _plant(wiring, values, wiring.index(load), rng, table)
        faults = None if found is None else (found,)
    if faults is None:
        return None
    own = faults[-1].values if faults else values
    more = tuple(each.leak for each in faults if each.leak is not None)
    off = [wiring.index(name) for name in running]
    worlds = _worlds(wiring, own, off, rng, more, quiet=task == "flat")
    volts = _volts(executable, wiring, worlds)
    if any(each is None for each in volts):
        return None
    node_v = np.array(volts[:MOMENTS])
    amps = np.array([_amps(wiring, *each) for each in zip(worlds[:MOMENTS], node_v, strict=True)])
    for each in faults:
        if each.kind == "drain of a load" and each.leak is not None:
            amps[:, segments_of(wiring.topology)[each.segment].pieces[0]] += each.leak.values[0]
    return Planted(
        seed=seed,
        wiring=wiring,
        question=question,
        load=load if task == "complaint" else None,
        dead=any(each.kind in DEAD for each in faults),
        faults=faults,
        node_v=node_v,
        off_v=np.array(volts[MOMENTS:]),
        amps=amps,
        gain=float(rng.uniform(-0.005, 0.005)),
        contact=rng,
    )


def _two(
    wiring: Wiring, values: Values, load: str, beside: list[str], rng: np.random.Generator
) -> tuple[Fault, Fault] | None:
    """One fault on the load's own circuit, one on that of another that runs."""
    if not beside:
        return None
    other = beside[rng.integers(len(beside))]
    first = _plant(wiring, values, wiring.index(load), rng, APART, own=True)
    if first is None:
        return None
    second = _plant(wiring, first.values, wiring.index(other), rng, APART, own=True)
    return None if second is None else (first, second)


def _volts(executable: str, wiring: Wiring, worlds: list[Case]) -> list[np.ndarray | None]:
    """Volts of every moment, from where the first, and the first with the load off, have none on.

    Those are the simulator's first guesses only: without loads of constant power it finds the one point that
    there is from anywhere, and follows it from there.
    """
    on, off = _without_loads(wiring, worlds[0]), _without_loads(wiring, worlds[MOMENTS])
    return working_points(executable, worlds, starts=[on] * MOMENTS + [off] * MOMENTS_OFF)


def _without_loads(wiring: Wiring, world: Case) -> np.ndarray:
    values = [
        (0.0,) if element.law == "CONSTANT_POWER" and element.feeds is None else element.values
        for element in world.elements[: len(wiring.topology.pieces)]
    ]
    laws = [Law[element.law] for element in world.elements[: len(wiring.topology.pieces)]]
    branches = tuple(replace(b, law=law) for b, law in zip(wiring.network.branches, laws, strict=True))
    point = solve_one(Network(wiring.network.nodes, branches), values)
    return np.array(point.node_v)


def _worlds(
    wiring: Wiring,
    values: Values,
    loads: list[int],
    rng: np.random.Generator,
    more: tuple[Element, ...],
    *,
    quiet: bool,
) -> list[Case]:
    """One vehicle at several moments, the last few with some loads off."""
    extra = _extra(wiring, rng)
    # What nobody knows of and draws at rest would be the drain that is looked for.
    extra = None if quiet else extra
    battery = next(n for n, p in enumerate(wiring.topology.pieces) if p.kind is PieceKind.BATTERY)
    found = []
    for moment in range(MOMENTS + MOMENTS_OFF):
        own = list(values)
        own[battery] = (own[battery][0] + rng.normal(0.0, 0.03), *own[battery][1:])
        for load in loads if moment >= MOMENTS else ():
            own = switched_off(wiring, own, load)
        found.append(plain_case(wiring, own, extra, more))
    return found


def _extra(wiring: Wiring, rng: np.random.Generator) -> tuple[int, int, float] | None:
    """In every third vehicle something that nobody knows of draws from some block, or from the battery."""
    if rng.random() > 1 / 3:
        return None
    blocks = [
        n for n, name in enumerate(wiring.topology.nodes) if name.startswith("block ") or name == "battery +"
    ]
    return (int(rng.choice(blocks)), 0, float(rng.uniform(0.5, 2.0)))


def _amps(wiring: Wiring, world: Case, at: np.ndarray) -> np.ndarray:
    """Currents by each element's own law from the volts that the simulator gave."""
    elements = world.elements[: len(wiring.topology.pieces)]
    return np.array([_amps_of(each, float(at[each.start] - at[each.end])) for each in elements])


def _amps_of(element: Element, volts: float) -> float:
    first = element.values[0]
    if element.law == "RESISTOR":
        return volts / first
    if element.law == "HEATED":
        return 2 * volts / (first + math.sqrt(first * first + 4 * element.values[1] * volts * volts))
    if element.law == "BATTERY":
        return (volts - first) / (element.values[1] if volts < first else element.values[2])
    if element.law == "CONSTANT_POWER":
        return first / volts if volts else 0.0
    if element.law == "POWER_LAW":
        return float(first * (max(volts, POWER_LAW_FLOOR_V) / element.values[1]) ** element.values[2])
    return first if element.law == "CONSTANT_CURRENT" else 0.0


def _plant(
    wiring: Wiring,
    values: Values,
    load: int,
    rng: np.random.Generator,
    table: Table,
    *,
    own: bool = False,
) -> Fault | None:
    """Put one fault on the way of a load, or only into its `own` circuit."""
    kinds = list(table)
    chances = np.array([table[k][0] for k in kinds])
    kind = kinds[rng.choice(len(kinds), p=chances / chances.sum())]
    places = _places(wiring, values, load, table[kind][1], kind, own=own)
    if not places:
        return None
    segment, piece = places[rng.integers(len(places))]
    if kind in DRAINS:
        return _drain(wiring, values, segment, piece, kind, rng)
    before_v = solve_one(wiring.network, values).branch_v[load]
    if kind in DEAD:
        ohm = rng.uniform(60.0, 110.0) if kind == "relay swapped" else math.inf
        return Fault(_with(wiring, values, piece, kind, ohm), segment, kind, before_v)
    if kind == "load off its rating":
        share = 1.0 - rng.uniform(0.25, 0.70)
        share = share if rng.random() < 0.7 else 1.0 / share
        return Fault(_with(wiring, values, piece, kind, share), segment, kind, math.nan)
    if kind == "current to the body":
        # What a fuse holds: up to its rating with what flows already.
        amps = math.exp(rng.uniform(math.log(1.0), math.log(8.0)))
        return Fault(values, segment, kind, math.nan, _leak(wiring, values, piece, amps))
    if kind == "fuse of a lower rating":
        return _other_fuse(wiring, values, segment, piece, load, rng)
    aim_v = math.exp(rng.uniform(math.log(0.1), math.log(4.0)))

    def lost_v(size: float) -> float:
        point = solve_one(wiring.network, _with(wiring, values, piece, kind, size), heat=False)
        return before_v - point.branch_v[load] if point.found else math.inf

    size = _size_that_costs(lost_v, aim_v, 1.0 if kind in TIMES else 1e-3)
    costs_v = lost_v(size)
    # A load that cuts out, or takes what is left at any volts, may jump over the aim.
    if not 0.8 * aim_v < costs_v < math.inf:
        return None
    return Fault(_with(wiring, values, piece, kind, size), segment, kind, costs_v)


#: Kinds whose size is times what was.
TIMES = ("weak battery", "thin, damaged or clad wire")


def _places(
    wiring: Wiring, values: Values, load: int, kinds: tuple[SegmentKind, ...], kind: str, *, own: bool
) -> list[tuple[int, int]]:
    """Places of some kinds that a load's current passes, each with its piece."""
    pieces, segments = wiring.topology.pieces, segments_of(wiring.topology)
    if kind in DRAINS:
        node_v = solve_one(wiring.network, values).node_v
        fed = [p.start != p.end and node_v[p.end if p.wire else p.start] > 6.0 for p in pieces]
        return [
            (n, s.pieces[0])
            for n, s in enumerate(segments)
            if s.kind in kinds and fed[s.pieces[0]] and (pieces[s.pieces[0]].wire or pieces[s.pieces[0]].load)
        ]
    by_it = by_load(wiring, values, load)
    found = [
        (n, piece)
        for n, segment in enumerate(segments)
        if segment.kind in kinds
        and (piece := on_way(segment, by_it, load)) is not None
        and (segment.kind is not SegmentKind.LOAD or piece == load)
        and (not own or segment.kind is SegmentKind.LOAD or _own(wiring, segment, load))
    ]
    if kind == "relay swapped":
        return [each for each in found if _is_relay(wiring, each[1])]
    if kind == "current to the body":
        node_v = solve_one(wiring.network, values).node_v
        return [(n, p) for n, p in found if pieces[p].wire is not None and node_v[pieces[p].end] > 6.0]
    if kind == "thin, damaged or clad wire":
        return [(n, p) for n, p in found if pieces[p].wire is not None]
    return found


def _own(wiring: Wiring, segment: Segment, load: int) -> bool:
    circuit = wiring.installation.circuits.get(segment.circuit or "")
    return circuit is not None and wiring.topology.pieces[load].name in circuit.loads


def _is_relay(wiring: Wiring, piece: int) -> bool:
    part = wiring.topology.pieces[piece].part
    return part is not None and part.kind is PartKind.RELAY


def _leak(wiring: Wiring, values: Values, piece: int, amps: float) -> Element:
    """A resistor from the far end of a cable to the middle of the body, or the battery's negative."""
    node, body = wiring.topology.pieces[piece].end, wiring.topology.node_of.get(BODY, 0)
    volts = solve_one(wiring.network, values).node_v[node]
    return Element(law="RESISTOR", start=node, end=body, values=(volts / amps,))


def _drain(
    wiring: Wiring, values: Values, segment: int, piece: int, kind: str, rng: np.random.Generator
) -> Fault:
    amps = math.exp(rng.uniform(math.log(0.05), math.log(5.0)))
    own = wiring.topology.pieces[piece]
    if kind == "drain of a cable":
        return Fault(values, segment, kind, math.nan, _leak(wiring, values, piece, amps))
    leak = Element(law="CONSTANT_CURRENT", start=own.start, end=own.end, values=(amps,))
    return Fault(values, segment, kind, math.nan, leak)


def _other_fuse(
    wiring: Wiring, values: Values, segment: int, piece: int, load: int, rng: np.random.Generator
) -> Fault | None:
    """A fuse of a lower rating that holds: it has more resistance than its own."""
    part = wiring.topology.pieces[piece].part
    if part is None or part.rating_a is None:
        return None
    point = solve_one(wiring.network, values)
    lower = {r: ohm for r, ohm in other_fuses(wiring.installation, part).items() if r < part.rating_a}
    holds = [ohm for rating, ohm in lower.items() if abs(point.branch_a[piece]) < 1.2 * rating]
    if not holds:
        return None
    kind = "fuse of a lower rating"
    with_it = _with(wiring, values, piece, kind, holds[rng.integers(len(holds))])
    costs_v = point.branch_v[load] - solve_one(wiring.network, with_it).branch_v[load]
    return Fault(with_it, segment, kind, costs_v)


def _with(wiring: Wiring, values: Values, piece: int, kind: str, size: float) -> Values:
    """The parameters with a fault of a size: ohms that are added, or times what was."""
    own = list(values)
    first = own[piece][0]
    if kind == "weak battery":
        own[piece] = (first, own[piece][1] * size, own[piece][2] * size)
    elif kind == "thin, damaged or clad wire":
        own[piece] = (first * size, *own[piece][1:])
    elif kind == "load off its rating":
        resistive = wiring.network.branches[piece].law is Law.RESISTOR
        own[piece] = (first / size if resistive else first * size, *own[piece][1:])
    else:
        own[piece] = (math.inf if math.isinf(size) else first + size, *own[piece][1:])
    return own


def _size_that_costs(lost_v: Callable[[float], float], aim_v: float, start: float) -> float:
    """The largest size that costs no more than wanted, found from below."""
    low = high = start
    while lost_v(high) < aim_v and high < 400.0:
        low, high = high, high * 1.7
    for _ in range(14):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if lost_v(middle) < aim_v else (low, middle)
    return low
