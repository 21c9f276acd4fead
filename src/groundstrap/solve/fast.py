"""One Newton step of ``kernel`` in machine code, where numba is installed and asked for.

Imported only through ``backend``; everything around the step (what is dropped, confirmed, followed) stays
where it is. Outer loops run over packs of rows, so that what they touch stays near; inner ones over the rows
of a pack, each over few arrays and without a branch, so that the compiler works on several rows at once: it
gives that up where more pairs of arrays might overlap than it cares to look at.
"""

import math
from typing import Any, Final

import numba
import numpy as np

from groundstrap.solve.block import POWER_LAW_FLOOR_V, Block, State
from groundstrap.solve.fast_arrays import Numbers, Options, Pack, Standing
from groundstrap.solve.flat import tables_of
from groundstrap.solve.kernel import AT_REST_V, HOT_SHARE, MOST_INVERSIONS, NEXT_STEP_V, OVER_LIMIT_A, Stride
from groundstrap.solve.network import Array, Flags

PACK: Final = 64
_NEAR_PART: Final = 0.03


def compiled(function: Any) -> Any:
    """Return a function as machine code, compiled at its first call and kept on disk."""
    return numba.njit(function, cache=True, error_model="numpy", nogil=True)


def stride(
    block: Block, state: State, watts: Array, *, secant: bool, hot: bool, clipped: bool, halve: Flags | None
) -> Stride:
    """Take one step: ``kernel.stride`` in machine code."""
    numbers, standing = numbers_of(block), standing_of(state)
    moved_v, positive = np.zeros(block.rows), np.empty(block.rows, np.bool_)
    options = Options(secant, hot, clipped, np.empty(0, np.bool_) if halve is None else halve)
    out = (moved_v, positive)
    _step(tables_of(block.topology), numbers, standing, np.ascontiguousarray(watts), options, out)
    return Stride(moved_v, positive)


def numbers_of(block: Block) -> Numbers:
    """Return the arrays of a block in one memory order: each other would be compiled for by itself."""
    nothing = np.empty((0, 0))
    given = {name: getattr(block, name) for name in Numbers._fields}
    return Numbers(**{name: np.ascontiguousarray(nothing if v is None else v) for name, v in given.items()})


def standing_of(state: State) -> Standing:
    """Return the arrays of a state, shared with it."""
    standing = Standing(*(np.ascontiguousarray(getattr(state, name)) for name in Standing._fields))
    for name, value in zip(Standing._fields, standing, strict=True):
        setattr(state, name, value)
    return standing


@compiled
def _step(tables, numbers, standing, watts, options, out):  # type: ignore[no-untyped-def]
    moved_v, positive = out
    rows, pack = numbers.cold_ohm.shape[1], room(tables)
    for low in range(0, rows, PACK):
        span = (low, min(PACK, rows - low))
        where = (watts, span, moved_v[low : low + PACK], positive[low : low + PACK])
        step_pack(tables, numbers, standing, options, pack, where)


@compiled
def step_pack(tables, numbers, standing, options, pack, where):  # type: ignore[no-untyped-def]
    """Take one step with a pack of rows; ``where`` has how far they move, and where pivots are positive."""
    watts, span, moved, whole = where
    tangents(tables, numbers, standing, options, pack, (watts, span))
    _solve(tables, numbers, pack, span)
    _advance(tables, standing, options, pack, (span, moved))
    _advance_sources(tables, numbers, standing, options, pack, (span, moved))
    if options.hot:
        _advance_heat(tables, numbers, standing, options, pack, (span, moved))
    _advance_cells(tables, numbers, standing, (span, moved))
    for at in range(whole.size):
        whole[at] = pack.failed[at] == 0.0


