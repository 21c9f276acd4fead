"""The network of an installation for the numeric core, and the parameters of each case.

Branches have the numbers and names of the topology's pieces. A `Case` says which question is asked: which
loads run, what the supplies do, how warm the conductors are, and which end the joints stand at.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from enum import StrEnum
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.conductors import HotWire, Lie, conductor, hot_wire, ohm_at
from groundstrap.assess.currents import DesignCurrents, design_currents
from groundstrap.assess.draws import draw_designs
from groundstrap.assess.duties import only_short_runs, short_run_assumptions
from groundstrap.assess.figures import HELD_OHM, STAND_IN_A_PER_MM2, STAND_IN_AREA_MM2, Ends
from groundstrap.assess.flows import Floats
from groundstrap.assess.lasting import lasting_amps, lasting_assumptions, lasting_draws
from groundstrap.assess.links import acceptance_assumptions, links_of
from groundstrap.assess.looms import lies, suit_insulation
from groundstrap.assess.parts import arm_ends, part_ends, tie_ends, wire_end_ends
from groundstrap.assess.positions import opened
from groundstrap.assess.settings import Setting, charged_ends, level_ends, set_up
from groundstrap.assess.shape import MOST_CASES, Kept
from groundstrap.assess.supplies import SupplyFigures, own_draw_a, supply_figures
from groundstrap.assess.topology import Piece, PieceKind, Topology, lay_out
from groundstrap.assess.tree import CircuitTree, circuit_tree
from groundstrap.model import (
    Assumption,
    Installation,
    LoadEstimate,
    Situation,
    State,
    SupplyKind,
    Wire,
)
from groundstrap.records import dataclass
from groundstrap.solve import Branch, Law, Network
from groundstrap.tables import standard_sizes
from groundstrap.units import ConductorSize, parse_size

__all__ = [
    "Case",
    "Level",
    "Warmth",
    "Wiring",
    "parameters",
    "parameters_rows",
    "part_resistances",
    "passive_values",
    "stand_in",
    "wire_up",
]


class Level(StrEnum):
    """What the supplies do."""

    TYPICAL = "typical"
    """Batteries at rest with their inner resistance, machines at their setpoint up to their limit."""
    LOW = "low"
    """Terminals of every battery held at their low end, chargers and alternators off."""
    HIGH = "high"
    """Terminals held at the high end."""


class Warmth(StrEnum):
    """How warm conductors are."""

    HOT = "hot"
    """In the hottest air of each zone, heated by their own current."""
    COLD = "cold"
    """In the coldest air of each zone, not heated."""
    LIMIT = "limit"
    """At the temperature of their insulation class, as a fault may find them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One question about a network."""

    situation: Situation
    running: frozenset[str]
    level: Level = Level.TYPICAL
    warmth: Warmth = Warmth.HOT
    joints: str = "typical"
    """End of joints, contacts and holders: `low`, `typical` or `high`."""
    body: str = "typical"
    """End of a chassis path that nobody measured."""
    sizes: Mapping[str, ConductorSize] = field(default_factory=dict)
    """Sizes by wire name, in place of the wire's own."""
    open: frozenset[str] = frozenset()
    """Pieces that are open beside those that the situation opens."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wiring:
    """An installation as a network, with what is needed to give it values."""

    installation: Installation
    topology: Topology
    network: Network
    estimates: Mapping[str, LoadEstimate]
    supplies: Mapping[str, SupplyFigures]
    settings: tuple[Setting, ...]
    currents: DesignCurrents
    tree: CircuitTree
    lies: Mapping[str, tuple[Lie, ...]]
    ends: Mapping[str, Ends]
    """Resistance of everything that conducts and is no wire. [ohm]"""
    stand_ins: Mapping[str, ConductorSize]
    """Wires whose size is not known, each with the size that stands in for it."""
    short_runs: frozenset[str] = frozenset()
    """Pieces that only carry loads which run for a short while."""
    lasting_a: Mapping[str, float] = field(default_factory=dict)
    """What goes on round the clock through each piece; left out where nothing does. [A]"""
    assumptions: tuple[Assumption, ...] = ()
    own_wires: dict[tuple[Warmth, str], dict[str, HotWire]] = field(
        default_factory=dict, repr=False, compare=False
    )
    """Kept from one case to the next: wires of their own size, by warmth and end of the joints."""
    passive: dict[tuple[Warmth, str, str], list[tuple[float, ...]]] = field(
        default_factory=dict, repr=False, compare=False
    )
    """Kept likewise: parameters of all that only conducts, by warmth and the ends of joints and body."""
    kept: Kept = field(init=False, default_factory=Kept, repr=False, compare=False)
    """What was found for it before; a copy with other fields starts with none."""

    def index(self, name: str) -> int:
        """Return the number of a branch."""
        return self.topology.index[name]

    def node(self, point: str) -> int:
        """Return the node of a point."""
        return self.topology.node(point)


def wire_up(installation: Installation, estimates: Mapping[str, LoadEstimate]) -> Wiring:
    """Turn an installation into a network, and find its design currents and the way of every current."""
    suited = suit_insulation(installation)
    installation = suited.installation
    topology = lay_out(installation)
    figures = supply_figures(installation)
    siemens = _rough_siemens(topology, figures)
    figures = level_ends(topology, siemens, charged_ends(topology, siemens, figures))
    settings = set_up(topology, siemens, figures)
    links = links_of(topology, settings, figures)
    draws = draw_designs(topology, settings, estimates, figures, links)
    currents = design_currents(topology, settings, draws, links)
    tree = circuit_tree(topology, settings, currents)
    short = only_short_runs(topology, tree.draws_of_piece)
    lasting = lasting_draws(topology, draws)
    return Wiring(
        installation=installation,
        topology=topology,
        network=_network(topology, estimates),
        estimates=estimates,
        supplies=figures,
        settings=settings,
        currents=currents,
        tree=tree,
        lies=lies(installation, {name: piece.continuous_a for name, piece in currents.pieces.items()}),
        ends=part_resistances(topology, currents, short),
        stand_ins=_stand_ins(topology, currents),
        short_runs=short,
        lasting_a=lasting_amps(topology, settings, currents, lasting),
        assumptions=suited.assumptions
        + short_run_assumptions(topology, short)
        + acceptance_assumptions(installation, figures, links)
        + lasting_assumptions(installation, lasting),
    )


def _stand_ins(topology: Topology, currents: DesignCurrents) -> dict[str, ConductorSize]:
    """A size at ease with its current for every wire that has none."""
    return {
        piece.name: stand_in((currents.pieces[piece.name].peak_a or 0.0) / piece.wire.parallel)
        for piece in topology.pieces
        if piece.wire is not None and piece.wire.size is None
    }


@lru_cache(maxsize=1024)
def stand_in(
    amps: float, a_per_mm2: float = STAND_IN_A_PER_MM2, least_mm2: float = STAND_IN_AREA_MM2
) -> ConductorSize:
    """Return the first standard size that carries a current at a density, no thinner than the least."""
    wanted_mm2 = max(least_mm2, amps / a_per_mm2)
    sizes = standard_sizes("metric")
    chosen = next((size for size in sizes if size.area_mm2 >= wanted_mm2), sizes[-1])
    return parse_size(chosen.label)


def _rough_siemens(topology: Topology, figures: Mapping[str, SupplyFigures]) -> Floats:
    """Conductances good enough to share currents out: exact on trees, where any value does."""
    return np.array([_rough(topology, figures, piece) for piece in topology.pieces])


def _rough(topology: Topology, figures: Mapping[str, SupplyFigures], piece: Piece) -> float:
    if piece.wire is not None:
        area_mm2 = piece.wire.area_mm2 or STAND_IN_AREA_MM2 * piece.wire.parallel
        return 50.0 * area_mm2 / max(piece.wire.length_m, 0.05)
    if piece.part is not None:
        return 1.0 / part_ends(topology.installation, piece.part, 10.0).typical
    if piece.kind is PieceKind.TIE and piece.tie is not None:
        return 1.0 / tie_ends(piece.tie).typical
    if piece.kind is PieceKind.BODY:
        return 1.0 / arm_ends(topology.installation.body).typical
    if piece.kind in {PieceKind.BATTERY, PieceKind.MACHINE, PieceKind.PANEL} and piece.supply is not None:
        return 1.0 / figures[piece.supply.name].ohm.typical
    return 0.0


def _network(topology: Topology, estimates: Mapping[str, LoadEstimate]) -> Network:
    """The network of a topology; like ones are one object, about which much has been found out by then."""
    laws = tuple(_law_of(estimates.get(p.name)) for p in topology.pieces if not p.conducts)

    def make() -> Network:
        branches = tuple(_branch(topology, piece, estimates) for piece in topology.pieces)
        return Network(nodes=topology.nodes, branches=branches)

    return topology.kept.lately("network", laws, make)


def _branch(topology: Topology, piece: Piece, estimates: Mapping[str, LoadEstimate]) -> Branch:
    feeds = None
    if piece.kind is PieceKind.WIRE:
        law = Law.HEATED
    elif piece.conducts:
        law = Law.RESISTOR
    elif piece.kind is PieceKind.BATTERY:
        law = Law.BATTERY
    elif piece.kind in {PieceKind.MACHINE, PieceKind.PANEL}:
        law = Law.REGULATED
    elif piece.kind is PieceKind.OWN_DRAW:
        law = Law.CONSTANT_CURRENT
    elif piece.kind is PieceKind.INPUT and piece.supply is not None:
        law, feeds = Law.CONSTANT_POWER, topology.index[piece.supply.name]
    else:
        law = _law_of(estimates.get(piece.name))
    return Branch(piece.name, law, piece.start, piece.end, feeds)


def _law_of(estimate: LoadEstimate | None) -> Law:
    if estimate is None or estimate.exponent == -1.0:
        return Law.CONSTANT_POWER
    if estimate.exponent == 1.0:
        return Law.RESISTOR
    return Law.CONSTANT_CURRENT if estimate.exponent == 0.0 else Law.POWER_LAW


def part_resistances(
    topology: Topology, currents: DesignCurrents, short: frozenset[str]
) -> Mapping[str, Ends]:
    """Return the resistance of everything that conducts and is no wire. [ohm]"""
    result = {}
    for piece in topology.pieces:
        if piece.part is not None:
            amps = currents.pieces[piece.name].continuous_a or 0.0
            is_short = piece.name in short
            result[piece.name] = part_ends(topology.installation, piece.part, amps, short=is_short)
        elif piece.kind is PieceKind.TIE and piece.tie is not None:
            result[piece.name] = tie_ends(piece.tie)
        elif piece.kind is PieceKind.BODY:
            result[piece.name] = arm_ends(topology.installation.body)
    return result


def parameters(wiring: Wiring, case: Case) -> list[tuple[float, ...]]:
    """Return the parameters of every branch in one case, in the order of the branches."""
    pieces = wiring.topology.pieces
    values = list(passive_values(wiring, case))
    for number in wiring.topology.kept.once("active", lambda: _active_numbers(wiring.topology)):
        values[number] = _active_values(wiring, pieces[number], case)
    for name in open_pieces(wiring, case):
        number = wiring.topology.index.get(name, -1)
        if number >= 0 and pieces[number].kind is not PieceKind.WIRE:
            values[number] = (np.inf,)
    return values


def passive_values(wiring: Wiring, case: Case) -> Sequence[tuple[float, ...]]:
    """Return the parameters of everything that only conducts, nothing open; of the rest none."""
    question = (case.warmth, case.joints, case.body)
    if case.sizes:
        return [_passive_values(wiring, piece, case, {}) for piece in wiring.topology.pieces]
    if question not in wiring.passive:
        wiring.passive[question] = _found_passive(wiring, case)
    return wiring.passive[question]


def _found_passive(wiring: Wiring, case: Case) -> list[tuple[float, ...]]:
    """Those that no case asked for before: of a case that differs in the body alone all but that is taken."""
    alike = next((k for k in wiring.passive if k[:2] == (case.warmth, case.joints)), None)
    wires = wiring.own_wires.setdefault((case.warmth, case.joints), {})
    if alike is None:
        return [_passive_values(wiring, piece, case, wires) for piece in wiring.topology.pieces]
    values = list(wiring.passive[alike])
    for number in wiring.topology.kept.once("body", lambda: _body_numbers(wiring.topology)):
        values[number] = _passive_values(wiring, wiring.topology.pieces[number], case, wires)
    return values


def _active_numbers(topology: Topology) -> tuple[int, ...]:
    return tuple(n for n, piece in enumerate(topology.pieces) if not piece.conducts)


def _body_numbers(topology: Topology) -> tuple[int, ...]:
    return tuple(n for n, piece in enumerate(topology.pieces) if piece.kind is PieceKind.BODY)


def open_pieces(wiring: Wiring, case: Case) -> frozenset[str]:
    """Return the pieces that are open in a case."""
    topology, tree = wiring.topology, wiring.tree

    def find() -> frozenset[str]:
        return opened(topology, case.situation, running=case.running, behind=tree.loads_behind)

    return case.open | tree.kept.lately("open", (case.situation, case.running), find, most=MOST_CASES)


def parameters_rows(wiring: Wiring, cases: Sequence[Case]) -> list[tuple[float | NDArray[np.float64], ...]]:
    """Return the parameters of every branch with one row a case."""
    each = [parameters(wiring, case) for case in cases]
    rows: list[tuple[float | NDArray[np.float64], ...]] = []
    for branch in range(len(wiring.topology.pieces)):
        columns = zip(*(one[branch] for one in each), strict=True)
        rows.append(tuple(_column(column) for column in columns))
    return rows


def _column(values: tuple[float, ...]) -> float | NDArray[np.float64]:
    first = values[0]
    return first if all(value == first for value in values) else np.array(values)


def is_open(wire: Wire) -> bool:
    """Tell whether a wire's size is still to be chosen."""
    return wire.size is None and not wire.unknown and wire.state is State.NEW


