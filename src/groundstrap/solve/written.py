"""One case written down: volts and amps of every node and branch, with the checks of ``recover``."""

import math
from collections.abc import Sequence

from groundstrap.solve.block import POWER_LAW_FLOOR_V, ROUNDINGS
from groundstrap.solve.case import Case, State
from groundstrap.solve.network import Law, Network, Parameters
from groundstrap.solve.recover import KIRCHHOFF_A, KIRCHHOFF_PART, POWER_PART, POWER_W
from groundstrap.solve.results import Point, Status
from groundstrap.solve.topology import Kind, Topology


def write_down(
    network: Network, case: Case, state: State, parameters: Parameters, *, heat: bool
) -> Point | None:
    """Return the point of a case that has been solved, or None where a check fails."""
    node_v, branch_v, branch_a, heat_share, short_v = _values(case, state, 1.0 if heat else 0.0)
    missing_a = _missing(case, state, branch_v, short_v)
    if case.carries is not None:
        walks, branches = _walks(case.topology), case.topology.branches
        for index, carries in enumerate(case.carries):
            if not carries:
                _write_dead_chain(walks[index], branches, parameters, node_v, branch_v)
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
    return Point(
        network=network,
        status=Status.FOUND,
        node_v=tuple(node_v),
        branch_v=tuple(branch_v),
        branch_a=tuple(branch_a),
        branch_w=tuple(branch_w),
        heat_share=tuple(heat_share),
        off=_standing_by(network, case, state),
        unfed=_unfed(network, case),
        iterations=state.iterations,
        worst_kirchhoff_a=worst_a,
        power_error_w=error_w,
    )


#: Laws as numbers, for a member of an enumeration takes longer to look up than what is done with it here.
_CODE = {Law.RESISTOR: 0, Law.HEATED: 1, Law.BATTERY: 2}
_BATTERY, _ACTIVE = 2, 3
#: Of a chain: its first and last node; law, branch and sign of its parts; branch and sign before inner nodes.
_Walk = tuple[int, int, tuple[tuple[int, int, int], ...], tuple[tuple[int, int, int], ...]]


def _walks(topology: Topology) -> list[_Walk]:
    """Return the chains of a topology in plain numbers, made once."""
    found = topology.code_cache.get("walks")
    if not isinstance(found, list):
        found = topology.code_cache["walks"] = [
            (
                topology.kept[chain.start],
                topology.kept[chain.end],
                tuple(
                    (_CODE.get(topology.branches[p.branch][0], _ACTIVE), p.branch, p.sign)
                    for p in chain.parts
                ),
                tuple((n, p.branch, p.sign) for n, p in zip(chain.inner, chain.parts, strict=False)),
            )
            for chain in topology.chains
        ]
    return found


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
    for (start, end, parts, inner), chain_a in zip(_walks(topology), state.chain_a, strict=True):
        left_v, active = node_v[start] - node_v[end], -1
        for law, branch, sign in parts:
            amps = branch_a[branch] = chain_a if sign > 0 else -chain_a
            if law == 0:
                volts = values[branch][0] * amps
            elif law == 1:
                ohm, kappa = values[branch]
                share = heat_share[branch] = heat * kappa * chain_a * chain_a
                volts = ohm * amps / (1.0 - share)
            elif law == 2:
                emf_v, discharge_ohm, charge_ohm = values[branch]
                volts = emf_v + amps * (charge_ohm if amps > 0.0 else discharge_ohm)
            else:
                active = branch
                continue
            branch_v[branch] = volts
            left_v = left_v - volts if sign > 0 else left_v + volts
        if active >= 0:
            branch_v[active] = left_v
        short_v.append(left_v)
        volts = node_v[start]
        for node, branch, sign in inner:
            volts = node_v[node] = volts - branch_v[branch] if sign > 0 else volts + branch_v[branch]
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


def _write_dead_chain(
    walk: _Walk,
    branches: Sequence[tuple[Law, int, int, int | None]],
    parameters: Parameters,
    node_v: list[float],
    branch_v: list[float],
) -> None:
    """See ``recover._fill_dead_chain``."""
    start, end, parts, inner = walk
    passive = [branch if law < _ACTIVE else -1 for law, branch, _ in parts]
    is_open = [branch >= 0 and math.inf in parameters[branch] for branch in passive]
    broken_at = is_open.index(True) if True in is_open else passive.index(-1) if -1 in passive else 0
    volts = node_v[start]
    for (law, branch, sign), (node, _, _) in zip(parts[:broken_at], inner, strict=False):
        if law == _BATTERY:
            volts -= sign * parameters[branch][0]
        node_v[node] = volts
    volts = node_v[end]
    for position in range(len(inner) - 1, broken_at - 1, -1):
        law, branch, sign = parts[position + 1]
        if law == _BATTERY:
            volts += sign * parameters[branch][0]
        node_v[inner[position][0]] = volts
    for _, branch, _ in parts:
        _, first, last, _ = branches[branch]
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
