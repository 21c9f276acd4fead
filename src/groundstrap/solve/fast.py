"""One Newton step of ``kernel`` in machine code, where numba is installed and asked for.

Imported only through ``backend``; everything around the step (what is dropped, confirmed, followed) stays
where it is. Inner loops run over rows, so that the compiler can work on several at once, and outer ones
over packs of rows, so that what they touch stays near.
"""

import math
from typing import Any, Final, NamedTuple

import numba
import numpy as np

from groundstrap.solve.block import POWER_LAW_FLOOR_V, Block, State
from groundstrap.solve.flat import tables_of
from groundstrap.solve.kernel import AT_REST_V, HOT_SHARE, NEXT_STEP_V, OVER_LIMIT_A, Stride
from groundstrap.solve.network import Array, Flags

PACK: Final = 64
_MOST_INVERSIONS: Final = 60


class Numbers(NamedTuple):
    """The arrays of a block."""

    linear_ohm: Array
    cold_ohm: Array
    heat_ohm: Array
    kappa: Array
    emf_v: Array
    discharge_ohm: Array
    charge_ohm: Array
    factor: Array
    exponent: Array
    set_v: Array
    limit_a: Array
    droop_s: Array
    amps: Array
    carries: Array
    pins: Array
    inflow_a: Array


class Standing(NamedTuple):
    """The arrays of a state."""

    node_v: Array
    chain_a: Array
    active_v: Array
    hot_a: Array
    charging: Flags
    off: Flags


class Options(NamedTuple):
    """How the step is taken; see ``newton.newton``."""

    secant: bool
    hot: bool
    clipped: bool
    halve: Flags


class Pack(NamedTuple):
    """Room for a pack of rows."""

    ohm: Array
    offset_v: Array
    conductance_s: Array
    source_a: Array
    heat_ohm: Array
    heat_v: Array
    diagonal: Array
    entries: Array
    node_v: Array
    limited: Flags


def compiled(function: Any) -> Any:
    """Return a function as machine code, compiled at its first call and kept on disk."""
    return numba.njit(function, cache=True, error_model="numpy", nogil=True)


def stride(
    block: Block, state: State, watts: Array, *, secant: bool, hot: bool, clipped: bool, halve: Flags | None
) -> Stride:
    """Take one step: ``kernel.stride`` in machine code."""
    numbers, standing = numbers_of(block), standing_of(state)
    watts = np.ascontiguousarray(watts)
    moved_v, positive = np.zeros(block.rows), np.ones(block.rows, np.bool_)
    nobody = np.zeros(block.rows, np.bool_)
    options = Options(secant, hot, clipped, nobody if halve is None else halve)
    _step(tables_of(block.topology), numbers, standing, watts, options, (moved_v, positive))
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
        count = min(PACK, rows - low)
        tangents(tables, numbers, standing, options, pack, (watts, positive, low, count))
        _solve(tables, numbers, pack, positive, (low, count))
        _advance(tables, numbers, standing, options, pack, (low, count, moved_v))


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
    )


@compiled
def tangents(tables, numbers, standing, options, pack, where):  # type: ignore[no-untyped-def]
    """Fill in the tangent of every chain of a pack; see ``kernel.linearise``."""
    watts, positive, low, count = where
    span = (low, count)
    _passive(tables, numbers, standing, options, pack, span)
    _power(tables, watts, standing, pack, positive, span)
    _laws(tables, numbers, standing, options, pack, span)
    _sources(tables, numbers, standing, options, pack, span)
    _rest(tables, numbers, pack, span)


@compiled
def _passive(tables, numbers, standing, options, pack, span):  # type: ignore[no-untyped-def]
    low, count = span
    given_ohm = numbers.linear_ohm if options.hot else numbers.cold_ohm
    for chain in range(pack.ohm.shape[0]):
        ohm = given_ohm[chain, low : low + count]
        for at in range(count):
            pack.ohm[chain, at] = ohm[at]
            pack.offset_v[chain, at] = 0.0
    if options.hot:
        _heat(tables, numbers, standing, pack, span)
    for cell in range(tables.cell_chains.size):
        chain = tables.cell_chains[cell]
        for at in range(count):
            row = low + at
            pack.ohm[chain, at] += (
                numbers.charge_ohm[cell, row]
                if standing.charging[cell, row]
                else numbers.discharge_ohm[cell, row]
            )
            pack.offset_v[chain, at] += numbers.emf_v[cell, row]


