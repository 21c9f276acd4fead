"""Fault currents: the most that a fuse may have to break, and the least that must still open it.

A fault is a short, so every load is negligible beside it but for what it takes from a weak battery; the
network is linear then, and one inverse answers for every place at once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from groundstrap.assess.figures import STAND_IN_THIN
from groundstrap.assess.flows import Floats, Impedances, impedances
from groundstrap.assess.positions import opened
from groundstrap.assess.topology import Piece, PieceKind, UnionFind
from groundstrap.assess.tree import live_nodes
from groundstrap.assess.wiring import Case, Warmth, Wiring, passive_values, stand_in, wire_values
from groundstrap.model import Circuit, LoadEstimate, PartKind, Situation, State, Supply, SupplyKind
from groundstrap.physics.conductor import ohm_at_temperature
from groundstrap.records import dataclass
from groundstrap.tables import conductor_data, default_insulation, standard_sizes
from groundstrap.units import ConductorSize, parse_size

__all__ = [
    "WEAK_IN",
    "Faults",
    "Linear",
    "far_end_faults",
    "far_end_of",
    "faults_at_fuses",
    "find_faults",
    "holder_lead_ohm",
    "impedances_at_rest",
    "linear_in",
    "minus_of",
    "siemens_in",
    "strong_case",
    "weak_case",
]

HOLDER_LEAD_M = 0.15
"""Lead between a post and an in-line holder. Own judgement."""


@dataclass(frozen=True, slots=True)
class Faults:
    """Fault currents by circuit, fuse and supply. [A]"""

    least_a: Mapping[str, float]
    """At the far end of each circuit."""
    most_a: Mapping[str, float]
    """At the source side of the first fuse of each circuit, or at its start where it has none."""
    at_fuses_a: Mapping[str, float]
    """With each fuse bridged."""
    at_supplies_a: Mapping[str, float]
    """Across the posts of each supply."""
    strong_at_fuses_a: Mapping[str, float]
    """As `at_fuses_a`, cable whose size nobody knows taken at its thickest."""
    sure_at_fuses_a: Mapping[str, float]
    """As `at_fuses_a`, batteries and cable whose size nobody knows taken at their weakest."""
    best_a: Mapping[str, float]
    """As `least_a`, body, batteries and cable that nobody knows taken at their best."""


@dataclass(frozen=True, slots=True)
class _Best:
    """That body, batteries and cable which nobody knows are taken at their best, cable of these sizes."""

    sizes: Mapping[str, ConductorSize]


@dataclass(frozen=True, slots=True)
class Linear:
    """A linear network with its sources: open-circuit volts and resistances."""

    z: Impedances
    volts_v: Floats
    siemens: Floats
    """Conductance of each piece, in their order. [S]"""

    def short_a(self, plus: int, minus: int, lead_ohm: float = 0.0) -> float | None:
        """Current of a short through a lead between two nodes; None where no source reaches both. [A]"""
        if plus == minus or not self.z.joined(plus, minus):
            return None
        ohm = self.z.between(plus, minus) + lead_ohm
        return abs(float(self.volts_v[plus] - self.volts_v[minus])) / ohm if ohm > 0.0 else None


def find_faults(wiring: Wiring) -> Faults:
    """Return all fault currents of an installation."""
    strong = linear_in(wiring, strong_case(), None)
    at_fuses, thick = _at_fuses(wiring, strong), _thickest(wiring)
    most = {}
    for name, circuit in wiring.installation.circuits.items():
        if name in wiring.tree.circuits:
            value = _most_of(wiring, strong, circuit, at_fuses)
            if value is not None:
                most[name] = value
    least = _least(wiring, lambda: strong)
    strongest = sure = at_fuses
    if thick:
        strongest = _at_fuses(wiring, linear_in(wiring, strong_case(), None, sizes=thick))
    assumed = any(_size_assumed(supply) for supply in wiring.installation.supplies.values())
    if assumed or thick:
        thin = _thinnest(wiring)
        sure = _at_fuses(wiring, linear_in(wiring, strong_case(), None, weakest_assumed=True, sizes=thin))
    best = least
    if thick or _is_weak(wiring, least):
        best = _least(wiring, lambda: strong, _Best(thick))
    return Faults(least, most, at_fuses, _at_supplies(wiring, strong), strongest, sure, best)


def _thickest(wiring: Wiring) -> Mapping[str, ConductorSize]:
    """The largest standard size for each wire that nobody knows: none of them lets more through."""
    return dict.fromkeys(wiring.stand_ins, parse_size(standard_sizes("metric")[-1].label))


def _thinnest(wiring: Wiring) -> Mapping[str, ConductorSize]:
    """Sizes of the wires that nobody knows, as thin as they may be."""
    found = {}
    for name in wiring.stand_ins:
        wire = wiring.topology.pieces[wiring.index(name)].wire
        assert wire is not None
        amps = (wiring.currents.pieces[name].peak_a or 0.0) / wire.parallel
        found[name] = stand_in(amps, *STAND_IN_THIN)
    return found


def _is_weak(wiring: Wiring, least_a: Mapping[str, float]) -> bool:
    """Whether some far-end fault lies under twice the rating of a fuse in its circuit."""
    return any(
        part.rating_a is not None and least_a[name] < 2.0 * part.rating_a
        for name in least_a
        for part in wiring.installation.circuits[name].parts
        if wiring.topology.pieces[wiring.index(part.name)].is_fuse
    )


def _size_assumed(supply: Supply) -> bool:
    """Tell whether nobody wrote what a battery's inner resistance follows from."""
    written = (supply.capacity_ah, supply.cranking_a, supply.resistance_ohm, supply.reserve_s)
    return supply.kind is SupplyKind.BATTERY and all(value is None for value in written)