def _passive_values(wiring: Wiring, piece: Piece, case: Case, wires: dict[str, HotWire]) -> tuple[float, ...]:
    if piece.wire is not None:
        value = _wire(wiring, piece.wire, case, wires)
        return (value.cold_ohm, value.kappa_per_a2)
    if piece.kind is PieceKind.BODY:
        return (wiring.ends[piece.name].at(case.body),)
    return (wiring.ends[piece.name].at(case.joints),) if piece.conducts else ()


def _active_values(wiring: Wiring, piece: Piece, case: Case) -> tuple[float, ...]:
    if piece.kind is PieceKind.LOAD:
        return _load_values(wiring, piece, case)
    if piece.kind is PieceKind.OWN_DRAW and piece.supply is not None:
        return (own_draw_a(wiring.installation, piece.supply, case.situation),)
    return _supply_values(wiring, piece, case)


def _wire(wiring: Wiring, wire: Wire, case: Case, wires: dict[str, HotWire]) -> HotWire:
    value = wires.get(wire.name)
    if value is None:
        size = case.sizes.get(wire.name) or wire.size or wiring.stand_ins[wire.name]
        value = wires[wire.name] = wire_values(wiring, wire, size, case)
    return value


def wire_values(wiring: Wiring, wire: Wire, size: ConductorSize, case: Case) -> HotWire:
    """Return resistance and heating constant of a wire of this size, with both its ends. [ohm, 1/A2]"""
    one = conductor(wire, size, wiring.installation.basis)
    ends = wire_end_ends(size.area_mm2, wire.parallel).at(case.joints)
    pieces = wiring.lies[wire.name]
    if case.warmth is Warmth.HOT:
        laid = tuple((lie.length_m, lie.ambient_c, lie.share) for lie in pieces)
        hot = hot_wire(one, laid, wire.parallel)
        # The crimps are of the same metal and warm with the wire.
        return HotWire(hot.cold_ohm + ends, hot.kappa_per_a2)
    if case.warmth is Warmth.COLD:
        ohm = sum(ohm_at(one, lie.length_m, lie.cold_c) for lie in pieces)
    else:
        ohm = sum(ohm_at(one, lie.length_m, max(one.insulation.class_c, lie.ambient_c)) for lie in pieces)
    return HotWire(ohm / wire.parallel + ends, 0.0)