@compiled
def _heat(tables, numbers, standing, pack, span):  # type: ignore[no-untyped-def]
    low, count = span
    for index in range(tables.heated.size):
        for at in range(count):
            pack.heat_ohm[index, at] = 0.0
            pack.heat_v[index, at] = 0.0
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
        for at in range(count):
            pack.ohm[chain, at] += pack.heat_ohm[index, at]
            pack.offset_v[chain, at] = pack.heat_v[index, at]


@compiled
def _power(tables, watts, standing, pack, positive, span):  # type: ignore[no-untyped-def]
    low, count = span
    for chain in range(tables.powers):
        for at in range(count):
            row = low + at
            power_w, volts = watts[chain, row], standing.active_v[chain, row]
            safe_v = volts if volts > 0.0 else 1.0
            amps = power_w / safe_v
            slope = -amps / safe_v
            pivot = 1.0 + slope * pack.ohm[chain, at]
            if not pivot > 0.0:
                positive[row] = False
            pack.conductance_s[chain, at] = slope / pivot
            pack.source_a[chain, at] = (2.0 * amps - slope * pack.offset_v[chain, at]) / pivot


@compiled
def _laws(tables, numbers, standing, options, pack, span):  # type: ignore[no-untyped-def]
    low, count = span
    for chain in range(tables.powers, tables.laws):
        law = chain - tables.powers
        exponent = numbers.exponent[law, 0]
        steep = max(exponent, 1.0) if options.secant else exponent
        for at in range(count):
            row = low + at
            volts = standing.active_v[chain, row]
            above_v = max(volts, POWER_LAW_FLOOR_V)
            amps = numbers.factor[law, row] * above_v**exponent
            slope = (1.0 if volts < POWER_LAW_FLOOR_V else steep) * amps / above_v
            pivot = 1.0 + slope * pack.ohm[chain, at]
            current_a = amps - slope * above_v
            pack.conductance_s[chain, at] = slope / pivot
            pack.source_a[chain, at] = (current_a - slope * pack.offset_v[chain, at]) / pivot


@compiled
def _sources(tables, numbers, standing, options, pack, span):  # type: ignore[no-untyped-def]
    low, count = span
    for chain in range(tables.laws, tables.actives):
        source = chain - tables.laws
        for at in range(count):
            row = low + at
            droop_s = numbers.droop_s[source, row]
            wanted_a = (numbers.set_v[source, row] - standing.active_v[chain, row]) * droop_s
            limited = wanted_a - numbers.limit_a[source, row] > OVER_LIMIT_A
            off = standing.off[source, row] or (options.clipped and wanted_a < 0.0)
            slope = 0.0 if limited or off else droop_s
            amps = -numbers.limit_a[source, row] if limited else -numbers.set_v[source, row] * droop_s
            if off:
                amps = 0.0
            pivot = 1.0 + slope * pack.ohm[chain, at]
            pack.conductance_s[chain, at] = slope / pivot
            pack.source_a[chain, at] = (amps - slope * pack.offset_v[chain, at]) / pivot
            pack.limited[source, at] = limited


@compiled
def _rest(tables, numbers, pack, span):  # type: ignore[no-untyped-def]
    """Constant currents, passive chains, and what carries nothing."""
    low, count = span
    for chain in range(tables.actives, tables.currents):
        for at in range(count):
            pack.conductance_s[chain, at] = 0.0
            pack.source_a[chain, at] = numbers.amps[chain - tables.actives, low + at]
    for chain in range(tables.currents, pack.ohm.shape[0]):
        for at in range(count):
            conductance = 1.0 / pack.ohm[chain, at]
            pack.conductance_s[chain, at] = conductance
            pack.source_a[chain, at] = -pack.offset_v[chain, at] * conductance
    for chain in range(numbers.carries.shape[0]):
        for at in range(count):
            pack.conductance_s[chain, at] *= numbers.carries[chain, low + at]
            pack.source_a[chain, at] *= numbers.carries[chain, low + at]


