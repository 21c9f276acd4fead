"""One case in plain numbers: the steps of ``kernel`` and ``decide``, for the ordinary course of things.

Whatever is out of the ordinary (no working point, a path to be followed, slow convergence, a check that
fails) is left to the block code, which decides; then the answer is None here.
"""

import math
from collections.abc import Mapping
from typing import Final

from groundstrap.records import dataclass, replace
from groundstrap.solve.case import Case, State, prepare_case, reach_case, with_ohms
from groundstrap.solve.decide import ABSORBS_ABOVE_V, STARVED_V
from groundstrap.solve.generate import stride_for
from groundstrap.solve.kernel import NEXT_STEP_V
from groundstrap.solve.network import Network, Parameters
from groundstrap.solve.newton import (
    COLD_ENOUGH_V,
    CONTRACTS,
    FORESEEN_BELOW_V,
    HOT_NEAR_V,
    LEAST_FEEDBACK,
    MOST_FEEDBACK,
    QUADRATIC_BELOW_V,
    SECANT_STEPS,
    STEP_PART,
    STEP_V,
    STEP_W,
)
from groundstrap.solve.results import Point
from groundstrap.solve.stride_text import TakesStride
from groundstrap.solve.topology import Topology
from groundstrap.solve.written import load_watts, write_down

#: What tells that a case is left to the block code.
OUT_OF_THE_ORDINARY: Final = (ZeroDivisionError, OverflowError, ValueError)
_MOST_STEPS: Final = 10
_Powers = tuple[list[float], list[float]]


@dataclass(frozen=True, slots=True)
class Stand:
    """A case with the state that it ended in."""

    case: Case
    state: State


def solve_plainly(
    network: Network, topology: Topology, parameters: Parameters, *, heat: bool
) -> Point | None:
    """Return the working point of one case, or None where that takes more than the ordinary course."""
    stand = stand_plainly(topology, parameters, heat=heat)
    return None if stand is None else point_at(network, stand, heat=heat)


def point_at(network: Network, stand: Stand, *, heat: bool = True) -> Point | None:
    """Return the point at which a case ended; None where a check fails."""
    try:
        return write_down(network, stand.case, stand.state, heat=heat)
    except OUT_OF_THE_ORDINARY:
        return None


def stand_plainly(topology: Topology, parameters: Parameters, *, heat: bool) -> Stand | None:
    """Return where one case ends, not checked yet; None where it is out of the ordinary."""
    try:
        return _stand_plainly(topology, parameters, heat=heat)
    except OUT_OF_THE_ORDINARY:
        return None


def _stand_plainly(topology: Topology, parameters: Parameters, *, heat: bool) -> Stand | None:
    case, take_stride = fed_case(topology, parameters), stride_for(topology)
    hot = heat and any(case.hottest)
    state = _cold(case, take_stride, loose=hot)
    if state is not None and hot:
        state.hot_a = [state.chain_a[chain] for chain in topology.heated_chains]
        state = _one_way(case, take_stride, state, hot=True, loose=False)
    return None if state is None else Stand(case, state)


def fed_case(topology: Topology, parameters: Parameters) -> Case:
    """Lay out one case, its starved loads switched off; an error where that is out of the ordinary."""
    case = prepare_case(topology, parameters)
    if case.closed is not None:
        _switch_off_starved(case, stride_for(topology))
    return case


def stand_near(stand: Stand, changed: Mapping[int, tuple[float, ...]]) -> Stand | None:
    """Return where a case ends that differs from one with heat, which stands alone, in some conductors.

    Newton's method begins where that one ended. What it finds counts where nothing else can be found from
    above: no load is starved, and each source gives less than its limit and is as it was, off or on, and so
    each battery. With such lines of its sources a network has one stable point, and only such are found.
    """
    found = stand_from(stand, with_ohms(stand.case, changed))
    return found if found is not None and stands_alone(found) else None


def stand_from(stand: Stand, case: Case) -> Stand | None:
    """Return where a case with heat ends by Newton's method from another one of the same shape.

    None where a source or a battery ends otherwise, off or on, than it was there.
    """
    before = stand.state
    if not any(case.hottest):
        return None
    begun = replace(before, charging=before.charging.copy(), off=before.off.copy(), iterations=0)
    state = _one_way(case, stride_for(case.topology), begun, hot=True, loose=False)
    if state is None or state.off != before.off or state.charging != before.charging:
        return None
    return Stand(case, state)


