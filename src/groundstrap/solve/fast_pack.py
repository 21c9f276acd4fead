"""A pack of rows in machine code, from its parameters to its points: the steps, and what becomes of each row.

See ``fast_settle`` for what is made of them, ``newton`` and ``decide`` for the questions and their order.
"""

from typing import Final, NamedTuple

import numpy as np

from groundstrap.solve.decide import ABSORBS_ABOVE_V
from groundstrap.solve.fast import PACK, compiled, current_at, room, step_pack
from groundstrap.solve.fast_arrays import Numbers, Options, Standing
from groundstrap.solve.fast_write import Sheet, write_pack
from groundstrap.solve.kernel import HOT_SHARE, NEXT_STEP_V
from groundstrap.solve.network import Array, Flags
from groundstrap.solve.newton import (
    COLD_ENOUGH_V,
    CONTRACTS,
    HALVE_FROM,
    HOT_NEAR_V,
    MOST_STEPS,
    QUADRATIC_BELOW_V,
    SECANT_STEPS,
    STEP_V,
)
from groundstrap.solve.topology import Indices

#: What became of a row.
FOUND: Final = 0
LEFT: Final = 1
ABSORBS: Final = 2
FALLS: Final = 3
LATE: Final = 4
#: So few rows of a pack do not keep the others waiting: they are gathered from all packs, and begin again.
_FEW: Final = PACK // 16


class Columns(NamedTuple):
    """Parameters of a chunk of rows, a line each; see ``block.Block``. ``exponent`` is one number a law."""

    resistor_ohm: Array
    heat_ohm: Array
    kappa: Array
    emf_v: Array
    discharge_ohm: Array
    charge_ohm: Array
    watts: Array
    factor: Array
    set_v: Array
    limit_a: Array
    droop_s: Array
    amps: Array
    exponent: Array


class Layers(NamedTuple):
    """Where the plain resistors stand; see ``topology.Layered``."""

    chains: Indices
    firsts: Indices
    sizes: Indices


class Task(NamedTuple):
    """What is asked of a chunk: ``first`` is its place in the whole, ``off`` what stands by from the start.

    ``heats`` asks for heat; ``stiff`` takes batteries as stiff both ways until a cold point is found; where
    ``patient``, a pack goes on to its last row. ``never`` is false and ``whole`` is a whole pack: constants
    would each be compiled for by themselves.
    """

    rows: int
    first: int
    heats: bool
    stiff: bool
    patient: bool
    never: bool
    whole: tuple[int, int]
    off: Flags


class Going(NamedTuple):
    """How the rows of a pack go on; ``outcome`` counts once a row is done."""

    moved_v: Array
    before_v: Array
    positive: Flags
    done: Flags
    found: Flags
    outcome: Indices
    steps: Indices
    all_rows: Flags
    no_rows: Flags
    no_watts: Array
    kept_ohm: Array


@compiled
def settle_chunk(given, columns, task, out):  # type: ignore[no-untyped-def]
    """Solve a chunk of rows, a pack after the other, and write down where they end."""
    tables, parts, layers, kept = given
    into, all_sums, all_steps, outcome = out
    pack, numbers, standing = room(tables), _numbers(tables, columns), _standing(tables, columns)
    going, sums = _going(columns), np.empty((7, PACK))
    watts, resistor_ohm = np.empty_like(going.no_watts), np.empty((columns.resistor_ohm.shape[0], PACK))
    options = Options(task.never, task.heats, task.never, going.no_rows)
    sheet = Sheet(tables, parts, numbers, standing, watts, resistor_ohm, options, np.empty(PACK))
    for low in range(0, task.rows, PACK):
        count, first = min(PACK, task.rows - low), task.first + low
        span = (low, count)
        _load(tables, layers, columns, sheet, span)
        _begin(sheet, going, task, span)
        for phase in range(1 + task.heats):
            hot = phase == 1
            if hot:
                _warm_up(sheet, going)
            _newton(sheet, pack, going, task, hot)
            _end(sheet, going, task, span, hot)
        for at in range(count):
            outcome[low + at] = going.outcome[at]
            all_steps[low + at] = going.steps[at]
        sums[:] = 0.0
        for node in range(kept.size):
            for at in range(count):
                into[0][kept[node], first + at] = standing.node_v[node, at]
        write_pack(sheet, pack, (task.whole[0], count), (into[0], into[1], into[2], into[3], sums, first))
        for line in range(7):
            for at in range(count):
                all_sums[line, low + at] = sums[line, at]


