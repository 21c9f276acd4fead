"""One case written down: volts and amps of every node and branch, with the checks of ``recover``."""

from typing import NamedTuple

from groundstrap.records import dataclass
from groundstrap.solve.block import POWER_LAW_FLOOR_V, ROUNDINGS
from groundstrap.solve.case import Case, State
from groundstrap.solve.network import Law, Network
from groundstrap.solve.recover import KIRCHHOFF_A, KIRCHHOFF_PART, POWER_PART, POWER_W
from groundstrap.solve.results import Point, Status
from groundstrap.solve.topology import Chain, Kind, Topology


@dataclass(slots=True)
class Sheet:
    """Volts, amps and heat of one case, with what is missing in them by the laws."""

    node_v: list[float]
    branch_v: list[float]
    branch_a: list[float]
    branch_w: list[float]
    heat_share: list[float]
    worst_a: float
    error_w: float


def write_down(network: Network, case: Case, state: State, *, heat: bool) -> Point | None:
    """Return the point of a case that has been solved, or None where a check fails."""
    sheet = fill_in(case, state, heat=heat)
    if sheet is None:
        return None
    return Point(
        network=network,
        status=Status.FOUND,
        node_v=tuple(sheet.node_v),
        branch_v=tuple(sheet.branch_v),
        branch_a=tuple(sheet.branch_a),
        branch_w=tuple(sheet.branch_w),
        heat_share=tuple(sheet.heat_share),
        off=_standing_by(network, case, state),
        unfed=_unfed(network, case),
        iterations=state.iterations,
        worst_kirchhoff_a=sheet.worst_a,
        power_error_w=sheet.error_w,
    )


def fill_in(case: Case, state: State, *, heat: bool) -> Sheet | None:
    """Return volts and amps of a case that has been solved, or None where a check fails."""
    node_v, branch_v, branch_a, heat_share, short_v = _values(case, state, 1.0 if heat else 0.0)
    missing_a = _missing(case, state, branch_v, short_v)
    if case.carries is not None:
        walks = _walks(case.topology)
        for index, carries in enumerate(case.carries):
            if not carries:
                _write_dead_chain(walks[index], case, node_v, branch_v)
                missing_a[index] = 0.0
    branch_w = [volts * amps for volts, amps in zip(branch_v, branch_a, strict=True)]
    worst_a, allowed_a, rounding_w = _kirchhoff(case, state, missing_a)
    error_w = abs(sum(branch_w))
    if not (
        worst_a <= allowed_a
        and error_w <= POWER_PART * 0.5 * sum(map(abs, branch_w)) + POWER_W + rounding_w
        and max(heat_share, default=0.0) < 1
    ):
        return None
    return Sheet(node_v, branch_v, branch_a, branch_w, heat_share, worst_a, error_w)


class _Walk(NamedTuple):
    """A chain in plain numbers: of its parts by law the branch and the sign; its nodes."""

    start: int
    end: int
    ohms: tuple[tuple[int, float], ...]
    heated: tuple[tuple[int, float], ...]
    cells: tuple[tuple[int, float], ...]
    #: The active branch, -1 where there is none.
    active: int
    #: Each inner node with the part before it.
    inner: tuple[tuple[int, int, float], ...]
    #: Branch, sign, whether it is a battery, first and last node of its parts in their order.
    order: tuple[tuple[int, float, bool, int, int], ...]


def _walks(topology: Topology) -> list[_Walk]:
    """Return the chains of a topology in plain numbers, made once."""
    found = topology.code_cache.get("walks")
    if not isinstance(found, list):
        found = topology.code_cache["walks"] = [_walk(topology, chain) for chain in topology.chains]
    return found


def _walk(topology: Topology, chain: Chain) -> _Walk:
    by_law: dict[Law, list[tuple[int, float]]] = {Law.RESISTOR: [], Law.HEATED: [], Law.BATTERY: []}
    active, order = -1, []
    for part in chain.parts:
        law, first, last, _ = topology.branches[part.branch]
        order.append((part.branch, float(part.sign), law is Law.BATTERY, first, last))
        if law in by_law:
            by_law[law].append((part.branch, float(part.sign)))
        else:
            active = part.branch
    return _Walk(
        topology.kept[chain.start],
        topology.kept[chain.end],
        tuple(by_law[Law.RESISTOR]),
        tuple(by_law[Law.HEATED]),
        tuple(by_law[Law.BATTERY]),
        active,
        tuple((n, p.branch, float(p.sign)) for n, p in zip(chain.inner, chain.parts, strict=False)),
        tuple(order),
    )


def _values(
    case: Case, state: State, heat: float
) -> tuple[list[float], list[float], list[float], list[float], list[float]]:
    """Volts of nodes and branches, amps, shares of heat, and what each chain is short of in volts.

    See ``recover._fill_chain``; ``heat`` is 1 with heat in the conductors, else 0.
    """
    topology, values = case.topology, case.values
    node_v, branches = [0.0] * topology.node_count, len(topology.branches)
    branch_v, branch_a, heat_share, short_v = [0.0] * branches, [0.0] * branches, [0.0] * branches, []
    for node, volts in zip(topology.kept, state.node_v, strict=True):
        node_v[node] = volts
    for walk, chain_a in zip(_walks(topology), state.chain_a, strict=True):
        start, end, ohms, heated, cells, active, inner, _ = walk
        volts = node_v[start]
        left_v, heating = volts - node_v[end], heat * chain_a * chain_a
        for branch, sign in ohms:
            amps = branch_a[branch] = sign * chain_a
            lost_v = branch_v[branch] = values[branch][0] * amps
            left_v -= sign * lost_v
        for branch, sign in heated:
            ohm, kappa = values[branch]
            amps = branch_a[branch] = sign * chain_a
            share = heat_share[branch] = kappa * heating
            lost_v = branch_v[branch] = ohm * amps / (1.0 - share)
            left_v -= sign * lost_v
        for branch, sign in cells:
            emf_v, discharge_ohm, charge_ohm = values[branch]
            amps = branch_a[branch] = sign * chain_a
            lost_v = branch_v[branch] = emf_v + amps * (charge_ohm if amps > 0.0 else discharge_ohm)
            left_v -= sign * lost_v
        if active >= 0:
            # A chain points the way of its active part.
            branch_a[active], branch_v[active] = chain_a, left_v
        short_v.append(left_v)
        for node, branch, sign in inner:
            volts = node_v[node] = volts - sign * branch_v[branch]
    return node_v, branch_v, branch_a, heat_share, short_v