@compiled
def room(tables):  # type: ignore[no-untyped-def]
    """Room for a pack of rows."""
    chains, hot_chains = tables.starts.size, tables.heated.size
    return Pack(
        np.empty((chains, PACK)),
        np.empty((chains, PACK)),
        np.empty((chains, PACK)),
        np.empty((chains, PACK)),
        np.empty((hot_chains, PACK)),
        np.empty((hot_chains, PACK)),
        np.empty((tables.kept, PACK)),
        np.empty((tables.slot_count, PACK)),
        np.empty((tables.kept, PACK)),
        np.empty((tables.actives - tables.laws, PACK), np.bool_),
        np.empty(PACK),
        np.empty(PACK),
        np.ones((tables.laws - tables.powers, PACK)),
        np.ones((tables.laws - tables.powers, PACK)),
    )


@compiled
def tangents(tables, numbers, standing, options, pack, where):  # type: ignore[no-untyped-def]
    """Fill in the tangent of every chain of a pack; see ``kernel.linearise``."""
    watts, span = where
    pack.failed[:] = 0.0
    _passive(tables, numbers, standing, options, pack, span)
    _power(tables, watts, standing, pack, span)
    _laws(tables, numbers, standing, options, pack, span)
    _sources(tables, numbers, standing, options, pack, span)
    for chain in range(tables.actives):
        _through(pack, chain, span[1])
    _rest(tables, numbers, pack, span)


@compiled
def _through(pack, chain, count):  # type: ignore[no-untyped-def]
    """Make of an active part's slope and current those of its chain; both stand where the chain's go."""
    ohm, offset_v = pack.ohm[chain, :count], pack.offset_v[chain, :count]
    slope_s, current_a = pack.conductance_s[chain, :count], pack.source_a[chain, :count]
    for at in range(count):
        pivot = 1.0 + slope_s[at] * ohm[at]
        current_a[at] = (current_a[at] - slope_s[at] * offset_v[at]) / pivot
        slope_s[at] /= pivot


@compiled
def _passive(tables, numbers, standing, options, pack, span):  # type: ignore[no-untyped-def]
    low, count = span
    given_ohm = numbers.linear_ohm if options.hot else numbers.cold_ohm
    for chain in range(pack.ohm.shape[0]):
        ohm, offset_v, given = pack.ohm[chain], pack.offset_v[chain], given_ohm[chain, low : low + count]
        for at in range(count):
            ohm[at] = given[at]
            offset_v[at] = 0.0
    if options.hot:
        _heat(tables, numbers, standing, pack, span)
    for cell in range(tables.cell_chains.size):
        chain = tables.cell_chains[cell]
        ohm, offset_v = pack.ohm[chain, :count], pack.offset_v[chain, :count]
        charging = standing.charging[cell, low : low + count]
        charge_ohm = numbers.charge_ohm[cell, low : low + count]
        discharge_ohm = numbers.discharge_ohm[cell, low : low + count]
        emf_v = numbers.emf_v[cell, low : low + count]
        for at in range(count):
            ohm[at] += charge_ohm[at] if charging[at] else discharge_ohm[at]
        for at in range(count):
            offset_v[at] += emf_v[at]


@compiled
def _heat(tables, numbers, standing, pack, span):  # type: ignore[no-untyped-def]
    """Tangents of heated conductors, summed along each chain; see ``kernel._heat_tangent``."""
    low, count = span
    for index in range(tables.heated.size):
        sum_ohm, sum_v = pack.heat_ohm[index], pack.heat_v[index]
        for at in range(count):
            sum_ohm[at] = 0.0
            sum_v[at] = 0.0
    for layer in range(tables.sizes.size):
        for index in range(tables.sizes[layer]):
            part = tables.firsts[layer] + index
            hot_a = standing.hot_a[index, low : low + count]
            kappa = numbers.kappa[part, low : low + count]
            cold_ohm = numbers.heat_ohm[part, low : low + count]
            sum_ohm, sum_v = pack.heat_ohm[index, :count], pack.heat_v[index, :count]
            for at in range(count):
                heat = kappa[at] * hot_a[at] * hot_a[at]
                cool = 1.0 - heat
                ohm = cold_ohm[at] / (cool * cool)
                sum_ohm[at] += ohm + ohm * heat
                sum_v[at] -= 2.0 * hot_a[at] * ohm * heat
    for index in range(tables.heated.size):
        chain = tables.heated[index]
        ohm, heat_ohm = pack.ohm[chain], pack.heat_ohm[index]
        offset_v, heat_v = pack.offset_v[chain], pack.heat_v[index]
        for at in range(count):
            ohm[at] += heat_ohm[at]
            offset_v[at] = heat_v[at]


