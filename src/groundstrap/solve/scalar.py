"""One case in plain numbers: the steps of ``kernel`` and ``decide``, for the ordinary course of things.

Whatever is out of the ordinary (no working point, a path to be followed, slow convergence, a check that
fails) is left to the block code, which decides; then the answer is None here.
"""

import math
from typing import Final

from groundstrap.solve.block import POWER_LAW_FLOOR_V
from groundstrap.solve.case import Case, State, prepare_case, reach_case
from groundstrap.solve.decide import ABSORBS_ABOVE_V, STARVED_V
from groundstrap.solve.generate import Code, code_for
from groundstrap.solve.kernel import HOT_SHARE, NEXT_STEP_V
from groundstrap.solve.network import Network, Parameters
from groundstrap.solve.newton import COLD_ENOUGH_V, CONTRACTS, QUADRATIC_BELOW_V, SECANT_STEPS, STEP_V
from groundstrap.solve.results import Point
from groundstrap.solve.topology import Topology
from groundstrap.solve.written import load_watts, write_down

_MOST_STEPS: Final = 10
_MOST_INVERSIONS: Final = 60


def solve_plainly(
    network: Network, topology: Topology, parameters: Parameters, *, heat: bool
) -> Point | None:
    """Return the working point of one case, or None where that takes more than the ordinary course."""
    try:
        case, code = prepare_case(topology, parameters), code_for(topology)
        hot = heat and any(case.kappa)
        if case.closed is not None:
            _switch_off_starved(case, code)
        state = _one_way(case, code, _start(case), hot=False, loose=hot)
        if state is not None and hot:
            state.hot_a = [state.chain_a[chain] for chain in topology.heated_chains]
            state = _one_way(case, code, state, hot=True, loose=False)
        return None if state is None else write_down(network, case, code, state, parameters, heat=heat)
    except (ZeroDivisionError, OverflowError, ValueError):
        return None


def _start(case: Case) -> State:
    topology = case.topology
    chains = len(topology.chains)
    return State(
        node_v=[0.0] * len(topology.kept),
        chain_a=[0.0] * chains,
        active_v=[case.highest_v] * topology.actives,
        hot_a=[0.0] * topology.heated.chains.size,
        charging=[False] * len(topology.cells),
        off=[source[1] <= 0 for source in case.sources],
        iterations=0,
        conductance_s=[0.0] * chains,
        source_a=[0.0] * chains,
        ohm=case.cold_ohm,
        offset_v=[0.0] * chains,
        heat_ohm=[],
        heat_v=[],
    )


def _switch_off_starved(case: Case, code: Code) -> None:
    """See ``decide._switch_off_starved``."""
    topology = case.topology
    watts, amps = case.watts, case.amps
    if case.closed is None or not (any(watts) or any(amps)):
        return
    case.watts, case.amps, state = [0.0] * len(watts), [0.0] * len(amps), _start(case)
    if not _newton(case, code, state, hot=False, loose=False, idle_first=True):
        raise ValueError("left to the block code")
    case.watts, case.amps = watts, amps
    starved = [c for c in range(topology.powers) if state.active_v[c] < STARVED_V]
    for position, chain in enumerate(range(topology.current_span.start, topology.current_span.stop)):
        start, end = topology.chains[chain].start, topology.chains[chain].end
        if state.node_v[start] - state.node_v[end] < STARVED_V and amps[position] > 0:
            starved.append(chain)
    if starved:
        for chain in starved:
            case.closed[chain] = False
        reach_case(case)


def _one_way(case: Case, code: Code, start: State, *, hot: bool, loose: bool) -> State | None:
    """See ``decide._one_way``; None where no point is found or a source is off that should not be."""
    state = start
    first = case.topology.regulated_span.start
    off = state.off.copy()
    for _ in range(len(case.sources) + 1):
        if not _newton(case, code, state, hot=hot, loose=loose, idle_first=not hot):
            return None
        over_v = [state.active_v[first + k] - source[0] for k, source in enumerate(case.sources)]
        if any(
            is_off and v < -ABSORBS_ABOVE_V and s[1] > 0
            for is_off, v, s in zip(off, over_v, case.sources, strict=True)
        ):
            return None
        absorbing = [k for k, v in enumerate(over_v) if v > ABSORBS_ABOVE_V and not off[k]]
        if not absorbing:
            return state
        for k in absorbing:
            off[k] = True
        if hot:
            state.off = off.copy()
        else:
            iterations, state = state.iterations, _start(case)
            state.off, state.iterations = off.copy(), iterations
    return None