def _missing(case: Case, state: State, branch_v: list[float], short_v: list[float]) -> list[float]:
    """See ``recover._missing``. [A]"""
    topology = case.topology
    missing_a = [short * conductance for short, conductance in zip(short_v, state.conductance_s, strict=True)]
    by_law_a = _law_currents(case, state, [branch_v[b] for b in topology.active_branches[: topology.actives]])
    for chain, amps in enumerate(by_law_a):
        pivot = 1 - state.conductance_s[chain] * state.ohm[chain]
        missing_a[chain] = (amps - state.chain_a[chain]) * pivot
    return missing_a


def _law_currents(case: Case, state: State, volts: list[float]) -> list[float]:
    """Currents of the active parts by their laws, at the volts across them. [A]"""
    watts = case.watts
    if case.topology.converters:
        watts = load_watts(case, state)
    amps = [power_w / v if power_w else 0.0 for power_w, v in zip(watts, volts, strict=False)]
    for (factor, exponent), v in zip(case.laws, volts[len(amps) :], strict=False):
        above_v = max(v, POWER_LAW_FLOOR_V)
        amps.append(factor * above_v**exponent * v / above_v)
    for (set_v, limit_a, droop_s), off, v in zip(case.sources, state.off, volts[len(amps) :], strict=True):
        amps.append(0.0 if off else -min(max((set_v - v) * droop_s, 0.0), limit_a))
    return amps


def load_watts(case: Case, state: State) -> list[float]:
    """Return the power of each constant-power chain; see ``kernel.load_watts``. [W]"""
    topology = case.topology
    if not topology.converters:
        return case.watts
    watts = case.watts.copy()
    for position, (entry, output) in enumerate(topology.converters):
        source = output - topology.regulated_span.start
        limit_a = case.sources[source][1]
        given_a = 0.0 if state.off[source] else min(-state.chain_a[output], limit_a)
        given_w = max(state.active_v[output] * given_a, 0.0)
        enabled = limit_a > 0
        watts[entry] = watts[entry] + given_w / case.efficiency[position] if enabled else 0.0
    return watts


def _kirchhoff(case: Case, state: State, missing_a: list[float]) -> tuple[float, float, float]:
    """See ``recover._kirchhoff``. [A, A, W]"""
    count = len(state.node_v)
    sums_a, meeting_s = [0.0] * count, [0.0] * count
    for index, start, end, _ in case.topology.ties:
        total_a, size_s = state.chain_a[index] + missing_a[index], abs(state.conductance_s[index])
        sums_a[start] += total_a
        sums_a[end] -= total_a
        meeting_s[start] += size_s
        meeting_s[end] += size_s
    largest_v = max(map(abs, state.node_v))
    rounding = ROUNDINGS * largest_v
    over = [
        (abs(amps) - rounding * size_s, abs(amps)) for amps, size_s in zip(sums_a, meeting_s, strict=True)
    ]
    worst_over, worst_a = max(over)
    largest_a = max(map(abs, state.chain_a), default=0.0)
    allowed_a = KIRCHHOFF_A + KIRCHHOFF_PART * largest_a + worst_a - worst_over
    return worst_a, allowed_a, largest_v * rounding * sum(meeting_s)


def _write_dead_chain(walk: _Walk, case: Case, node_v: list[float], branch_v: list[float]) -> None:
    """See ``recover._fill_dead_chain``."""
    order, inner, values = walk.order, walk.inner, case.values
    broken_at = 0
    for position, (branch, *_) in enumerate(order):
        if branch in case.opened:
            broken_at = position
            break
        if branch == walk.active:
            broken_at = position
    volts = node_v[walk.start]
    for (branch, sign, is_cell, _, _), (node, _, _) in zip(order[:broken_at], inner, strict=False):
        if is_cell:
            volts -= sign * values[branch][0]
        node_v[node] = volts
    volts = node_v[walk.end]
    for position in range(len(inner) - 1, broken_at - 1, -1):
        branch, sign, is_cell, _, _ = order[position + 1]
        if is_cell:
            volts += sign * values[branch][0]
        node_v[inner[position][0]] = volts
    for branch, _, _, first, last in order:
        branch_v[branch] = node_v[first] - node_v[last]


def _standing_by(network: Network, case: Case, state: State) -> tuple[str, ...]:
    branches = case.topology.active_branches[case.topology.regulated_span]
    return tuple(
        network.branches[branch].name
        for branch, off, source in zip(branches, state.off, case.sources, strict=True)
        if off and source[1] > 0
    )


def _unfed(network: Network, case: Case) -> tuple[str, ...]:
    if case.carries is None:
        return ()
    loads = (Kind.POWER, Kind.POWER_LAW, Kind.CURRENT)
    dead = [
        case.topology.active_branches[index]
        for index, carries in enumerate(case.carries)
        if not carries and case.topology.chains[index].kind in loads
    ]
    return tuple(network.branches[branch].name for branch in sorted(dead))