@compiled
def _power(tables, watts, standing, pack, span):  # type: ignore[no-untyped-def]
    low, count = span
    failed = pack.failed[:count]
    for chain in range(tables.powers):
        power_w, load_v = watts[chain, low : low + count], standing.active_v[chain, low : low + count]
        ohm = pack.ohm[chain, :count]
        slope_s, current_a = pack.conductance_s[chain, :count], pack.source_a[chain, :count]
        for at in range(count):
            safe_v = load_v[at] if load_v[at] > 0.0 else 1.0
            amps = power_w[at] / safe_v
            slope_s[at] = -amps / safe_v
            current_a[at] = 2.0 * amps
        for at in range(count):
            failed[at] = failed[at] if 1.0 + slope_s[at] * ohm[at] > 0.0 else 1.0


@compiled
def _laws(tables, numbers, standing, options, pack, span):  # type: ignore[no-untyped-def]
    low, count = span
    for chain in range(tables.powers, tables.laws):
        law = chain - tables.powers
        exponent = numbers.exponent[law, 0]
        steep = max(exponent, 1.0) if options.secant else exponent
        load_v, factor = standing.active_v[chain, low : low + count], numbers.factor[law, low : low + count]
        slope_s, current_a = pack.conductance_s[chain, :count], pack.source_a[chain, :count]
        _raise(load_v, exponent, pack.law_v[law, :count], pack.law_power[law, :count], current_a)
        for at in range(count):
            above_v = max(load_v[at], POWER_LAW_FLOOR_V)
            amps = factor[at] * current_a[at]
            slope_s[at] = (1.0 if load_v[at] < POWER_LAW_FLOOR_V else steep) * amps / above_v
            current_a[at] = amps - slope_s[at] * above_v


@compiled
def _raise(load_v, exponent, law_v, law_power, out):  # type: ignore[no-untyped-def]
    """Raise volts to a law's power: from the power of volts near by, by ten terms of the binomial series.

    At most 0.03 away the first term that is left out is below 1e-16; a power by itself takes far longer.
    """
    far = 0
    for at in range(out.size):
        above_v = max(load_v[at], POWER_LAW_FLOOR_V)
        # What is not a number is far from any, and so does not stay.
        far += not abs(above_v - law_v[at]) <= _NEAR_PART * law_v[at]
    if far:
        for at in range(out.size):
            law_v[at] = max(load_v[at], POWER_LAW_FLOOR_V)
            law_power[at] = law_v[at] ** exponent
    for at in range(out.size):
        part = (max(load_v[at], POWER_LAW_FLOOR_V) - law_v[at]) / law_v[at]
        total = 1.0 + (exponent - 9.0) / 10.0 * part
        total = 1.0 + (exponent - 8.0) / 9.0 * part * total
        total = 1.0 + (exponent - 7.0) / 8.0 * part * total
        total = 1.0 + (exponent - 6.0) / 7.0 * part * total
        total = 1.0 + (exponent - 5.0) / 6.0 * part * total
        total = 1.0 + (exponent - 4.0) / 5.0 * part * total
        total = 1.0 + (exponent - 3.0) / 4.0 * part * total
        total = 1.0 + (exponent - 2.0) / 3.0 * part * total
        total = 1.0 + (exponent - 1.0) / 2.0 * part * total
        out[at] = law_power[at] * (1.0 + exponent * part * total)