def far_end_faults(wiring: Wiring) -> Mapping[str, float]:
    """Return the least fault at the far end of each circuit alone, as `find_faults` has it. [A]"""
    return _least(wiring, lambda: linear_in(wiring, strong_case(), None))


def faults_at_fuses(wiring: Wiring) -> Mapping[str, float]:
    """Return the most that each fuse may have to break, with it bridged. [A]"""
    return _at_fuses(wiring, linear_in(wiring, strong_case(), None))


def _at_fuses(wiring: Wiring, strong: Linear) -> dict[str, float]:
    found = {}
    for piece in wiring.topology.pieces:
        if piece.is_fuse:
            amps = _most_at(wiring, strong, piece)
            if amps is not None:
                found[piece.name] = amps
    return found


def strong_case() -> Case:
    """Return the case of the strongest fault: conductors cold, joints and body at their low end."""
    return Case(
        situation=Situation.DRIVING, running=frozenset(), warmth=Warmth.COLD, joints="low", body="low"
    )


def weak_case(situation: Situation, body: str = "high") -> Case:
    """Return the case of a weak fault: conductors at their limit, joints at their high end."""
    return Case(situation=situation, running=frozenset(), warmth=Warmth.LIMIT, joints="high", body=body)


def siemens_in(wiring: Wiring, case: Case, sizes: Mapping[str, ConductorSize]) -> Floats:
    """Return the conductance of everything that conducts, switches worked by hand closed. [S]"""
    shut = opened(wiring.topology, case.situation)
    result = np.zeros(len(wiring.topology.pieces))
    values = passive_values(wiring, case)
    for number, piece in enumerate(wiring.topology.pieces):
        if piece.wire is not None:
            size = sizes.get(piece.name)
            cold = None if size is None else wire_values(wiring, piece.wire, size, case)
            result[number] = 1.0 / (values[number][0] if cold is None else cold.cold_ohm)
        elif piece.conducts and piece.name not in shut:
            result[number] = 1.0 / values[number][0]
    return result


def linear_in(
    wiring: Wiring,
    case: Case,
    alone: str | None,
    *,
    weakest_assumed: bool = False,
    stiffest_assumed: bool = False,
    sizes: Mapping[str, ConductorSize] | None = None,
) -> Linear:
    """Return all sources full and stiff, or one battery alone, weak and cold, with the loads beside it."""
    siemens = siemens_in(wiring, case, sizes or {})
    pushed = np.zeros(len(wiring.topology.nodes))
    for number, piece in enumerate(wiring.topology.pieces):
        supply = piece.supply
        if supply is None:
            if alone is not None and piece.kind is PieceKind.LOAD:
                siemens[number] = _load_siemens(wiring.estimates.get(piece.name))
            continue
        found = wiring.supplies[supply.name]
        amps = 0.0
        if piece.kind is PieceKind.BATTERY and alone in {None, supply.name}:
            stiff_ohm = found.ohm.high if weakest_assumed and _size_assumed(supply) else found.ohm.low
            cold_ohm = found.ohm.low if stiffest_assumed and _size_assumed(supply) else found.cold_ohm
            ohm = stiff_ohm if alone is None else cold_ohm
            siemens[number] = 1.0 / ohm
            amps = (found.full_v if alone is None else found.low_v) / ohm
        elif piece.kind is PieceKind.MACHINE and alone is None:
            siemens[number], amps = _machine(wiring, piece, found.limit_a or 0.0)
        pushed[piece.start] += amps
        pushed[piece.end] -= amps
    z = impedances(wiring.topology, siemens)
    return Linear(z, z.ohm @ pushed, siemens)