@compiled
def _numbers(tables, columns):  # type: ignore[no-untyped-def]
    """Room for the numbers of a pack."""
    chains, hot, cells = tables.starts.size, columns.heat_ohm.shape[0], columns.emf_v.shape[0]
    laws, sources = columns.factor.shape[0], columns.set_v.shape[0]
    return Numbers(
        np.empty((chains, PACK)),
        np.empty((chains, PACK)),
        np.empty((hot, PACK)),
        np.empty((hot, PACK)),
        np.empty((tables.heated.size, PACK)),
        np.empty((cells, PACK)),
        np.empty((cells, PACK)),
        np.empty((cells, PACK)),
        np.empty((laws, PACK)),
        columns.exponent,
        np.empty((sources, PACK)),
        np.empty((sources, PACK)),
        np.empty((sources, PACK)),
        np.empty((columns.amps.shape[0], PACK)),
        np.empty((0, 0)),
        np.empty((0, 0)),
        np.empty((0, 0)),
    )


@compiled
def _standing(tables, columns):  # type: ignore[no-untyped-def]
    """Room for where a pack stands."""
    return Standing(
        np.empty((tables.kept, PACK)),
        np.empty((tables.starts.size, PACK)),
        np.empty((tables.actives, PACK)),
        np.empty((tables.heated.size, PACK)),
        np.empty((columns.emf_v.shape[0], PACK), np.bool_),
        np.empty((columns.set_v.shape[0], PACK), np.bool_),
    )


@compiled
def _going(columns):  # type: ignore[no-untyped-def]
    return Going(
        np.empty(PACK),
        np.empty(PACK),
        np.empty(PACK, np.bool_),
        np.empty(PACK, np.bool_),
        np.empty(PACK, np.bool_),
        np.empty(PACK, np.intp),
        np.empty(PACK, np.intp),
        np.ones(PACK, np.bool_),
        np.empty(0, np.bool_),
        np.zeros((columns.watts.shape[0], PACK)),
        np.empty((columns.emf_v.shape[0], PACK)),
    )


@compiled
def _copy(given, into, span):  # type: ignore[no-untyped-def]
    """Copy a pack of rows; behind the last one it is repeated."""
    low, count = span
    for line in range(into.shape[0]):
        source, target = given[line, low : low + count], into[line]
        for at in range(count):
            target[at] = source[at]
        for at in range(count, PACK):
            target[at] = target[count - 1]


@compiled
def _load(tables, layers, columns, sheet, span):  # type: ignore[no-untyped-def]
    """Lay out the numbers of a pack; see ``block.prepare``."""
    numbers = sheet.numbers
    _copy(columns.resistor_ohm, sheet.resistor_ohm, span)
    _copy(columns.watts, sheet.watts, span)
    _copy(columns.heat_ohm, numbers.heat_ohm, span)
    _copy(columns.kappa, numbers.kappa, span)
    _copy(columns.emf_v, numbers.emf_v, span)
    _copy(columns.discharge_ohm, numbers.discharge_ohm, span)
    _copy(columns.charge_ohm, numbers.charge_ohm, span)
    _copy(columns.factor, numbers.factor, span)
    _copy(columns.set_v, numbers.set_v, span)
    _copy(columns.limit_a, numbers.limit_a, span)
    _copy(columns.droop_s, numbers.droop_s, span)
    _copy(columns.amps, numbers.amps, span)
    numbers.linear_ohm[:] = 0.0
    for layer in range(layers.sizes.size):
        for index in range(layers.sizes[layer]):
            ohm = numbers.linear_ohm[layers.chains[index]]
            part = sheet.resistor_ohm[layers.firsts[layer] + index]
            for at in range(PACK):
                ohm[at] += part[at]
    numbers.cold_ohm[:] = numbers.linear_ohm
    numbers.hottest[:] = 0.0
    for layer in range(tables.sizes.size):
        for index in range(tables.sizes[layer]):
            cold_ohm, part = numbers.cold_ohm[tables.heated[index]], tables.firsts[layer] + index
            heat_ohm, kappa, hottest = numbers.heat_ohm[part], numbers.kappa[part], numbers.hottest[index]
            for at in range(PACK):
                cold_ohm[at] += heat_ohm[at]
            for at in range(PACK):
                hottest[at] = max(hottest[at], kappa[at])