@compiled
def _sources(tables, numbers, standing, options, pack, span):  # type: ignore[no-untyped-def]
    low, count = span
    for chain in range(tables.laws, tables.actives):
        source = chain - tables.laws
        off, here_v = standing.off[source, low : low + count], standing.active_v[chain, low : low + count]
        set_v, limit_a = numbers.set_v[source, low : low + count], numbers.limit_a[source, low : low + count]
        droop_s, is_limited = numbers.droop_s[source, low : low + count], pack.limited[source, :count]
        slope_s, current_a = pack.conductance_s[chain, :count], pack.source_a[chain, :count]
        for at in range(count):
            wanted_a = (set_v[at] - here_v[at]) * droop_s[at]
            limited = wanted_a - limit_a[at] > OVER_LIMIT_A
            stands_by = off[at] or (options.clipped and wanted_a < 0.0)
            slope_s[at] = 0.0 if limited or stands_by else droop_s[at]
            amps = -limit_a[at] if limited else -set_v[at] * droop_s[at]
            current_a[at] = 0.0 if stands_by else amps
            is_limited[at] = limited


@compiled
def _rest(tables, numbers, pack, span):  # type: ignore[no-untyped-def]
    """Constant currents, passive chains, and what carries nothing."""
    low, count = span
    for chain in range(tables.actives, tables.currents):
        amps = numbers.amps[chain - tables.actives, low : low + count]
        for at in range(count):
            pack.conductance_s[chain, at] = 0.0
            pack.source_a[chain, at] = amps[at]
    for chain in range(tables.currents, pack.ohm.shape[0]):
        ohm, offset_v = pack.ohm[chain, :count], pack.offset_v[chain, :count]
        conductance_s, source_a = pack.conductance_s[chain, :count], pack.source_a[chain, :count]
        for at in range(count):
            conductance_s[at] = 1.0 / ohm[at]
            source_a[at] = -offset_v[at] * conductance_s[at]
    for chain in range(numbers.carries.shape[0]):
        carries = numbers.carries[chain, low : low + count]
        conductance_s, source_a = pack.conductance_s[chain, :count], pack.source_a[chain, :count]
        for at in range(count):
            conductance_s[at] *= carries[at]
            source_a[at] *= carries[at]


@compiled
def _solve(tables, numbers, pack, span):  # type: ignore[no-untyped-def]
    """Assemble the kept nodes, eliminate forwards, substitute backwards; see ``kernel._solve_nodes``."""
    low, count = span
    pack.diagonal[:] = 0.0
    pack.node_v[:] = 0.0
    pack.entries[:] = 0.0
    for node in range(numbers.pins.shape[0]):
        pack.diagonal[node, :count] = numbers.pins[node, low : low + count]
    for node in range(numbers.inflow_a.shape[0]):
        pack.node_v[node, :count] = numbers.inflow_a[node, low : low + count]
    for chain in range(tables.starts.size):
        start, end, slot = tables.starts[chain], tables.ends[chain], tables.slots[chain]
        if start == end:
            continue
        conductance_s, source_a = pack.conductance_s[chain, :count], pack.source_a[chain, :count]
        diagonal, inflow = pack.diagonal[start, :count], pack.node_v[start, :count]
        for at in range(count):
            diagonal[at] += conductance_s[at]
            inflow[at] -= source_a[at]
        diagonal, inflow = pack.diagonal[end, :count], pack.node_v[end, :count]
        for at in range(count):
            diagonal[at] += conductance_s[at]
            inflow[at] += source_a[at]
        if slot >= 0:
            entries = pack.entries[slot, :count]
            for at in range(count):
                entries[at] -= conductance_s[at]
    _eliminate(tables, pack, count)
    _substitute(tables, pack, count)


@compiled
def _eliminate(tables, pack, count):  # type: ignore[no-untyped-def]
    entries, failed = pack.entries, pack.failed[:count]
    for step in range(tables.step_nodes.size):
        node = tables.step_nodes[step]
        inverse, inflow = pack.diagonal[node, :count], pack.node_v[node, :count]
        for at in range(count):
            failed[at] = failed[at] if inverse[at] > 0.0 else 1.0
            inverse[at] = 1.0 / inverse[at]
        for near in range(tables.near_from[step], tables.near_from[step + 1]):
            other, entry = tables.near_nodes[near], entries[tables.near_slots[near], :count]
            other_diagonal, other_inflow = pack.diagonal[other, :count], pack.node_v[other, :count]
            for at in range(count):
                ratio = entry[at] * inverse[at]
                other_diagonal[at] -= ratio * entry[at]
                other_inflow[at] -= ratio * inflow[at]
            for join in range(tables.join_from[near], tables.join_from[near + 1]):
                one = entries[tables.join_near[join], :count]
                target = entries[tables.join_to[join], :count]
                for at in range(count):
                    target[at] -= entry[at] * inverse[at] * one[at]