def _machine(wiring: Wiring, piece: Piece, limit_a: float) -> tuple[float, float]:
    """A machine that stands alone on its side gives its limit into a short and no more."""
    assert piece.supply is not None
    holds = any(piece.name in s.sources and not s.charging for s in wiring.settings)
    if not holds:
        return 0.0, limit_a
    set_v = wiring.supplies[piece.supply.name].high_v
    ohm = set_v / limit_a if limit_a > 0.0 else 1e9
    return 1.0 / ohm, set_v / ohm


def _load_siemens(estimate: LoadEstimate | None) -> float:
    if estimate is None or estimate.power_w is None or not estimate.known:
        return 0.0
    return estimate.power_w.value / estimate.at_v**2


def _most_at(wiring: Wiring, strong: Linear, piece: Piece) -> float | None:
    other = minus_of(wiring, piece.circuit or "")
    if piece.start not in live_nodes(wiring.topology):
        # In a negative it breaks what a plus drives back through it that touches the side of the load.
        supply = _source_of(wiring, piece.circuit or "")
        if supply is None:
            return None
        other = wiring.node(supply.plus)
    lead_ohm = holder_lead_ohm(wiring, piece)
    found = [strong.short_a(node, other, lead_ohm) for node in (piece.start, piece.end)]
    return max((amps for amps in found if amps is not None), default=None)


def holder_lead_ohm(wiring: Wiring, piece: Piece) -> float:
    """Return the cold resistance of the lead of an in-line holder whose place at a post nobody wrote. [ohm]

    Source: own-judgement; no holder for a blade fuse stands on a post without a lead of the circuit's wire.
    """
    part = piece.part
    if part is None or part.distance_written or part.state is not State.NEW or part.circuit == "":
        return 0.0
    circuit = wiring.installation.circuits[part.circuit]
    posts = {supply.plus for supply in wiring.installation.supplies.values()}
    wire = next((w for w in circuit.wires if not w.returning), None)
    if circuit.start not in posts or wire is None or wire.size is None or wire.length_m <= 0.0:
        return 0.0
    if part.family is not None and "blade" not in part.family:
        return 0.0
    cold = wire_values(wiring, wire, wire.size, strong_case()).cold_ohm
    return cold * min(1.0, HOLDER_LEAD_M / wire.length_m)


def _source_of(wiring: Wiring, circuit: str) -> Supply | None:
    feeding = wiring.tree.circuits.get(circuit)
    return wiring.installation.supplies.get(feeding.source or "") if feeding is not None else None


def minus_of(wiring: Wiring, circuit: str) -> int:
    """Return the node of the negative post of what feeds a circuit."""
    supply = _source_of(wiring, circuit)
    return wiring.node(supply.minus) if supply is not None else 0


def _most_of(wiring: Wiring, strong: Linear, circuit: Circuit, at_fuses: Mapping[str, float]) -> float | None:
    inside = [at_fuses[part.name] for part in circuit.parts if part.name in at_fuses]
    if inside:
        return inside[0]
    if far_end_of(wiring, circuit) is None:
        return None
    return strong.short_a(wiring.node(circuit.start), minus_of(wiring, circuit.name))


def _least(wiring: Wiring, strong: Callable[[], Linear], best: _Best | None = None) -> dict[str, float]:
    """Smallest far-end fault of each circuit from its home battery, weak and alone.

    Another battery counts where it may feed while the home battery is away; links are closed only where
    nothing else reaches.
    """
    batteries = [name for name, found in wiring.supplies.items() if found.kind is SupplyKind.BATTERY]
    networks: list[list[Linear]] = []
    parted: dict[str, UnionFind] = {}
    result = {}
    for name, circuit in wiring.installation.circuits.items():
        if name not in wiring.tree.circuits:
            continue
        far = far_end_of(wiring, circuit)
        if far is None:
            continue
        for number in range(len(WEAK_IN) + 1):
            if number == len(networks):
                weak = _weakest(wiring, WEAK_IN[number], best) if number < len(WEAK_IN) else [strong()]
                networks.append(weak)
            found = [n.short_a(*far) for n in networks[number]]
            if number < len(WEAK_IN):
                found = _of_home(wiring, name, far[0], dict(zip(batteries, found, strict=True)), parted)
            reached = [amps for amps in found if amps is not None and amps > 1e-6]
            if reached:
                result[name] = min(reached)
                break
    return result


def _of_home(
    wiring: Wiring,
    circuit: str,
    node: int,
    by_battery: Mapping[str, float | None],
    parted: dict[str, UnionFind],
) -> list[float | None]:
    """Faults from the battery that feeds a circuit at rest, and from those that may feed it without that one.

    All of them where no battery feeds it by itself.
    """
    home = wiring.tree.circuits[circuit].source or ""
    if by_battery.get(home) is None or len(by_battery) < 2:
        return list(by_battery.values())
    return [
        amps
        for name, amps in by_battery.items()
        if name == home or (amps is not None and _may_be_away(wiring, (home, name), node, parted))
    ]