def stands_alone(stand: Stand) -> bool:
    """Whether no load that runs is starved and no source that gives is at its limit."""
    case, state = stand.case, stand.state
    topology = case.topology
    first = topology.regulated_span.start
    for (set_v, limit_a, droop_s), off, volts in zip(
        case.sources, state.off, state.active_v[first:], strict=True
    ):
        if limit_a > 0 and not off and (set_v - volts) * droop_s >= limit_a:
            return False
    span = topology.current_span
    across_v = (state.node_v[chain.start] - state.node_v[chain.end] for chain in topology.chains[span])
    return all(
        volts >= STARVED_V or not takes
        for takes, volts in zip(
            (*case.watts, *case.amps), (*state.active_v[: topology.powers], *across_v), strict=True
        )
    )


def _start(case: Case) -> State:
    topology = case.topology
    chains = len(topology.chains)
    return State(
        node_v=[0.0] * len(topology.kept),
        chain_a=[0.0] * chains,
        active_v=[case.highest_v] * topology.actives,
        hot_a=[0.0] * topology.heated.chains.size,
        charging=[abs(emf_v) < case.highest_v for emf_v in case.emf_v],
        off=[source[1] <= 0 for source in case.sources],
        iterations=0,
        conductance_s=[0.0] * chains,
        ohm=case.cold_ohm,
    )


def _switch_off_starved(case: Case, take_stride: TakesStride) -> None:
    """See ``decide._switch_off_starved``."""
    topology = case.topology
    watts, amps = case.watts, case.amps
    if case.closed is None or not (any(watts) or any(amps)):
        return
    idle = replace(case, watts=[0.0] * len(watts), amps=[0.0] * len(amps))
    state = _at_rest(idle, take_stride)
    starved = [c for c in range(topology.powers) if state.active_v[c] < STARVED_V]
    for position, chain in enumerate(range(topology.current_span.start, topology.current_span.stop)):
        start, end = topology.chains[chain].start, topology.chains[chain].end
        if state.node_v[start] - state.node_v[end] < STARVED_V and amps[position] > 0:
            starved.append(chain)
    if starved:
        for chain in starved:
            case.closed[chain] = False
        reach_case(case)


def _at_rest(case: Case, take_stride: TakesStride) -> State:
    """Return where a case without loads stands; an error where it is left to the block code.

    Batteries that hold each other up at rest flip between their lines, and then one line serves for both:
    what a load sees that is starved is next to nothing on either.
    """
    stiff = replace(case, ohms=[(discharge_ohm, discharge_ohm) for discharge_ohm, _ in case.ohms])
    for some in (case, stiff):
        state = _start(some)
        try:
            if _newton(some, take_stride, state, hot=False, loose=False, idle_first=True):
                return state
        except _Unsettled:
            continue
    raise ValueError("left to the block code")


class _Unsettled(ValueError):
    """Newton's steps neither ended at a point nor lost it."""


def _cold(case: Case, take_stride: TakesStride, *, loose: bool) -> State | None:
    """Return the cold point from above; where the plain course loses it, line by line."""
    try:
        state = _one_way(case, take_stride, _start(case), hot=False, loose=loose)
    except _Unsettled:
        state = None
    # Lamps bend the other way: of them a lost pivot proves nothing.
    if state is not None or any(exponent < 1 for _, exponent in case.laws):
        return state
    charging = _all_charge(case, take_stride, loose=loose)
    return charging if charging is not None else _fall(case, take_stride, loose=loose)


def _all_charge(case: Case, take_stride: TakesStride, *, loose: bool) -> State | None:
    """Return the point at which each battery that is weaker than a source charges, but for those that cannot.

    Each has its charging line for good, and so no kink throws Newton to and fro.
    """
    highest_v = case.highest_v
    charges = [abs(emf_v) < highest_v for emf_v in case.emf_v]
    while True:
        ohms = [(c, c) if on else (d, c) for on, (d, c) in zip(charges, case.ohms, strict=True)]
        state = _behind_inputs(replace(case, ohms=ohms), take_stride, loose=loose)
        if state is None or all(now or not on for now, on in zip(state.charging, charges, strict=True)):
            return state
        charges = [now and on for now, on in zip(state.charging, charges, strict=True)]


def _fall(case: Case, take_stride: TakesStride, *, loose: bool) -> State | None:
    """Return the point where batteries give what sources at their limit do not; see ``decide._fallen``."""
    held = [charge_ohm > discharge_ohm for discharge_ohm, charge_ohm in case.ohms]
    while any(held):
        ohms = [(d, d) if hold else (d, c) for hold, (d, c) in zip(held, case.ohms, strict=True)]
        state = _behind_inputs(replace(case, ohms=ohms), take_stride, loose=loose)
        if state is None or not any(hold and now for hold, now in zip(held, state.charging, strict=True)):
            return state
        held = [hold and not now for hold, now in zip(held, state.charging, strict=True)]
    return None