@compiled
def _substitute(tables, pack, count):  # type: ignore[no-untyped-def]
    for step in range(tables.step_nodes.size - 1, -1, -1):
        node = tables.step_nodes[step]
        node_v, inverse = pack.node_v[node, :count], pack.diagonal[node, :count]
        for near in range(tables.near_from[step], tables.near_from[step + 1]):
            entry = pack.entries[tables.near_slots[near], :count]
            other_v = pack.node_v[tables.near_nodes[near], :count]
            for at in range(count):
                node_v[at] -= entry[at] * other_v[at]
        for at in range(count):
            node_v[at] *= inverse[at]
    pack.node_v[0, :] = 0.0


@compiled
def _advance(tables, standing, options, pack, where):  # type: ignore[no-untyped-def]
    """Take over the solved volts and currents, and the volts of loads; note how far these moved."""
    (low, count), moved_v = where
    for node in range(tables.kept):
        node_v, solved_v = standing.node_v[node, low : low + count], pack.node_v[node]
        for at in range(count):
            node_v[at] = solved_v[at]
    for chain in range(pack.ohm.shape[0]):
        start_v, end_v = pack.node_v[tables.starts[chain], :count], pack.node_v[tables.ends[chain], :count]
        conductance_s, source_a = pack.conductance_s[chain, :count], pack.source_a[chain, :count]
        chain_a = standing.chain_a[chain, low : low + count]
        for at in range(count):
            chain_a[at] = conductance_s[at] * (start_v[at] - end_v[at]) + source_a[at]
    for chain in range(tables.laws):
        _solved_volts(tables, standing, pack, (chain, low, count))
        next_v, active_v = pack.next_v[:count], standing.active_v[chain, low : low + count]
        _halve(next_v, active_v, options, low)
        for at in range(count):
            moved_v[at] = max(moved_v[at], abs(next_v[at] - active_v[at]))
            active_v[at] = next_v[at]


@compiled
def _solved_volts(tables, standing, pack, where):  # type: ignore[no-untyped-def]
    """What the solved nodes leave of a chain for its active part."""
    chain, low, count = where
    start_v, end_v = pack.node_v[tables.starts[chain], :count], pack.node_v[tables.ends[chain], :count]
    ohm, offset_v = pack.ohm[chain, :count], pack.offset_v[chain, :count]
    chain_a, next_v = standing.chain_a[chain, low : low + count], pack.next_v[:count]
    for at in range(count):
        next_v[at] = start_v[at] - end_v[at] - (ohm[at] * chain_a[at] + offset_v[at])


@compiled
def _halve(there, here, options, low):  # type: ignore[no-untyped-def]
    """Go half the way only, in the rows that are to."""
    if options.halve.size:
        for at in range(there.size):
            if options.halve[low + at]:
                there[at] = 0.5 * (there[at] + here[at])


@compiled
def _advance_sources(tables, numbers, standing, options, pack, where):  # type: ignore[no-untyped-def]
    """Take over the volts of regulated sources; see ``kernel._crossed`` and ``kernel._land``."""
    (low, count), moved_v = where
    for chain in range(tables.laws, tables.actives):
        source = chain - tables.laws
        _solved_volts(tables, standing, pack, (chain, low, count))
        next_v, active_v = pack.next_v[:count], standing.active_v[chain, low : low + count]
        off, was_limited = standing.off[source, low : low + count], pack.limited[source, :count]
        set_v, limit_a = numbers.set_v[source, low : low + count], numbers.limit_a[source, low : low + count]
        droop_s = numbers.droop_s[source, low : low + count]
        for at in range(count):
            wanted_a = (set_v[at] - next_v[at]) * droop_s[at]
            limited = wanted_a - limit_a[at] > OVER_LIMIT_A
            if limited != was_limited[at] and not off[at]:
                moved_v[at] = np.inf
            if options.halve.size and options.halve[low + at]:
                next_v[at] = 0.5 * (next_v[at] + active_v[at])
            if options.clipped:
                stood_by = set_v[at] < active_v[at]
                if (wanted_a < 0.0) != stood_by:
                    moved_v[at] = np.inf
                leaps = (was_limited[at] and wanted_a < 0.0) or (stood_by and limited)
                if leaps and not off[at]:
                    next_v[at] = set_v[at] - 0.5 * limit_a[at] / droop_s[at]
            active_v[at] = next_v[at]