_PARTS_BATTERIES = frozenset({PartKind.ISOLATOR, PartKind.SWITCH, PartKind.RELAY, PartKind.CONNECTOR})
"""What can be opened or unplugged between a battery and the rest."""


def _may_be_away(wiring: Wiring, pair: tuple[str, str], node: int, parted: dict[str, UnionFind]) -> bool:
    """Whether some one contact takes the first battery away from a node and leaves the second one there."""
    topology = wiring.topology
    home, other = (topology.node(wiring.installation.supplies[name].plus) for name in pair)
    shut = opened(topology, Situation.RESTING)
    for piece in topology.pieces:
        if piece.part is None or piece.part.kind not in _PARTS_BATTERIES or piece.name in shut:
            continue
        if piece.name not in parted:
            parted[piece.name] = topology.joined(shut | {piece.name})
        sets = parted[piece.name]
        if sets.root(home) != sets.root(node) and sets.root(other) == sets.root(node):
            return True
    return False


WEAK_IN = (Situation.RESTING, Situation.DRIVING)
"""Batteries parted first; linked ones only for what none of them reaches alone."""


def _weakest(wiring: Wiring, situation: Situation, best: _Best | None) -> list[Linear]:
    """Each battery alone, weak and cold, conductors at their limit."""
    case = weak_case(situation, "high" if best is None else "low")
    batteries = [name for name, found in wiring.supplies.items() if found.kind is SupplyKind.BATTERY]
    sizes = {} if best is None else best.sizes
    stiff = best is not None
    return [linear_in(wiring, case, name, stiffest_assumed=stiff, sizes=sizes) for name in batteries]


def impedances_at_rest(wiring: Wiring) -> Impedances:
    """Return the transfer resistances of the network at rest, all batteries in it, conductors hot."""
    case = Case(
        situation=Situation.RESTING,
        running=frozenset(),
        warmth=Warmth.LIMIT,
        joints="typical",
        body="typical",
    )
    siemens = siemens_in(wiring, case, {})
    for number, piece in enumerate(wiring.topology.pieces):
        if piece.kind is PieceKind.BATTERY and piece.supply is not None:
            siemens[number] = 1.0 / wiring.supplies[piece.supply.name].ohm.typical
    return impedances(wiring.topology, siemens)


def far_end_of(wiring: Wiring, circuit: Circuit) -> tuple[int, int, float] | None:
    """Return the nodes that a far-end fault joins and the lead it goes through."""
    loads = [wiring.installation.loads[n] for n in circuit.loads if n in wiring.topology.index]
    if loads:
        last = loads[-1]
        return wiring.node(last.plus), wiring.node(last.minus), _lead_ohm(wiring, last.name)
    if circuit.converter is not None:
        supply = wiring.installation.supplies[circuit.converter]
        if supply.in_plus is not None and supply.in_minus is not None:
            return wiring.node(supply.in_plus), wiring.node(supply.in_minus), 0.0
    return _feeder_end(wiring, circuit)


def _feeder_end(wiring: Wiring, circuit: Circuit) -> tuple[int, int, float] | None:
    """Of a feeder: from its end to where the ways back of its loads come together; None for a way back."""
    behind = wiring.tree.circuits[circuit.name].loads
    end = wiring.node(circuit.end)
    if end not in live_nodes(wiring.topology):
        return None
    for other in wiring.installation.circuits.values():
        if other.name in wiring.tree.circuits and other.back_end and set(other.loads) & set(behind):
            minus = wiring.node(other.back_end)
            return None if minus in {end, wiring.node(circuit.start)} else (end, minus, 0.0)
    supply = wiring.installation.supplies.get(wiring.tree.circuits[circuit.name].source or "")
    if supply is None or wiring.node(supply.minus) in {end, wiring.node(circuit.start)}:
        return None
    return end, wiring.node(supply.minus), 0.0


def _lead_ohm(wiring: Wiring, name: str) -> float:
    """Resistance of a load's own lead out and back, at its insulation's limit. [ohm]"""
    fitted = wiring.installation.loads[name].fitted
    if fitted.wire is None or fitted.length_m is None:
        return 0.0
    data = conductor_data(fitted.wire.area_mm2)
    hot_c = default_insulation(wiring.installation.basis.value).insulation.class_c
    return 2.0 * ohm_at_temperature(
        data.ohm_per_m_20c * fitted.length_m, hot_c, alpha20_per_k=data.alpha20_per_k
    )


def _at_supplies(wiring: Wiring, strong: Linear) -> dict[str, float]:
    result = {}
    for name in wiring.supplies:
        supply = wiring.installation.supplies[name]
        if supply.plus in wiring.topology.node_of:
            amps = strong.short_a(wiring.node(supply.plus), wiring.node(supply.minus))
            if amps is not None:
                result[name] = amps
    return result