def _newton(case: Case, code: Code, state: State, *, hot: bool, loose: bool, idle_first: bool) -> bool:
    """See ``kernel.newton``; False where it does not end quickly with a point."""
    before_v = float("inf")
    idle = [0.0] * len(case.watts)
    watts = idle if idle_first else load_watts(case, state)
    for step in range(_MOST_STEPS):
        state.iterations += 1
        limited = _tangents(case, code, state, watts, hot=hot, secant=step < SECANT_STEPS)
        if limited is None:
            return False
        node_v = code.nodes(state.conductance_s, state.source_a, case.pins)
        if node_v is None:
            return False
        moved_v = _advance(case, state, node_v, limited, hot=hot)
        if watts and min(state.active_v[: len(watts)]) <= 0 and _collapsed(case, state):
            return False
        after = watts
        if case.topology.converters or idle_first:
            after = load_watts(case, state)
        if case.topology.converters:
            changes = (abs(new - old) / (1 + old) for new, old in zip(after, watts, strict=True))
            moved_v = max(moved_v, *changes)
        if not (idle_first and step == 0 and watts) and _still(moved_v, before_v, step, loose=loose):
            return True
        before_v, watts = moved_v, after
    return False


def _collapsed(case: Case, state: State) -> bool:
    """Whether a load that takes power stands at or below 0 V."""
    return any(w > 0 and v <= 0 for w, v in zip(case.watts, state.active_v, strict=False))


def _still(moved_v: float, before_v: float, step: int, *, loose: bool) -> bool:
    if moved_v < STEP_V:
        return True
    if step <= SECANT_STEPS or not moved_v < before_v < QUADRATIC_BELOW_V:
        return False
    ratio = moved_v / before_v
    return moved_v * ratio * ratio < NEXT_STEP_V or (loose and moved_v < COLD_ENOUGH_V and ratio < CONTRACTS)


def _tangents(
    case: Case, code: Code, state: State, watts: list[float], *, hot: bool, secant: bool
) -> list[bool] | None:
    """Fill in the tangent of each chain; None for a pivot that is not positive, else what is limited."""
    topology = case.topology
    offset_v = [0.0] * len(topology.chains)
    if hot:
        ohm = case.linear_ohm.copy()
        state.heat_ohm, state.heat_v = code.heat(case.heat_ohm, case.kappa, state.hot_a)
        for chain, part_ohm, part_v in zip(
            topology.heated.chain_of, state.heat_ohm, state.heat_v, strict=False
        ):
            ohm[chain] += part_ohm
            offset_v[chain] = part_v
    else:
        ohm = case.cold_ohm.copy()
    for cell, emf_v, ohms, charging in zip(
        topology.cells, case.emf_v, case.ohms, state.charging, strict=True
    ):
        ohm[cell.chain] += ohms[charging]
        offset_v[cell.chain] += emf_v
    state.ohm, state.offset_v = ohm, offset_v
    limited = _active(case, state, watts, secant=secant)
    if limited is None:
        return None
    conductance_s, source_a = state.conductance_s, state.source_a
    for chain in range(topology.current_span.stop, len(ohm)):
        conductance = 1.0 / ohm[chain]
        conductance_s[chain] = conductance
        source_a[chain] = -offset_v[chain] * conductance
    if case.carries is not None:
        for chain, carries in enumerate(case.carries):
            if not carries:
                conductance_s[chain] = source_a[chain] = 0.0
    return limited