@compiled
def _advance_cells(tables, numbers, standing, where):  # type: ignore[no-untyped-def]
    """Note which batteries charge, and which of them have just begun or ceased to."""
    (low, count), moved_v = where
    for cell in range(tables.cell_chains.size):
        sign, chain_a = tables.cell_signs[cell], standing.chain_a[tables.cell_chains[cell], low : low + count]
        charge_ohm = numbers.charge_ohm[cell, low : low + count]
        discharge_ohm = numbers.discharge_ohm[cell, low : low + count]
        was_charging = standing.charging[cell, low : low + count]
        for at in range(count):
            charging, size_a = chain_a[at] * sign > 0, abs(chain_a[at])
            if charging != was_charging[at]:
                flows = size_a * discharge_ohm[at] > AT_REST_V
                if flows and size_a * abs(charge_ohm[at] - discharge_ohm[at]) > NEXT_STEP_V:
                    moved_v[at] = np.inf
                was_charging[at] = charging


@compiled
def _advance_heat(tables, numbers, standing, options, pack, where):  # type: ignore[no-untyped-def]
    """Take over the currents of heated conductors; see ``kernel._advance_heat``, ``_follow_volts``."""
    (low, count), moved_v = where
    for index in range(tables.heated.size):
        hot_a, hottest = standing.hot_a[index, low : low + count], numbers.hottest[index, low : low + count]
        heat_ohm, next_a = pack.heat_ohm[index, :count], pack.next_v[:count]
        chain_a = standing.chain_a[tables.heated[index], low : low + count]
        for at in range(count):
            next_a[at] = chain_a[at]
        _halve(next_a, hot_a, options, low)
        too_hot = 0
        for at in range(count):
            too_hot += hottest[at] * next_a[at] * next_a[at] > HOT_SHARE
        if too_hot:
            for at in range(count):
                if hottest[at] * next_a[at] * next_a[at] > HOT_SHARE:
                    heat_v = heat_ohm[at] * next_a[at] + pack.heat_v[index, at]
                    next_a[at] = current_at(tables, numbers, index, low + at, heat_v)
        for at in range(count):
            moved_v[at] = max(moved_v[at], abs(next_a[at] - hot_a[at]) * heat_ohm[at])
            hot_a[at] = next_a[at]


@compiled
def current_at(tables, numbers, index, row, heat_v):  # type: ignore[no-untyped-def]
    """Return the current of a heated chain at the volts across it; see ``kernel._current_at``."""
    size_v, amps = abs(heat_v), np.inf
    for layer in range(tables.sizes.size):
        if index < tables.sizes[layer]:
            part = tables.firsts[layer] + index
            ohm, kappa = numbers.heat_ohm[part, row], numbers.kappa[part, row]
            amps = min(amps, 2 * size_v / (ohm + math.sqrt(ohm * ohm + 4 * kappa * size_v * size_v)))
    for _ in range(MOST_INVERSIONS):
        excess_v, slope_ohm = -size_v, 0.0
        for layer in range(tables.sizes.size):
            if index < tables.sizes[layer]:
                part = tables.firsts[layer] + index
                ohm, heat = numbers.heat_ohm[part, row], numbers.kappa[part, row] * amps * amps
                excess_v += ohm * amps / (1 - heat)
                slope_ohm += ohm * (1 + heat) / ((1 - heat) * (1 - heat))
        step_a = excess_v / slope_ohm
        amps -= step_a
        if not abs(step_a) > 1e-14 * amps:
            break
    return math.copysign(amps, heat_v)