@compiled
def _begin(sheet, going, task, span):  # type: ignore[no-untyped-def]
    """Start from above, see ``block.start_state``."""
    numbers, standing, (low, count) = sheet.numbers, sheet.standing, span
    highest_v = going.before_v
    highest_v[:] = 0.0
    going.outcome[:] = FOUND
    going.steps[:] = 0
    for source in range(numbers.set_v.shape[0]):
        for at in range(PACK):
            highest_v[at] = max(highest_v[at], numbers.set_v[source, at])
            standing.off[source, at] = task.off[source, low + min(at, count - 1)]
    for cell in range(numbers.emf_v.shape[0]):
        for at in range(PACK):
            highest_v[at] = max(highest_v[at], abs(numbers.emf_v[cell, at]))
    for cell in range(numbers.emf_v.shape[0]):
        for at in range(PACK):
            standing.charging[cell, at] = abs(numbers.emf_v[cell, at]) < highest_v[at]
    for active in range(standing.active_v.shape[0]):
        for at in range(PACK):
            standing.active_v[active, at] = highest_v[at]
    _leave_open(numbers, going.outcome)
    if task.stiff:
        going.kept_ohm[:] = numbers.charge_ohm
        numbers.charge_ohm[:] = np.minimum(numbers.charge_ohm, numbers.discharge_ohm)


@compiled
def _leave_open(numbers, outcome):  # type: ignore[no-untyped-def]
    """Leave rows with an open part, a source that gives nothing or a lamp that is off."""
    for given in (numbers.limit_a, numbers.factor):
        for line in given:
            for at in range(PACK):
                if not line[at] > 0.0:
                    outcome[at] = LEFT
    for given in (numbers.cold_ohm, numbers.discharge_ohm):
        for line in given:
            for at in range(PACK):
                if np.isinf(line[at]):
                    outcome[at] = LEFT


@compiled
def _warm_up(sheet, going):  # type: ignore[no-untyped-def]
    """Take heat at the currents of the cold point; see ``kernel.with_heat``."""
    tables, numbers, standing = sheet.tables, sheet.numbers, sheet.standing
    for index in range(tables.heated.size):
        chain = tables.heated[index]
        for at in range(PACK):
            amps = standing.chain_a[chain, at]
            if numbers.hottest[index, at] * amps * amps > HOT_SHARE and going.outcome[at] == FOUND:
                heat_v = (numbers.cold_ohm[chain, at] - numbers.linear_ohm[chain, at]) * amps
                amps = current_at(tables, numbers, index, at, heat_v)
            standing.hot_a[index, at] = amps


@compiled
def _newton(sheet, pack, going, task, hot):  # type: ignore[no-untyped-def]
    """Run Newton until every row of the pack is done; see ``newton.newton``."""
    tables, numbers, standing = sheet.tables, sheet.numbers, sheet.standing
    secant = not hot and numbers.factor.shape[0] > 0
    begin = SECANT_STEPS if secant else 1
    going.before_v[:] = np.inf
    for at in range(PACK):
        going.done[at] = going.outcome[at] != FOUND
        going.found[at] = False
    for step in range(MOST_STEPS):
        idle = not hot and step == 0 and tables.powers > 0
        halve = going.all_rows if step >= HALVE_FROM else going.no_rows
        options = Options(secant and step < begin, hot, task.never, halve)
        watts = going.no_watts if idle else sheet.watts
        going.moved_v[:] = 0.0
        step_pack(
            tables, numbers, standing, options, pack, (watts, task.whole, going.moved_v, going.positive)
        )
        left = _judge(sheet, going, (step > begin, idle, hot, task.heats and not hot))
        if left == 0 or (left <= _FEW and not task.patient):
            break


