"""One case in plain numbers, laid out by chain: what ``block`` does for rows."""

import math
from collections.abc import Mapping
from typing import Final

from groundstrap.records import dataclass, replace
from groundstrap.solve.network import Law, Parameters
from groundstrap.solve.reach import reach
from groundstrap.solve.stride_text import Stride
from groundstrap.solve.topology import Layered, Topology

_MOST_INVERSIONS: Final = 60


@dataclass(slots=True)
class Case:
    """The numbers of one case; see ``block.Block``. ``values`` are the parameters with 1 ohm for infinity."""

    topology: Topology
    values: Parameters
    linear_ohm: list[float]
    cold_ohm: list[float]
    #: Of each chain with heat, its heated conductors: ohms and kappa.
    hot_parts: list[list[tuple[float, ...]]]
    #: The largest kappa of each of them.
    hottest: list[float]
    emf_v: list[float]
    ohms: list[tuple[float, float]]
    watts: list[float]
    efficiency: list[float]
    laws: list[tuple[float, float]]
    sources: list[tuple[float, float, float]]
    amps: list[float]
    closed: list[bool] | None
    carries: list[bool] | None
    pins: list[float]
    #: Conductors and batteries that are open.
    opened: frozenset[int]

    @property
    def highest_v(self) -> float:
        """The highest volts of any source that is on."""
        emf_v = [abs(emf) for emf in self.emf_v]
        return max([0.0, *emf_v, *(set_v for set_v, limit_a, _ in self.sources if limit_a > 0)])


@dataclass(slots=True)
class State:
    """Where Newton stands; see ``block.State``. The last tangents stay beside it for the checks."""

    node_v: list[float]
    chain_a: list[float]
    active_v: list[float]
    hot_a: list[float]
    charging: list[bool]
    off: list[bool]
    iterations: int
    conductance_s: list[float]
    ohm: list[float]

    def take(self, stride: Stride) -> float:
        """Stand where a step ended; return how far it moved. [V]"""
        self.node_v, self.chain_a, self.active_v, self.conductance_s, self.ohm, hot_a, moved_v = stride
        if hot_a is not None:
            self.hot_a = hot_a
        self.iterations += 1
        return moved_v


def prepare_case(topology: Topology, parameters: Parameters) -> Case:
    """Lay out one case; the parameters have been checked."""
    opened = [index for index, values in enumerate(parameters) if math.inf in values]
    values, branches = list(parameters), topology.branches
    opened = [index for index in opened if branches[index][0] is not Law.REGULATED]
    for index in opened:
        values[index] = tuple(1.0 if value == math.inf else value for value in parameters[index])
    linear_ohm = [0.0] * len(topology.chains)
    _sum_along(topology.resistors, values, linear_ohm)
    cold_ohm = linear_ohm.copy()
    _sum_along(topology.heated, values, cold_ohm)
    watts = [values[b][0] for b in topology.active_branches[: topology.powers]]
    efficiency = [watts[entry] for entry, _ in topology.converters]
    for entry, _ in topology.converters:
        watts[entry] = values[topology.active_branches[entry]][1]
    laws = [values[b] for b in topology.active_branches[topology.law_span]]
    sources = [values[b] for b in topology.active_branches[topology.regulated_span]]
    cells = [values[cell.branch] for cell in topology.cells]
    hot_parts = [[values[branch] for branch in along] for along in _placed(topology).heated]
    case = Case(
        topology=topology,
        values=values,
        linear_ohm=linear_ohm,
        cold_ohm=cold_ohm,
        hot_parts=hot_parts,
        hottest=[max(kappa for _, kappa in parts) for parts in hot_parts],
        emf_v=[given[0] * cell.sign for given, cell in zip(cells, topology.cells, strict=True)],
        ohms=[(given[1], given[2]) for given in cells],
        watts=watts,
        efficiency=efficiency,
        laws=[(at_ref_a / ref_v**exponent, exponent) for at_ref_a, ref_v, exponent in laws],
        sources=[(set_v, limit_a, 1.0 / droop_ohm) for set_v, limit_a, droop_ohm in sources],
        amps=[values[b][0] for b in topology.active_branches[topology.current_span]],
        closed=None,
        carries=None,
        pins=[],
        opened=frozenset(opened),
    )
    _close(case)
    reach_case(case)
    return case


