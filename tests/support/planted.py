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
from groundstrap.assess.topology import PieceKind
from groundstrap.assess.wiring import Case as Question
from groundstrap.assess.wiring import Wiring, parameters, wire_up
from groundstrap.locate.segments import Segment, SegmentKind, segments_of
from groundstrap.model import LoadKind, Situation
from groundstrap.solve import Law, solve_one

from .plain import POWER_LAW_FLOOR_V, Case, Element, LawName
from .spice import no_load_start_v, working_points

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
class Planted:
    """A vehicle with something wrong: where, how, what it costs, and its volts at each moment."""

    seed: int
    wiring: Wiring
    question: Question
    load: str
    dead: bool
    segment: int | None
    """Number of the place; None where nothing is wrong."""
    kind: str
    costs_v: float
    node_v: np.ndarray
    """Moments x nodes."""
    off_v: np.ndarray
    """Likewise, with the load switched off."""
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

    def reads_a(self, piece: int, moment: int) -> float:
        """What the clamp shows."""
        true = self.amps[moment % len(self.amps), piece]
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


def plain_case(wiring: Wiring, values: Values, extra: tuple[int, int, float] | None) -> Case:
    """Return the network as the plain case that the simulator's decks are written from."""
    pairs = zip(wiring.topology.pieces, values, strict=True)
    opened = any(piece.conducts and math.isinf(own[0]) for piece, own in pairs)
    elements = [_element(wiring, number, own, opened=opened) for number, own in enumerate(values)]
    if extra is not None:
        elements.append(Element(law="CONSTANT_CURRENT", start=extra[0], end=extra[1], values=(extra[2],)))
    flat = tuple(0.0 if n == 0 else 12.0 for n in range(len(wiring.topology.nodes)))
    return Case(seed=0, node_count=len(wiring.topology.nodes), elements=tuple(elements), start_v=flat)


#: Kind of fault -> how often it is planted, and the kinds of places that it is planted at.
TABLE = {
    "bad joint": (0.22, (SegmentKind.JOINTS,)),
    "corroded ground": (0.18, (SegmentKind.GROUND,)),
    "bad holder": (0.15, (SegmentKind.FUSE,)),
    "bad contact": (0.15, (SegmentKind.CONTACT, SegmentKind.CONNECTOR)),
    "load off its rating": (0.15, (SegmentKind.LOAD,)),
    "weak battery": (0.08, (SegmentKind.BATTERY,)),
    "nothing flows": (
        0.07,
        (SegmentKind.JOINTS, SegmentKind.FUSE, SegmentKind.CONTACT, SegmentKind.CONNECTOR),
    ),
}


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


def planted(seed: int, executable: str, *, faulty: bool = True) -> Planted | None:
    """Return a vehicle with one thing wrong; None where the dice give none, or ngspice is silent."""
    rng = np.random.default_rng(seed)
    answer = api.plan(api.read_job(vehicle_text(seed)))
    wiring = wire_up(answer.installation, answer.estimates)
    names = [n for n, each in answer.installation.loads.items() if each.kind is not LoadKind.COIL]
    load = names[rng.integers(len(names))]
    beside = frozenset(name for name in names if name != load and rng.random() < 0.35)
    question = Question(situation=Situation.RESTING, running=beside | {load})
    values = scattered(wiring, parameters(wiring, question), rng)
    if not solve_one(wiring.network, values).found:
        return None
    fault = _plant(wiring, values, wiring.index(load), rng) if faulty else Fault(values, None, "nothing", 0.0)
    worlds = None if fault is None else _worlds(wiring, fault.values, wiring.index(load), rng)
    volts = [None] if worlds is None else _volts(executable, worlds)
    if fault is None or worlds is None or any(each is None for each in volts):
        return None
    node_v = np.array(volts[:MOMENTS])
    return Planted(
        seed=seed,
        wiring=wiring,
        question=question,
        load=load,
        dead=fault.kind == "nothing flows",
        segment=fault.segment,
        kind=fault.kind,
        costs_v=fault.costs_v,
        node_v=node_v,
        off_v=np.array(volts[MOMENTS:]),
        amps=np.array([_amps(wiring, *each) for each in zip(worlds[:MOMENTS], node_v, strict=True)]),
        gain=float(rng.uniform(-0.005, 0.005)),
        contact=rng,
    )


def _volts(executable: str, worlds: list[Case]) -> list[np.ndarray | None]:
    """Volts of every moment, from where the first, and the first with the load off, have none on."""
    on, off = no_load_start_v(worlds[0]), no_load_start_v(worlds[MOMENTS])
    return working_points(executable, worlds, starts=[on] * MOMENTS + [off] * MOMENTS_OFF)


def _worlds(wiring: Wiring, values: Values, load: int, rng: np.random.Generator) -> list[Case]:
    """One vehicle at several moments, the last few with its load off."""
    extra = _extra(wiring, rng)
    battery = next(n for n, p in enumerate(wiring.topology.pieces) if p.kind is PieceKind.BATTERY)
    found = []
    for moment in range(MOMENTS + MOMENTS_OFF):
        own = list(values)
        own[battery] = (own[battery][0] + rng.normal(0.0, 0.03), *own[battery][1:])
        own = own if moment < MOMENTS else switched_off(wiring, own, load)
        found.append(plain_case(wiring, own, extra))
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


@dataclass(frozen=True)
class Fault:
    """What was put in: the parameters with it, where, of which kind, what it costs the load."""

    values: Values
    segment: int | None
    kind: str
    costs_v: float


def _plant(wiring: Wiring, values: Values, load: int, rng: np.random.Generator) -> Fault | None:
    kinds = list(TABLE)
    kind = kinds[rng.choice(len(kinds), p=[TABLE[k][0] for k in kinds])]
    by_it = by_load(wiring, values, load)
    places = [
        (n, piece)
        for n, segment in enumerate(segments_of(wiring.topology))
        if segment.kind in TABLE[kind][1]
        and (piece := on_way(segment, by_it, load)) is not None
        and (segment.kind is not SegmentKind.LOAD or piece == load)
    ]
    if not places:
        return None
    segment, piece = places[rng.integers(len(places))]
    before_v = solve_one(wiring.network, values).branch_v[load]
    if kind == "nothing flows":
        return Fault(_with(wiring, values, piece, kind, math.inf), segment, kind, before_v)
    if kind == "load off its rating":
        share = 1.0 - rng.uniform(0.25, 0.70)
        share = share if rng.random() < 0.7 else 1.0 / share
        return Fault(_with(wiring, values, piece, kind, share), segment, kind, math.nan)
    aim_v = math.exp(rng.uniform(math.log(0.1), math.log(4.0)))

    def lost_v(size: float) -> float:
        point = solve_one(wiring.network, _with(wiring, values, piece, kind, size), heat=False)
        return before_v - point.branch_v[load] if point.found else math.inf

    size = _size_that_costs(lost_v, aim_v, 1.0 if kind == "weak battery" else 1e-3)
    costs_v = lost_v(size)
    # A load that cuts out, or takes what is left at any volts, may jump over the aim.
    if not 0.8 * aim_v < costs_v < math.inf:
        return None
    return Fault(_with(wiring, values, piece, kind, size), segment, kind, costs_v)


def _with(wiring: Wiring, values: Values, piece: int, kind: str, size: float) -> Values:
    """The parameters with a fault of a size: ohms that are added, or times what was."""
    own = list(values)
    first = own[piece][0]
    if kind == "weak battery":
        own[piece] = (first, own[piece][1] * size, own[piece][2] * size)
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
