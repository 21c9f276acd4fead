"""Whether a row has a working point, cold and hot, and which: Newton, and paths where it says no.

Cold and hot are two questions. The cold point is where the job switches on; from it Newton goes on with
heat in the conductors. Each 'no' of Newton is confirmed on a path: the share of the constant-power loads
goes from 0 to 1 in steps that are halved where they fail. Where even the least step fails, the point has
ceased to exist.
"""

from typing import Final

import numpy as np

from groundstrap.records import dataclass, replace
from groundstrap.solve.block import Block, State, never_on, reach_rows, start_state
from groundstrap.solve.kernel import with_heat
from groundstrap.solve.network import Array, Flags
from groundstrap.solve.newton import Run, newton
from groundstrap.solve.results import Codes, Status
from groundstrap.solve.topology import Indices

#: Loads of constant power or current that would see less are off in rows with open parts (own judgement).
STARVED_V: Final = 1.0
ABSORBS_ABOVE_V: Final = 1e-9
_FIRST_STEP: Final = 0.5
LEAST_STEP: Final = 1e-6
# Far from the end of the path a failure needs less proof than close to it.
_LEAST_PART_OF_REST: Final = 1e-2
_GROWTH: Final = 2.0
_STRIDE_AFTER_PROBE: Final = 16.0
_FIRST_HOLD_S: Final = 100.0
_LET_GO_S: Final = 1e-3
_HELD_MOVE_V: Final = 0.1
_MOST_HELD_STEPS: Final = 300
_PATH_STEPS: Final = 24
# A converter's input finds its power beside the volts, and half steps may be needed for both.
_PATH_STEPS_WITH_CONVERTERS: Final = 60


@dataclass(slots=True)
class Decision:
    """The state of each row where one was found, and its status."""

    state: State
    status_code: Codes


@dataclass(slots=True)
class PathEnd:
    """Where each row's path ended: its last good state and the share reached (-1: not even without loads)."""

    state: State
    share: Array


def full_share(block: Block) -> Array:
    """Return the share 1 for each constant-power load."""
    return np.ones_like(block.watts)


def decide(block: Block, *, heat: bool) -> Decision:
    """Decide every row of a block."""
    with np.errstate(all="ignore"):
        _switch_off_starved(block)
        hot = heat and block.heats
        cold = _confirmed(block, _cold(block, loose=hot))
        codes = np.full(block.rows, Status.NO_WORKING_POINT.code, np.int8)
        codes[cold.found] = Status.FOUND.code
        if not hot:
            codes[~cold.found & ~cold.gone] = Status.UNSOLVED.code
            return Decision(cold.state, codes)
        started = np.flatnonzero(cold.found)
        some = block.take(started)
        run = _hot(some, cold.state.take(started))
        doubtful = started[~run.found | _misses(some, run.state)]
        begin = cold.state.take(doubtful)
        cold.state.put(started, run.state)
        _follow_hot(block, Decision(cold.state, codes), (doubtful, begin), np.flatnonzero(~cold.found))
        return Decision(cold.state, codes)


def _follow_hot(
    block: Block, decision: Decision, doubtful: tuple[Indices, State], unstarted: Indices
) -> None:
    """Confirm along paths with heat what became of some rows: those in doubt, those without a cold point.

    Rows in doubt go two ways: from their cold points along the heat, and from rest along the loads, as those
    without a cold point do. All go together: what a step costs is for few rows the same as for many.
    """
    lost, cold = doubtful
    loaded = np.concatenate((lost, unstarted))
    if not loaded.size:
        return
    warming, loading = _warming(block.take(lost), cold), _loading(block.take(loaded), hot=True)
    ends = _walk(block.take(np.concatenate((lost, loaded))), warming.beside(loading))
    codes, share = decision.status_code, ends.share
    warmed, begun = share[: lost.size] >= 1, share[lost.size : 2 * lost.size]
    no_code = np.where(begun >= 0, Status.TOO_HOT.code, Status.UNSOLVED.code)
    codes[lost] = np.where(warmed | (begun >= 1), Status.FOUND.code, no_code)
    decision.state.put(lost, ends.state, np.arange(lost.size) + np.where(warmed, 0, lost.size))
    codes[unstarted[share[2 * lost.size :] >= 1]] = Status.DOES_NOT_START_COLD.code


def decide_plainly(block: Block, *, heat: bool) -> Decision:
    """Decide the rows in which Newton finds a point; the others are left unsolved, for ``decide``."""
    with np.errstate(all="ignore"):
        _switch_off_starved(block)
        hot = heat and block.heats
        run = _cold(block, loose=hot)
        found = run.found & ~_misses(block, run.state)
        if hot:
            run = _hot(block, run.state, only=found)
            found = run.found & ~_misses(block, run.state)
        codes = np.where(found, Status.FOUND.code, Status.UNSOLVED.code).astype(np.int8)
        return Decision(run.state, codes)