def _active(case: Case, state: State, watts: list[float], *, secant: bool) -> list[bool] | None:
    """Chains with an active part; see ``kernel._active``."""
    conductance_s, source_a = state.conductance_s, state.source_a
    ohm, offset_v, active_v = state.ohm, state.offset_v, state.active_v
    for chain, power_w in enumerate(watts):
        volts = active_v[chain]
        amps = power_w / volts if power_w else 0.0
        slope = -amps / volts if power_w else 0.0
        pivot = 1.0 + slope * ohm[chain]
        if not pivot > 0:
            return None
        conductance_s[chain] = slope / pivot
        source_a[chain] = (2.0 * amps - slope * offset_v[chain]) / pivot
    chain = len(watts)
    for factor, exponent in case.laws:
        volts = max(active_v[chain], POWER_LAW_FLOOR_V)
        amps = factor * volts**exponent
        steep = 1.0 if active_v[chain] < POWER_LAW_FLOOR_V else max(exponent, 1.0) if secant else exponent
        slope = steep * amps / volts
        pivot = 1.0 + slope * ohm[chain]
        conductance_s[chain] = slope / pivot
        source_a[chain] = (amps - slope * volts - slope * offset_v[chain]) / pivot
        chain += 1
    limited = []
    for (set_v, limit_a, droop_s), off in zip(case.sources, state.off, strict=True):
        at_limit = (set_v - active_v[chain]) * droop_s > limit_a
        slope = 0.0 if at_limit or off else droop_s
        amps = 0.0 if off else -limit_a if at_limit else -set_v * droop_s
        pivot = 1.0 + slope * ohm[chain]
        conductance_s[chain] = slope / pivot
        source_a[chain] = (amps - slope * offset_v[chain]) / pivot
        limited.append(at_limit)
        chain += 1
    for amps in case.amps:
        conductance_s[chain], source_a[chain] = 0.0, amps
        chain += 1
    return limited


def _advance(case: Case, state: State, node_v: list[float], limited: list[bool], *, hot: bool) -> float:
    """Move the state to the solved volts; return how far the laws' own volts moved (inf across a kink).

    Volts found on the wrong side of a kink may lie far below the answer: loads stay where they are then.
    """
    topology = case.topology
    across_v = [node_v[start] - node_v[end] for start, end in topology.ends_of]
    chain_a = [
        conductance * volts + source
        for conductance, volts, source in zip(state.conductance_s, across_v, state.source_a, strict=True)
    ]
    active_v = [
        volts - ohm * amps - offset
        for volts, ohm, amps, offset, _ in zip(
            across_v, state.ohm, chain_a, state.offset_v, state.active_v, strict=False
        )
    ]
    smooth = topology.regulated_span.start
    steps_v = [abs(new - old) for new, old in zip(active_v[:smooth], state.active_v, strict=False)]
    moved_v = max(steps_v, default=0.0)
    if hot:
        moved_v = max(moved_v, _advance_heat(case, state, chain_a))
    for index, cell in enumerate(topology.cells):
        charging = chain_a[cell.chain] * cell.sign > 0
        if charging != state.charging[index]:
            kink_ohm = case.ohms[index][1] - case.ohms[index][0]
            if abs(chain_a[cell.chain] * kink_ohm) > NEXT_STEP_V:
                moved_v = float("inf")
            state.charging[index] = charging
    for chain, source, was, off in zip(
        range(topology.regulated_span.start, topology.actives), case.sources, limited, state.off, strict=True
    ):
        if not off and ((source[0] - active_v[chain]) * source[2] > source[1]) != was:
            moved_v = float("inf")
    if moved_v == float("inf"):
        active_v[:smooth] = state.active_v[:smooth]
    state.node_v, state.chain_a, state.active_v = node_v, chain_a, active_v
    return moved_v


def _advance_heat(case: Case, state: State, chain_a: list[float]) -> float:
    """Move the currents that heat is taken at; return how far the volts of the conductors moved."""
    hot_a = [chain_a[chain] for chain in case.topology.heated_chains]
    for index, (kappa, amps) in enumerate(zip(case.hottest, hot_a, strict=True)):
        if kappa * amps * amps > HOT_SHARE:
            hot_a[index] = _current_at(case, index, state.heat_ohm[index] * amps + state.heat_v[index])
    steps_v = [abs(new - was) * ohm for new, was, ohm in zip(hot_a, state.hot_a, state.heat_ohm, strict=True)]
    state.hot_a = hot_a
    return max(steps_v, default=0.0)


def _current_at(case: Case, index: int, heat_v: float) -> float:
    """See ``kernel._current_at``. [A]"""
    parts = [
        (case.heat_ohm[first + index], case.kappa[first + index])
        for first, last in case.topology.heated.spans
        if index < last - first
    ]
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