def _behind_inputs(case: Case, take_stride: TakesStride, *, loose: bool) -> State | None:
    """Solve from above; which sources absorb is found while converters give without taking.

    A source that will stand by absorbs at first all that a converter can give beside it, and its input would
    then ask for more than there is.
    """
    begin = _start(case)
    if case.topology.converters:
        free = replace(case, efficiency=[math.inf] * len(case.efficiency))
        ahead = _one_way(free, take_stride, _start(free), hot=False, loose=True)
        if ahead is None:
            return None
        begin.off = ahead.off
    return _one_way(case, take_stride, begin, hot=False, loose=loose)


def _one_way(case: Case, take_stride: TakesStride, start: State, *, hot: bool, loose: bool) -> State | None:
    """See ``decide._one_way``; None where no point is found or a source is off that should not be."""
    state = start
    first = case.topology.regulated_span.start
    off = state.off.copy()
    for _ in range(len(case.sources) + 1):
        if not _newton(case, take_stride, state, hot=hot, loose=loose, idle_first=not hot):
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


def _newton(
    case: Case, take_stride: TakesStride, state: State, *, hot: bool, loose: bool, idle_first: bool
) -> bool:
    """See ``newton.newton``; False where it loses the point."""
    before_v, before_w = math.inf, None
    idle = [0.0] * len(case.watts)
    watts = idle if idle_first else load_watts(case, state)
    ohm = case.linear_ohm if hot else case.cold_ohm
    begin = 1 if hot or not case.laws else SECANT_STEPS
    for step in range(_MOST_STEPS):
        secant = not hot and step < begin
        stride = take_stride(
            case, ohm, watts, state.active_v, state.hot_a, state.charging, state.off, hot, secant
        )
        if stride is None:
            return False
        moved_v = state.take(stride)
        given = load_watts(case, state)
        if watts and min(state.active_v[: len(watts)]) <= 0 and _collapsed(given, state):
            return False
        law_v = moved_v
        if case.topology.converters:
            changes = (abs(new - old) / (1 + old) for new, old in zip(given, watts, strict=True))
            moved_v = max(moved_v, *changes)
        still = not (idle_first and step == 0 and watts) and _still(
            moved_v, before_v, tells=step > begin, hot=hot, loose=loose
        )
        if still and (loose or _settled(given, watts)):
            return True
        after = _foreseen(case, before_w, (watts, given), law_v) if case.topology.converters else given
        if law_v < math.inf or before_w is None:
            before_w = watts, given
        before_v, watts = moved_v, after
    raise _Unsettled


def _foreseen(case: Case, before: _Powers | None, now: _Powers, moved_v: float) -> list[float]:
    """See ``newton._foreseen``; of both steps, what loads took and were then said to take."""
    watts, given = now
    after = given.copy()
    for entry, _ in case.topology.converters:
        if moved_v == math.inf:
            after[entry] = watts[entry]
        elif before is not None and moved_v < FORESEEN_BELOW_V and watts[entry] != before[0][entry]:
            feedback = (given[entry] - before[1][entry]) / (watts[entry] - before[0][entry])
            if LEAST_FEEDBACK < feedback < MOST_FEEDBACK:
                after[entry] = max(watts[entry] + (given[entry] - watts[entry]) / (1.0 - feedback), 0.0)
    return after


def _settled(after: list[float], watts: list[float]) -> bool:
    """Whether the inputs of converters take what they were said to take."""
    return after is watts or all(
        abs(new - old) <= STEP_W + STEP_PART * new for new, old in zip(after, watts, strict=True)
    )


def _collapsed(watts: list[float], state: State) -> bool:
    """Whether a load that takes power stands at or below 0 V."""
    return any(w > 0 and v <= 0 for w, v in zip(watts, state.active_v, strict=False))


def _still(moved_v: float, before_v: float, *, tells: bool, hot: bool, loose: bool) -> bool:
    if moved_v < STEP_V:
        return True
    if not tells or not moved_v < before_v < QUADRATIC_BELOW_V:
        return False
    ratio = moved_v / before_v
    if moved_v * ratio * ratio < NEXT_STEP_V and not (hot and moved_v >= HOT_NEAR_V):
        return True
    return loose and moved_v < COLD_ENOUGH_V and ratio < CONTRACTS