def _switch_off_starved(block: Block) -> None:
    """Where parts are open, switch off loads that would see next to nothing without any of them running.

    A dead feed is often still joined to both sides of the supply, by other loads on it and by two returns;
    what those leave across a load are millivolts, and a load does not run on millivolts.
    """
    topology = block.topology
    if block.closed is None or not (block.watts.any() or block.amps.any()):
        return
    idle = replace(block, amps=np.zeros_like(block.amps))
    state = newton(idle, start_state(idle), np.zeros_like(block.watts), hot=False).state
    across_v = state.node_v[topology.starts] - state.node_v[topology.ends]
    across_v[: topology.powers] = state.active_v[: topology.powers]
    starved = across_v < STARVED_V
    for span in (
        slice(topology.powers, topology.current_span.start),
        slice(topology.current_span.stop, None),
    ):
        starved[span] = False
    starved[topology.current_span] &= block.amps > 0
    if starved.any():
        block.closed = block.closed & ~starved
        reach_rows(block)


def _cold(block: Block, *, loose: bool) -> Run:
    """Solve from above; where that fails, from above again for a point below the kinks of the batteries."""
    run = _one_way(block, start_state(block), hot=False, loose=loose)
    # Which batteries are stiff both ways: one of those that is found to charge does so on its own line.
    stiff = (block.charge_ohm > block.discharge_ohm) & run.gone
    left = np.flatnonzero(stiff.any(axis=0))
    while left.size:
        some, held = block.take(left), stiff[:, left]
        some.charge_ohm = np.where(held, some.discharge_ohm, some.charge_ohm)
        lower = _one_way(some, start_state(some), hot=False, loose=loose)
        charges = held & lower.state.charging
        stands = lower.found & ~charges.any(axis=0)
        _replace(run, left[stands], lower.take(stands))
        stiff[:, left] = held & ~charges
        left = left[lower.found & charges.any(axis=0)]
    return run


def _hot(block: Block, cold: State, *, only: Flags | None = None) -> Run:
    """Go on from the cold point with heat; sources that should no longer stand by are tried again."""
    cold = with_heat(block, cold)
    run = _one_way(block, cold, hot=True, only=only)
    wrong = run.found & _misses(block, run.state)
    if wrong.any():
        rows = np.flatnonzero(wrong)
        some, state = block.take(rows), cold.take(rows)
        state.off = never_on(some)
        _replace(run, rows, _one_way(some, state, hot=True))
    return run


def _replace(run: Run, rows: Indices, other: Run) -> None:
    run.state.put(rows, other.state)
    run.found[rows], run.gone[rows] = other.found, other.gone


def _one_way(block: Block, start: State, *, hot: bool, loose: bool = False, only: Flags | None = None) -> Run:
    """Solve, switch off for good what absorbs, solve again from above: absorbers only drag volts down."""
    run = newton(block, start, full_share(block), hot=hot, no_load_first=not hot, loose=loose, only=only)
    for _ in range(block.set_v.shape[0]):
        absorbs = _absorbers(block, run.state) & run.found
        rows = np.flatnonzero(absorbs.any(axis=0))
        if not rows.size:
            break
        some, state = block.take(rows), start.take(rows)
        state.off = run.state.off[:, rows] | absorbs[:, rows]
        state.iterations = run.state.iterations[rows]
        _replace(
            run, rows, newton(some, state, full_share(some), hot=hot, no_load_first=not hot, loose=loose)
        )
    return run


def _absorbers(block: Block, state: State) -> Flags:
    over_v = state.active_v[block.topology.regulated_span] - block.set_v
    absorbs: Flags = (over_v > ABSORBS_ABOVE_V) & ~state.off
    return absorbs


def _misses(block: Block, state: State) -> Flags:
    """In which rows a source is off although the rest stands below its voltage."""
    under_v = block.set_v - state.active_v[block.topology.regulated_span]
    missing: Flags = (under_v > ABSORBS_ABOVE_V) & state.off & ~never_on(block)
    misses: Flags = np.logical_or.reduce(missing, axis=0)
    return misses


def _confirmed(block: Block, run: Run) -> Run:
    """Follow the cold path where Newton found nothing, or where a source is off that should not be."""
    rows = np.flatnonzero(~run.found | _misses(block, run.state))
    if not rows.size:
        return run
    some = block.take(rows)
    ends = _walk(some, _loading(some, hot=False))
    reached = ends.share >= 1
    run.state.put(rows, ends.state)
    run.found[rows] = reached
    run.gone[rows] = ~reached & (ends.share >= 0)
    return run