@compiled
def _judge(sheet, going, how):  # type: ignore[no-untyped-def]
    """Note which rows are done; return how many are not. See ``newton._still``."""
    tells, idle, hot, loose = how
    standing, positive = sheet.standing, going.positive
    for chain in range(sheet.tables.powers):
        load_v, watts = standing.active_v[chain], sheet.watts[chain]
        for at in range(PACK):
            positive[at] = positive[at] and not (load_v[at] <= 0.0 and watts[at] > 0.0)
    left = 0
    near_v, loose_v = HOT_NEAR_V if hot else np.inf, COLD_ENOUGH_V if loose else -1.0
    for at in range(PACK):
        # Without a branch, so that several rows are judged at once; what is not a number is never still.
        moved_v, before_v, fresh = going.moved_v[at], going.before_v[at], not going.done[at]
        ratio = moved_v / before_v
        enough = (moved_v * ratio * ratio < NEXT_STEP_V) & (moved_v < near_v)
        enough |= (moved_v < loose_v) & (moved_v < CONTRACTS * before_v)
        enough &= tells & (moved_v < before_v) & (before_v < QUADRATIC_BELOW_V)
        still = (enough | (moved_v < STEP_V)) & (not idle)
        going.before_v[at] = moved_v
        going.steps[at] += fresh
        going.found[at] |= fresh & still & positive[at]
        going.done[at] |= still | (not positive[at])
        left += not going.done[at]
    return left


@compiled
def _end(sheet, going, task, span, hot):  # type: ignore[no-untyped-def]
    """Note what became of the rows: no answer, a source that absorbs, a battery beside which volts fall."""
    numbers, standing, outcome = sheet.numbers, sheet.standing, going.outcome
    for at in range(PACK):
        if outcome[at] == FOUND and not going.found[at]:
            outcome[at] = LEFT if going.done[at] or task.patient else LATE
            for cell in range(numbers.emf_v.shape[0]):
                # Where it stands by now tells nothing: a row that is lost goes on with its pack.
                reluctant = numbers.charge_ohm[cell, at] > numbers.discharge_ohm[cell, at]
                if reluctant and going.done[at] and not hot:
                    outcome[at] = FALLS
    if task.stiff and not hot:
        for cell in range(numbers.emf_v.shape[0]):
            for at in range(PACK):
                if standing.charging[cell, at] and going.kept_ohm[cell, at] > numbers.discharge_ohm[cell, at]:
                    outcome[at] = LEFT
        numbers.charge_ohm[:] = going.kept_ohm
    if hot or not task.heats:
        for index in range(sheet.tables.heated.size):
            standing.hot_a[index] = standing.chain_a[sheet.tables.heated[index]]
    _absorbers(sheet, outcome, task, span)


@compiled
def _absorbers(sheet, outcome, task, span):  # type: ignore[no-untyped-def]
    """Note which sources absorb; leave rows where one is off that should not be."""
    standing, numbers, (low, count) = sheet.standing, sheet.numbers, span
    for source in range(numbers.set_v.shape[0]):
        active_v, off = standing.active_v[sheet.tables.laws + source], standing.off[source]
        for at in range(count):
            over_v = active_v[at] - numbers.set_v[source, at]
            if outcome[at] == FOUND or outcome[at] == ABSORBS:
                if off[at] and -over_v > ABSORBS_ABOVE_V:
                    outcome[at] = LEFT
                elif not off[at] and over_v > ABSORBS_ABOVE_V:
                    outcome[at] = ABSORBS
                    task.off[source, low + at] = True