def _load_values(wiring: Wiring, piece: Piece, case: Case) -> tuple[float, ...]:
    estimate = wiring.estimates.get(piece.name)
    law = wiring.network.branches[wiring.index(piece.name)].law
    known = estimate is not None and estimate.known and estimate.power_w is not None
    if estimate is None or estimate.power_w is None or not known or piece.name not in case.running:
        return _off_values(law, estimate)
    watts, at_v = estimate.power_w.value, estimate.at_v
    if law is Law.RESISTOR:
        return (at_v**2 / watts if watts > 0.0 else np.inf,)
    if law is Law.CONSTANT_POWER:
        return (watts,)
    if law is Law.CONSTANT_CURRENT:
        return (watts / at_v,)
    return (watts / at_v, at_v, estimate.exponent)


def _off_values(law: Law, estimate: LoadEstimate | None) -> tuple[float, ...]:
    """The parameters of a load that is off."""
    if law is Law.RESISTOR:
        return (np.inf,)
    if law is Law.POWER_LAW:
        return (0.0, 12.0, estimate.exponent if estimate is not None else 1.0)
    return (0.0,)


def _supply_values(wiring: Wiring, piece: Piece, case: Case) -> tuple[float, ...]:
    assert piece.supply is not None
    found = wiring.supplies[piece.supply.name]
    if piece.kind is PieceKind.BATTERY:
        if case.level is Level.TYPICAL:
            return (found.emf_v, found.ohm.typical, max(found.charge_ohm, found.ohm.typical))
        volts = found.low_v if case.level is Level.LOW else found.high_v
        return (volts, HELD_OHM, HELD_OHM)
    if piece.kind is PieceKind.INPUT:
        on = _machine_limit(wiring, piece, case) > 0.0
        return (found.efficiency, found.idle_w if on else 0.0)
    set_v = {Level.LOW: found.low_v, Level.HIGH: found.high_v}.get(case.level, found.emf_v)
    return (set_v, _machine_limit(wiring, piece, case), found.ohm.typical)


def _machine_limit(wiring: Wiring, piece: Piece, case: Case) -> float:
    """Current that a machine gives at most in a case; 0 where it is off. [A]"""
    supply = piece.supply
    assert supply is not None
    found = wiring.supplies[supply.name]
    limit = found.limit_a if found.limit_a is not None else 1e6
    holds = any(supply.name in setting.sources and not setting.charging for setting in wiring.settings)
    if supply.kind is SupplyKind.DC_DC and holds:
        return limit
    if case.level is not Level.TYPICAL:
        return 0.0
    if supply.kind is SupplyKind.ALTERNATOR:
        if case.situation is Situation.IDLING:
            return found.idle_limit_a if found.idle_limit_a is not None else limit
        return limit if case.situation is Situation.DRIVING else 0.0
    if supply.kind is SupplyKind.MAINS_CHARGER:
        return limit if case.situation is Situation.MAINS else 0.0
    if supply.kind is SupplyKind.DC_DC:
        engine = case.situation in {Situation.IDLING, Situation.DRIVING}
        return limit if engine or supply.when == "always" else 0.0
    # No sun is counted on: a panel only matters for the currents that its wires must carry.
    return 0.0