@compiled
def _solve(tables, numbers, pack, positive, span):  # type: ignore[no-untyped-def]
    low, count = span
    for node in range(tables.kept):
        for at in range(count):
            pack.diagonal[node, at] = numbers.pins[node, low + at] if numbers.pins.size else 0.0
            pack.node_v[node, at] = numbers.inflow_a[node, low + at] if numbers.inflow_a.size else 0.0
    for slot in range(tables.slot_count):
        for at in range(count):
            pack.entries[slot, at] = 0.0
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
    _eliminate(tables, pack, positive, span)


@compiled
def _eliminate(tables, pack, positive, span):  # type: ignore[no-untyped-def]
    low, count = span
    diagonal, entries, node_v = pack.diagonal, pack.entries, pack.node_v
    for step in range(tables.step_nodes.size):
        node = tables.step_nodes[step]
        for at in range(count):
            if not diagonal[node, at] > 0.0:
                positive[low + at] = False
            diagonal[node, at] = 1.0 / diagonal[node, at]
        for near in range(tables.near_from[step], tables.near_from[step + 1]):
            other, slot = tables.near_nodes[near], tables.near_slots[near]
            entry, inverse, inflow = entries[slot, :count], diagonal[node, :count], node_v[node, :count]
            other_diagonal, other_inflow = diagonal[other, :count], node_v[other, :count]
            for at in range(count):
                ratio = entry[at] * inverse[at]
                other_diagonal[at] -= ratio * entry[at]
                other_inflow[at] -= ratio * inflow[at]
            for join in range(tables.join_from[near], tables.join_from[near + 1]):
                one = entries[tables.join_near[join], :count]
                target = entries[tables.join_to[join], :count]
                for at in range(count):
                    target[at] -= entry[at] * inverse[at] * one[at]
    _substitute(tables, pack, count)


@compiled
def _substitute(tables, pack, count):  # type: ignore[no-untyped-def]
    diagonal, entries, node_v = pack.diagonal, pack.entries, pack.node_v
    for step in range(tables.step_nodes.size - 1, -1, -1):
        node = tables.step_nodes[step]
        for near in range(tables.near_from[step], tables.near_from[step + 1]):
            other, slot = tables.near_nodes[near], tables.near_slots[near]
            for at in range(count):
                node_v[node, at] -= entries[slot, at] * node_v[other, at]
        for at in range(count):
            node_v[node, at] *= diagonal[node, at]
    for at in range(count):
        node_v[0, at] = 0.0


@compiled
def _advance(tables, numbers, standing, options, pack, span):  # type: ignore[no-untyped-def]
    low, count, moved_v = span
    for node in range(tables.kept):
        for at in range(count):
            standing.node_v[node, low + at] = pack.node_v[node, at]
    for chain in range(pack.ohm.shape[0]):
        start_v, end_v = pack.node_v[tables.starts[chain], :count], pack.node_v[tables.ends[chain], :count]
        conductance_s, source_a = pack.conductance_s[chain, :count], pack.source_a[chain, :count]
        chain_a = standing.chain_a[chain, low : low + count]
        for at in range(count):
            chain_a[at] = conductance_s[at] * (start_v[at] - end_v[at]) + source_a[at]
    for chain in range(tables.actives):
        start, end = tables.starts[chain], tables.ends[chain]
        for at in range(count):
            row = low + at
            amps = standing.chain_a[chain, row]
            volts = pack.node_v[start, at] - pack.node_v[end, at]
            volts -= pack.ohm[chain, at] * amps + pack.offset_v[chain, at]
            was_v = standing.active_v[chain, row]
            next_v = 0.5 * (volts + was_v) if options.halve[row] else volts
            if chain >= tables.laws:
                where = (chain, at, row, volts, moved_v)
                if _cross(tables, numbers, standing, options, pack, where):
                    source = chain - tables.laws
                    half_a = 0.5 * numbers.limit_a[source, row]
                    next_v = numbers.set_v[source, row] - half_a / numbers.droop_s[source, row]
            else:
                moved_v[row] = max(moved_v[row], abs(next_v - was_v))
            standing.active_v[chain, row] = next_v
    if options.hot:
        _advance_heat(tables, numbers, standing, options, pack, span)
    _advance_cells(tables, numbers, standing, span)