@dataclass(slots=True)
class _Way:
    """A path for each row: where it begins, the share of each load and the part of all heat from there on.

    Each is a ``first`` value and what is added to it on the way from 0 to 1.
    """

    start: Run
    first_share: Array
    more_share: Array
    first_heat: Array
    more_heat: Array
    hot: bool

    def beside(self, other: "_Way") -> "_Way":
        """Return the rows of both, one after another."""
        found = np.concatenate((self.start.found, other.start.found))
        return _Way(
            start=Run(self.start.state.beside(other.start.state), found, ~found),
            first_share=np.hstack((self.first_share, other.first_share)),
            more_share=np.hstack((self.more_share, other.more_share)),
            first_heat=np.concatenate((self.first_heat, other.first_heat)),
            more_heat=np.concatenate((self.more_heat, other.more_heat)),
            hot=self.hot,
        )

    def solve(self, block: Block, rows: Indices, state: State, part: Array, *, loose: bool | Flags) -> Run:
        """Solve some rows of the path, in a block of their own, from a state and at a point of the path."""
        share = self.first_share[:, rows] + part * self.more_share[:, rows]
        if self.hot:
            heat = self.first_heat[rows] + part * self.more_heat[rows]
            block.kappa, block.hottest = block.kappa * heat, block.hottest * heat
        steps = _PATH_STEPS_WITH_CONVERTERS if block.topology.converters else _PATH_STEPS
        return newton(block, state, share, hot=self.hot, clipped=True, loose=loose, most=steps)


def _loading(block: Block, *, hot: bool) -> _Way:
    """From no constant-power load to all of it."""
    start, none = at_rest(block, hot=hot), np.zeros_like(block.watts)
    return _loads_on(start, none, full_share(block), hot=hot)


def _loads_on(start: Run, base: Array, direction: Array, *, hot: bool) -> _Way:
    everywhere = np.ones_like(start.found, float)
    return _Way(start, base, direction, everywhere, np.zeros_like(everywhere), hot)


def _warming(block: Block, cold: State, share: Array | None = None) -> _Way:
    """From no heat of the conductors to all of it, at a share of each load (None: all of it).

    Sources decide for themselves on the way whether they give.
    """
    state = cold.copy()
    state.off = never_on(block)
    everywhere = np.ones(block.rows, np.bool_)
    share = full_share(block) if share is None else share
    heat = np.zeros(block.rows)
    return _Way(Run(state, everywhere, ~everywhere), share, np.zeros_like(share), heat, heat + 1.0, hot=True)


def at_rest(block: Block, *, hot: bool) -> Run:
    """Return the point without constant-power loads, each source deciding for itself whether it delivers."""
    none = np.zeros_like(block.watts)
    rest = newton(block, start_state(block), none, hot=False)
    _clip_at_rest(block, rest)
    if not hot:
        return rest
    warm = newton(block, rest.state, none, hot=True, clipped=True)
    for another_way in (_warm_at_rest, _held_back):
        rows = np.flatnonzero(~warm.found & rest.found)
        if rows.size:
            _replace(warm, rows, another_way(block.take(rows), rest.state.take(rows)))
    return warm


def _clip_at_rest(block: Block, rest: Run) -> None:
    """Take the absorbers off at no load, then let each source decide for itself on the way."""
    none = np.zeros_like(block.watts)
    for _ in range(block.set_v.shape[0]):
        absorbs = _absorbers(block, rest.state)
        rows = np.flatnonzero(absorbs.any(axis=0))
        if not rows.size:
            break
        some, state = block.take(rows), start_state(block.take(rows))
        state.off = rest.state.off[:, rows] | absorbs[:, rows]
        _replace(rest, rows, newton(some, state, none[:, rows], hot=False))
    rest.state.off = never_on(block)


def _warm_at_rest(block: Block, cold: State) -> Run:
    ends = _walk(block, _warming(block, cold, np.zeros_like(block.watts)))
    return Run(ends.state, ends.share >= 1, ends.share < 1)


def _held_back(block: Block, cold: State) -> Run:
    """Without constant-power loads: tie each node to where it stands, less and less as the moves get small.

    A source at its limit that pushes into a conductor close to the most it can carry is where Newton swings
    widely. Held back like this it goes down the co-content, which is convex here, in small steps.
    """
    state, none = cold.copy(), np.zeros_like(block.watts)
    state.off = never_on(block)
    pins = np.zeros_like(state.node_v) if block.pins is None else block.pins
    hold_s = np.full(block.rows, _FIRST_HOLD_S)
    for _ in range(_MOST_HELD_STEPS):
        was_v = state.node_v
        tied = replace(block, pins=pins + hold_s, inflow_a=hold_s * was_v)
        block.stride(tied, state, none, secant=False, hot=True, clipped=True, halve=None)
        move_v = np.abs(state.node_v - was_v).max(axis=0)
        hold_s = np.where(move_v > _HELD_MOVE_V, 2.0 * hold_s, 0.7 * hold_s)
        if (hold_s < _LET_GO_S).all():
            break
    return newton(block, state, none, hot=True, clipped=True)