def with_ohms(case: Case, changed: Mapping[int, tuple[float, ...]]) -> Case:
    """Return the same case with other values for some conductors that are not open: branch -> its own."""
    topology, values = case.topology, list(case.values)
    for branch, given in changed.items():
        values[branch] = given
    linear_ohm, cold_ohm = case.linear_ohm, case.cold_ohm.copy()
    hot_parts, hottest = case.hot_parts.copy(), case.hottest.copy()
    placed = _placed(topology)
    heated = [branch for branch in changed if branch in placed.position_of]
    for position in {placed.position_of[branch] for branch in heated}:
        parts = [values[branch] for branch in placed.heated[position]]
        chain = topology.heated_chains[position]
        cold_ohm[chain] = sum((ohm for ohm, _ in parts), linear_ohm[chain])
        hot_parts[position], hottest[position] = parts, max(kappa for _, kappa in parts)
    if len(heated) < len(changed):
        linear_ohm = [0.0] * len(topology.chains)
        _sum_along(topology.resistors, values, linear_ohm)
        cold_ohm = linear_ohm.copy()
        _sum_along(topology.heated, values, cold_ohm)
    return replace(
        case,
        values=values,
        linear_ohm=linear_ohm,
        cold_ohm=cold_ohm,
        hot_parts=hot_parts,
        hottest=hottest,
    )


def current_in(case: Case, state: State, branch: int) -> float:
    """Return the current of a branch along its chain. [A]"""
    return state.chain_a[_placed(case.topology).chain_of[branch]]


@dataclass(frozen=True, slots=True)
class _Placed:
    """Where branches stand: in which chain, and the heated ones among the chains that have some."""

    chain_of: Mapping[int, int]
    heated: tuple[tuple[int, ...], ...]
    position_of: Mapping[int, int]


def _placed(topology: Topology) -> _Placed:
    """Return where branches stand, looked up once for a topology."""
    found = topology.code_cache.get("placed")
    if not isinstance(found, _Placed):
        place = {chain: position for position, chain in enumerate(topology.heated_chains)}
        along: list[list[int]] = [[] for _ in place]
        for branch, chain in zip(topology.heated.branches, topology.heated.chain_of, strict=True):
            along[place[int(chain)]].append(int(branch))
        found = topology.code_cache["placed"] = _Placed(
            {part.branch: index for index, chain in enumerate(topology.chains) for part in chain.parts},
            tuple(map(tuple, along)),
            {branch: position for position, some in enumerate(along) for branch in some},
        )
    return found


def _sum_along(layered: Layered, values: Parameters, sums: list[float]) -> None:
    for branch, chain in zip(layered.branches, layered.chain_of, strict=True):
        sums[chain] += values[branch][0]


def _close(case: Case) -> None:
    """Note which chains are closed where not all of them are."""
    topology = case.topology
    first = topology.regulated_span.start
    broken = [first + position for position, source in enumerate(case.sources) if source[1] <= 0]
    # A lamp or fan that is off joins nothing: with no slope at all it would leave its island undecided.
    broken += [topology.law_span.start + position for position, law in enumerate(case.laws) if law[0] == 0]
    if case.opened:
        chain_of = _placed(topology).chain_of
        broken += [chain_of[branch] for branch in case.opened]
    if broken:
        case.closed = [index not in broken for index in range(len(topology.chains))]


def reach_case(case: Case) -> None:
    """Fill in which chains carry current and which islands are pinned."""
    topology = case.topology
    closed = tuple(case.closed) if case.closed is not None else (True,) * len(topology.chains)
    found = reach(topology, closed)
    case.pins = [0.0] * len(topology.kept)
    for node in found.pins:
        case.pins[node] = 1.0
    if all(found.carries):
        return
    case.carries = list(found.carries)
    case.watts = [watts if on else 0.0 for watts, on in zip(case.watts, found.carries, strict=False)]
    currents = found.carries[topology.current_span]
    case.amps = [amps if on else 0.0 for amps, on in zip(case.amps, currents, strict=True)]
    regulated = found.carries[topology.regulated_span]
    case.sources = [
        (set_v, limit_a if on else 0.0, droop_s)
        for (set_v, limit_a, droop_s), on in zip(case.sources, regulated, strict=True)
    ]


def current_at(parts: list[tuple[float, ...]], heat_v: float) -> float:
    """Return the current of heated conductors, each ohms and kappa; see ``kernel._current_at``. [A]"""
    size_v = abs(heat_v)
    amps = min(2 * size_v / (ohm + (ohm * ohm + 4 * kappa * size_v * size_v) ** 0.5) for ohm, kappa in parts)
    for _ in range(_MOST_INVERSIONS):
        excess_v, slope_ohm = -size_v, 0.0
        for ohm, kappa in parts:
            heat = kappa * amps * amps
            excess_v += ohm * amps / (1 - heat)
            slope_ohm += ohm * (1 + heat) / (1 - heat) ** 2
        step_a = excess_v / slope_ohm
        amps -= step_a
        if abs(step_a) <= 1e-14 * amps:
            break
    return math.copysign(amps, heat_v)