@compiled
def _advance_cells(tables, numbers, standing, span):  # type: ignore[no-untyped-def]
    low, count, moved_v = span
    for cell in range(tables.cell_chains.size):
        for at in range(count):
            row = low + at
            amps = standing.chain_a[tables.cell_chains[cell], row]
            charging = amps * tables.cell_signs[cell] > 0
            if charging != standing.charging[cell, row]:
                kink_ohm = numbers.charge_ohm[cell, row] - numbers.discharge_ohm[cell, row]
                flows = abs(amps) * numbers.discharge_ohm[cell, row] > AT_REST_V
                if flows and abs(amps * kink_ohm) > NEXT_STEP_V:
                    moved_v[row] = np.inf
                standing.charging[cell, row] = charging


@compiled
def _cross(tables, numbers, standing, options, pack, where):  # type: ignore[no-untyped-def]
    """Note a source that goes over to another line; say whether over its own: see ``kernel._land``."""
    chain, at, row, volts, moved_v = where
    source = chain - tables.laws
    set_v, droop_s = numbers.set_v[source, row], numbers.droop_s[source, row]
    wanted_a, off = (set_v - volts) * droop_s, standing.off[source, row]
    limited = wanted_a - numbers.limit_a[source, row] > OVER_LIMIT_A
    if limited != pack.limited[source, at] and not off:
        moved_v[row] = np.inf
    if not options.clipped:
        return False
    stood_by = set_v < standing.active_v[chain, row]
    if (wanted_a < 0.0) != stood_by:
        moved_v[row] = np.inf
    return not off and ((pack.limited[source, at] and wanted_a < 0.0) or (stood_by and limited))


@compiled
def _advance_heat(tables, numbers, standing, options, pack, span):  # type: ignore[no-untyped-def]
    low, count, moved_v = span
    worst = np.zeros((tables.heated.size, count))
    for layer in range(tables.sizes.size):
        for index in range(tables.sizes[layer]):
            kappa = numbers.kappa[tables.firsts[layer] + index, low : low + count]
            largest = worst[index]
            for at in range(count):
                largest[at] = max(largest[at], kappa[at])
    for index in range(tables.heated.size):
        for at in range(count):
            row = low + at
            amps = standing.chain_a[tables.heated[index], row]
            if options.halve[row]:
                amps = 0.5 * (amps + standing.hot_a[index, row])
            if worst[index, at] * amps * amps > HOT_SHARE:
                heat_v = pack.heat_ohm[index, at] * amps + pack.heat_v[index, at]
                amps = _current_at(tables, numbers, index, row, heat_v)
            change_v = abs(amps - standing.hot_a[index, row]) * pack.heat_ohm[index, at]
            moved_v[row] = max(moved_v[row], change_v)
            standing.hot_a[index, row] = amps


@compiled
def _current_at(tables, numbers, index, row, heat_v):  # type: ignore[no-untyped-def]
    """See ``kernel._current_at``."""
    size_v, amps = abs(heat_v), np.inf
    for layer in range(tables.sizes.size):
        if index < tables.sizes[layer]:
            part = tables.firsts[layer] + index
            ohm, kappa = numbers.heat_ohm[part, row], numbers.kappa[part, row]
            amps = min(amps, 2 * size_v / (ohm + math.sqrt(ohm * ohm + 4 * kappa * size_v * size_v)))
    for _ in range(_MOST_INVERSIONS):
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