def follow_from(
    block: Block,
    start: Run,
    base: Array,
    direction: Array,
    *,
    hot: bool,
    furthest: float = 1.0,
    exact: bool = False,
) -> PathEnd:
    """Follow the point while the share of each load is ``base`` plus a growing part of ``direction``.

    ``exact`` asks for the end of the path to a millionth, not just whether it is beyond 1.
    """
    return _walk(block, _loads_on(start, base, direction, hot=hot), furthest=furthest, exact=exact)


def _walk(block: Block, way: _Way, *, furthest: float = 1.0, exact: bool = False) -> PathEnd:
    """Take a point from 0 on in growing steps; once one fails, halve what lies between.

    At the end one step past the failure is tried from close by: what failed from afar may succeed from there;
    and last, whether the volts merely fall over the kink of a battery.
    """
    start = way.start
    state, reached = start.state.copy(), np.where(start.found, 0.0, -1.0)
    failed, step = np.full(block.rows, np.inf), np.full(block.rows, _FIRST_STEP)
    over = ~start.found
    while True:
        rows = np.flatnonzero(~over & (reached < furthest))
        if not rows.size:
            break
        width = failed[rows] - reached[rows]
        probes = width < _least_step(reached[rows], exact=exact)
        halfway = np.where(np.isinf(width), reached[rows] + step[rows], reached[rows] + 0.5 * width)
        target = np.minimum(furthest, np.where(probes, failed[rows] + width, halfway))
        # On the way a point needs to exist, not to be known.
        loose = not exact and target < furthest
        some = block.take(rows) if rows.size < block.rows else replace(block)
        run = way.solve(some, rows, state.take(rows), target, loose=loose)
        # Where only the end matters it is looked for first: between a fall and it there may be no point.
        for goal in (target,) if exact else (np.full_like(target, furthest), target):
            lost = np.flatnonzero(probes & ~run.found)
            if lost.size:
                fallen = _fallen(block, way, rows[lost], state.take(rows[lost]), goal[lost])
                _replace(run, lost, fallen)
                target[lost] = np.where(fallen.found, goal[lost], target[lost])
        good = np.flatnonzero(run.found)
        state.put(rows[good], run.state, good)
        reached[rows[good]] = target[good]
        step[rows] = np.where(probes, _STRIDE_AFTER_PROBE * width, _GROWTH * step[rows])
        failed[rows] = np.where(run.found, np.where(probes, np.inf, failed[rows]), target)
        over[rows] = probes & ~run.found
    sources = block.topology.regulated_span
    state.off = never_on(block) | (state.active_v[sources] >= block.set_v)
    return PathEnd(state, reached)


def _fallen(block: Block, way: _Way, rows: Indices, state: State, target: Array) -> Run:
    """Where a path ends, look for its point below the kinks of the batteries: there it may go on.

    Beside a source at its limit a battery that charges reluctantly holds next to nothing: a load of constant
    power lets the volts fall through that line, down to where the battery gives. So each battery is first
    taken as stiff both ways; one that charges then does so for good on its own line, which only raises volts.
    """
    stiff = block.charge_ohm[:, rows] > block.discharge_ohm[:, rows]
    run = Run(state, np.zeros(rows.size, np.bool_), np.ones(rows.size, np.bool_))
    left = np.flatnonzero(stiff.any(axis=0))
    while left.size:
        some, begin, held = block.take(rows[left]), state.take(left), stiff[:, left]
        some.charge_ohm = np.where(held, some.discharge_ohm, some.charge_ohm)
        begin.charging &= ~held
        found = way.solve(some, rows[left], begin, target[left], loose=False)
        charges = held & found.state.charging
        stands = found.found & ~charges.any(axis=0)
        _replace(run, left[stands], found.take(stands))
        stiff[:, left] = held & ~charges
        left = left[found.found & charges.any(axis=0)]
    return run


def _least_step(reached: Array, *, exact: bool) -> Array:
    """Where only the end at 1 matters, a failure far from it needs less proof; else accuracy is relative."""
    if exact:
        return LEAST_STEP * np.maximum(reached, LEAST_STEP)
    return np.maximum(LEAST_STEP, _LEAST_PART_OF_REST * (1.0 - reached))
