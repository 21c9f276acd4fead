"""One Newton step on a block of rows: the laws of all chains, the nodes, the pivots.

Every law is replaced by its tangent, each chain by one conductance with a current source, and the kept
nodes are solved by elimination in the order of the topology.
"""

from typing import Final

import numpy as np

from groundstrap.records import dataclass, replace
from groundstrap.solve.block import POWER_LAW_FLOOR_V, Block, State
from groundstrap.solve.network import Array, Flags
from groundstrap.solve.topology import Indices, Topology

#: Volts below which a kink that was crossed does not matter.
NEXT_STEP_V: Final = 1e-14
#: A source is at its limit above this much more: where a load takes just the limit, rounding decides nothing.
OVER_LIMIT_A: Final = 2e-10
#: A battery that drops less than this inside stands at rest: its current is rounding, and so is its sign.
AT_REST_V: Final = 4e-14
#: Above this share of heat the current of a chain is taken from its volts instead of from the tangent.
HOT_SHARE: Final = 0.6
#: Steps of the inversion of a hot chain at most.
MOST_INVERSIONS: Final = 60


@dataclass(slots=True)
class Tangents:
    """The chains as conductances with current sources, in the rows of a block.

    ``ohm`` and ``offset_v`` are the passive parts of a chain: volts = ohm times current plus offset.
    """

    conductance_s: Array
    source_a: Array
    ohm: Array
    offset_v: Array
    heat_ohm: Array
    heat_offset_v: Array
    limited: Flags
    positive: Flags


@dataclass(slots=True)
class Stride:
    """How one step went: how far the laws moved (inf across a kink), and where every pivot was positive."""

    moved_v: Array
    positive: Flags


def stride(
    block: Block, state: State, watts: Array, *, secant: bool, hot: bool, clipped: bool, halve: Flags | None
) -> Stride:
    """Take one Newton step: the laws' tangents, the nodes, the new state.

    ``watts`` are the powers of the loads; ``secant`` keeps lamps on the way from above; ``hot``,
    ``clipped`` as in ``newton``; ``halve`` says which rows move by half a step.
    """
    tangents = linearise(block, state, watts, secant=secant, hot=hot, clipped=clipped)
    solved = _solve_nodes(block, tangents)
    moved_v = _advance(block, state, solved.node_v, tangents, hot=hot, clipped=clipped, halve=halve)
    return Stride(moved_v, solved.positive)


def load_watts(block: Block, state: State, share: Array) -> Array:
    """Return the power of each constant-power chain; a converter's follows its output's last iterate. [W]

    An iterate may stand on an output's line far beyond its limit; its input is never asked for that.
    """
    topology = block.topology
    if not topology.converters:
        return share * block.watts
    watts = block.watts.copy()
    for position, (entry, output) in enumerate(topology.converters):
        source = output - topology.regulated_span.start
        given_a = np.minimum(-state.chain_a[output], block.limit_a[source])
        given_w = np.where(state.off[source], 0.0, np.maximum(state.active_v[output] * given_a, 0.0))
        enabled = block.limit_a[source] > 0
        watts[entry] = enabled * (watts[entry] + given_w / block.efficiency[position])
    # Beyond the full share the outputs' own loads have grown already.
    for entry in range(topology.powers):
        is_input = any(entry == found for found, _ in topology.converters)
        watts[entry] *= np.minimum(share[entry], 1.0) if is_input else share[entry]
    return watts


def linearise(
    block: Block, state: State, watts: Array, *, secant: bool, hot: bool, clipped: bool
) -> Tangents:
    """Return the tangent of every chain at a state."""
    ohm, offset_v, heat_ohm, heat_offset_v = _passive(block, state, hot=hot)
    slope_s, current_a, limited = _active(block, state, watts, secant=secant, clipped=clipped)
    actives, topology = slope_s.shape[0], block.topology
    conductance_s, source_a = np.empty_like(ohm), np.empty_like(ohm)
    pivot = 1.0 + slope_s * ohm[:actives]
    np.divide(slope_s, pivot, out=conductance_s[:actives])
    np.divide(current_a - slope_s * offset_v[:actives], pivot, out=source_a[:actives])
    currents = topology.current_span
    conductance_s[currents] = 0.0
    source_a[currents] = block.amps
    np.divide(1.0, ohm[currents.stop :], out=conductance_s[currents.stop :])
    np.multiply(offset_v[currents.stop :], conductance_s[currents.stop :], out=source_a[currents.stop :])
    np.negative(source_a[currents.stop :], out=source_a[currents.stop :])
    if block.carries is not None:
        conductance_s *= block.carries
        source_a *= block.carries
    positive: Flags = np.logical_and.reduce(pivot[: topology.powers] > 0, axis=0)
    return Tangents(
        conductance_s=conductance_s,
        source_a=source_a,
        ohm=ohm,
        offset_v=offset_v,
        heat_ohm=heat_ohm,
        heat_offset_v=heat_offset_v,
        limited=limited,
        positive=positive,
    )


def _passive(block: Block, state: State, *, hot: bool) -> tuple[Array, Array, Array, Array]:
    """Ohms and offset volts of each chain's conductors and batteries, and of its heated conductors alone."""
    topology = block.topology
    offset_v = np.zeros_like(block.cold_ohm)
    heat_ohm = heat_offset_v = np.empty((0, block.rows))
    if hot and topology.heated.sizes:
        ohm = block.linear_ohm.copy()
        heat_ohm, heat_offset_v = _heat_tangent(block, state.hot_a)
        ohm[topology.heated.chains] += heat_ohm
        offset_v[topology.heated.chains] = heat_offset_v
    else:
        ohm = block.cold_ohm.copy()
    for index, cell in enumerate(topology.cells):
        ohm[cell.chain] += np.where(
            state.charging[index], block.charge_ohm[index], block.discharge_ohm[index]
        )
        offset_v[cell.chain] += block.emf_v[index]
    return ohm, offset_v, heat_ohm, heat_offset_v


def _heat_tangent(block: Block, hot_a: Array) -> tuple[Array, Array]:
    """Tangent of R0 I/(1 - kappa I^2), summed along each heated chain: its ohms and its offset in volts."""
    layered = block.topology.heated
    square_a2 = hot_a * hot_a
    plain, risen = np.zeros_like(hot_a), np.zeros_like(hot_a)
    for first, last in layered.spans:
        size = last - first
        heat = block.kappa[first:last] * square_a2[:size]
        cool = 1.0 - heat
        cool *= cool
        np.divide(block.heat_ohm[first:last], cool, out=cool)
        plain[:size] += cool
        cool *= heat
        risen[:size] += cool
    plain += risen
    risen *= hot_a
    risen *= -2.0
    return plain, risen


def _active(
    block: Block, state: State, watts: Array, *, secant: bool, clipped: bool
) -> tuple[Array, Array, Flags]:
    """Slope and current at 0 V of each active part's tangent, and which sources stand at their limit."""
    topology = block.topology
    active_v = state.active_v
    slope_s, current_a = np.empty_like(active_v), np.empty_like(active_v)
    powers = topology.powers
    load_v = active_v[:powers]
    load_a = watts / np.where(load_v > 0, load_v, 1.0)
    np.multiply(load_a, 2.0, out=current_a[:powers])
    np.divide(load_a, np.where(load_v > 0, load_v, -1.0), out=slope_s[:powers])
    np.negative(slope_s[:powers], out=slope_s[:powers])
    laws = topology.law_span
    if laws.stop > laws.start:
        law_v = np.maximum(active_v[laws], POWER_LAW_FLOOR_V)
        law_a = block.factor * law_v**block.exponent
        steep = np.maximum(block.exponent, 1.0) if secant else block.exponent
        steep = np.where(active_v[laws] < POWER_LAW_FLOOR_V, 1.0, steep)
        slope_s[laws] = steep * law_a / law_v
        current_a[laws] = law_a - slope_s[laws] * law_v
    sources = topology.regulated_span
    wanted_a = (block.set_v - active_v[sources]) * block.droop_s
    limited: Flags = wanted_a - block.limit_a > OVER_LIMIT_A
    still_off = state.off | (wanted_a < 0) if clipped else state.off
    flat = limited | still_off
    slope_s[sources] = np.where(flat, 0.0, block.droop_s)
    current_a[sources] = np.where(limited, -block.limit_a, -block.set_v * block.droop_s)
    current_a[sources][still_off] = 0.0
    return slope_s, current_a, limited


@dataclass(slots=True)
class _Solved:
    node_v: Array
    positive: Flags


def _solve_nodes(block: Block, tangents: Tangents) -> _Solved:
    """Assemble and solve the kept nodes; return their volts and in which rows every pivot was positive."""
    topology = block.topology
    count, rows = len(topology.kept), block.rows
    diagonal = np.zeros((count, rows)) if block.pins is None else block.pins.copy()
    inflow = np.zeros((count, rows)) if block.inflow_a is None else block.inflow_a.copy()
    entries = np.zeros((topology.slot_count, rows))
    lines = _Lines(list(diagonal), list(entries), list(inflow))
    conductances, sources = list(tangents.conductance_s), list(tangents.source_a)
    for chain, start, end, slot in topology.ties:
        conductance, source = conductances[chain], sources[chain]
        if start:
            lines.diagonal[start] += conductance
            lines.inflow[start] -= source
        if end:
            lines.diagonal[end] += conductance
            lines.inflow[end] += source
        if slot >= 0:
            lines.entries[slot] -= conductance
    _factor(topology, lines, rows)
    inverse = diagonal[1:]
    positive: Flags = tangents.positive & (inverse > 0).all(axis=0) & np.isfinite(inverse).all(axis=0)
    _substitute(topology, lines, rows)
    inflow[0] = 0.0
    return _Solved(inflow, positive)


@dataclass(slots=True)
class _Lines:
    """The lines of the matrix one by one: for few rows, to look one up in an array costs what a sum does."""

    diagonal: list[Array]
    entries: list[Array]
    inflow: list[Array]


def _factor(topology: Topology, lines: _Lines, rows: int) -> None:
    """Eliminate forwards; ``diagonal`` then holds the inverses of the pivots."""
    diagonal, entries, inflow = lines.diagonal, lines.entries, lines.inflow
    ratio, product = np.empty(rows), np.empty(rows)
    multiply, subtract = np.multiply, np.subtract
    for step in topology.steps:
        inverse, here_a = diagonal[step.node], inflow[step.node]
        np.divide(1.0, inverse, out=inverse)
        for (other, slot), joins in zip(step.neighbours, step.joins, strict=True):
            entry = entries[slot]
            multiply(entry, inverse, out=ratio)
            multiply(ratio, entry, out=product)
            subtract(diagonal[other], product, out=diagonal[other])
            multiply(ratio, here_a, out=product)
            subtract(inflow[other], product, out=inflow[other])
            for near, target in joins:
                multiply(ratio, entries[near], out=product)
                subtract(entries[target], product, out=entries[target])


def _substitute(topology: Topology, lines: _Lines, rows: int) -> None:
    """Substitute backwards; the volts take the place of the inflow."""
    diagonal, entries, inflow = lines.diagonal, lines.entries, lines.inflow
    product = np.empty(rows)
    for step in reversed(topology.steps):
        node_v = inflow[step.node]
        for other, slot in step.neighbours:
            np.multiply(entries[slot], inflow[other], out=product)
            np.subtract(node_v, product, out=node_v)
        np.multiply(node_v, diagonal[step.node], out=node_v)


def _advance(
    block: Block,
    state: State,
    node_v: Array,
    tangents: Tangents,
    *,
    hot: bool,
    clipped: bool,
    halve: Flags | None,
) -> Array:
    """Move the state to the solved volts; return how far the laws moved (inf across a kink). [V]"""
    topology = block.topology
    across_v = node_v[topology.starts] - node_v[topology.ends]
    chain_a = tangents.conductance_s * across_v + tangents.source_a
    actives = topology.actives
    solved_v = across_v[:actives] - tangents.ohm[:actives] * chain_a[:actives] - tangents.offset_v[:actives]
    active_v = _halfway(state.active_v, solved_v, halve)
    moved_v = np.zeros(block.rows)
    smooth = topology.regulated_span.start
    if smooth:
        moved_v = np.abs(active_v[:smooth] - state.active_v[:smooth]).max(axis=0)
    if hot and topology.heated.sizes:
        moved_v = np.maximum(moved_v, _advance_heat(block, state, chain_a, tangents, halve=halve))
    # A source's line is judged by what was solved: half a step may stay on the old line all the while.
    kinked = _crossed(block, state, solved_v, chain_a, tangents, clipped=clipped)
    moved_v[kinked] = np.inf
    if clipped and topology.regulated_span.stop > smooth:
        _land(block, state, solved_v, active_v, tangents.limited)
    state.node_v, state.chain_a, state.active_v = node_v, chain_a, active_v
    return moved_v


def _halfway(here: Array, there: Array, halve: Flags | None) -> Array:
    """Return where the state moves: half the way in some rows, else all of it."""
    if halve is None:
        return there
    moved: Array = np.where(halve, 0.5 * (there + here), there)
    return moved


def _advance_heat(
    block: Block, state: State, chain_a: Array, tangents: Tangents, *, halve: Flags | None
) -> Array:
    hot_a = _halfway(state.hot_a, chain_a[block.topology.heated.chains], halve)
    _follow_volts(block, hot_a, tangents.heat_ohm, tangents.heat_offset_v)
    moved_v: Array = (np.abs(hot_a - state.hot_a) * tangents.heat_ohm).max(axis=0)
    state.hot_a = hot_a
    return moved_v


def with_heat(block: Block, cold: State) -> State:
    """Return a cold point with heat taken at its currents, where a step with heat may begin."""
    chains = block.topology.heated.chains
    hot_a, cold_ohm = cold.chain_a[chains], block.cold_ohm[chains] - block.linear_ohm[chains]
    _follow_volts(block, hot_a, cold_ohm, np.zeros_like(hot_a))
    return replace(cold, hot_a=hot_a)


def _follow_volts(block: Block, hot_a: Array, heat_ohm: Array, heat_offset_v: Array) -> None:
    """Where conductors would be very hot, take the current that the volts across them drive."""
    worst = block.hottest * hot_a
    worst *= hot_a
    too_hot = worst > HOT_SHARE
    if too_hot.any():
        chains, rows = np.nonzero(too_hot)
        heat_v = heat_ohm[chains, rows] * hot_a[chains, rows] + heat_offset_v[chains, rows]
        hot_a[chains, rows] = _current_at(block, chains, rows, heat_v)


def _current_at(
    block: Block,
    chains: Indices,
    rows: Indices,
    heat_v: Array,
) -> Array:
    """Return the current at which the heated conductors of chains take the given volts together. [A]

    The least current at which one of them alone would take all the volts lies above the answer and below
    every pole; from there Newton falls onto it, because the volts are convex in the current.
    """
    size_v = np.abs(heat_v)
    # A chain without a conductor in some layer has nothing there: no ohms, no heat.
    layers = [(chains < last - first, first + chains) for first, last in block.topology.heated.spans]
    there = np.array([inside for inside, _ in layers])
    parts = np.array([np.where(inside, part, 0) for inside, part in layers])
    ohm, kappa = (
        np.where(there, block.heat_ohm[parts, rows], 0.0),
        np.where(there, block.kappa[parts, rows], 0.0),
    )
    alone_a = 2 * size_v / (ohm + np.sqrt(ohm * ohm + 4 * kappa * size_v * size_v))
    hot_a: Array = np.where(there, alone_a, np.inf).min(axis=0)
    for _ in range(MOST_INVERSIONS):
        cool = 1.0 - kappa * (hot_a * hot_a)
        part_ohm = ohm / cool
        step_a = (part_ohm.sum(axis=0) * hot_a - size_v) / (part_ohm * ((2.0 - cool) / cool)).sum(axis=0)
        hot_a = hot_a - step_a
        if not (np.abs(step_a) > 1e-14 * hot_a).any():
            break
    signed_a: Array = np.copysign(hot_a, heat_v)
    return signed_a


def _land(block: Block, state: State, solved_v: Array, active_v: Array, limited: Flags) -> None:
    """Set a source that leaps from its limit to standing by, or back, in the middle of the line between.

    That line is steep and short: over it Newton would be thrown to and fro between the other two.
    """
    sources = block.topology.regulated_span
    wanted_a = (block.set_v - solved_v[sources]) * block.droop_s
    stood_by = block.set_v < state.active_v[sources]
    leaps = (limited & (wanted_a < 0)) | (stood_by & (wanted_a - block.limit_a > OVER_LIMIT_A))
    leaps &= ~state.off
    if leaps.any():
        middle_v = block.set_v - 0.5 * block.limit_a / block.droop_s
        active_v[sources] = np.where(leaps, middle_v, active_v[sources])


def _crossed(
    block: Block, state: State, active_v: Array, chain_a: Array, tangents: Tangents, *, clipped: bool
) -> Flags:
    """Say in which rows a battery or a regulated source went over to its other line; note the batteries'."""
    topology = block.topology
    crossed = np.zeros(block.rows, np.bool_)
    for index, cell in enumerate(topology.cells):
        charging = chain_a[cell.chain] * cell.sign > 0
        discharge_ohm, size_a = block.discharge_ohm[index], np.abs(chain_a[cell.chain])
        flows = size_a * discharge_ohm > AT_REST_V
        flows &= size_a * np.abs(block.charge_ohm[index] - discharge_ohm) > NEXT_STEP_V
        crossed |= (charging != state.charging[index]) & flows
        state.charging[index] = charging
    sources = topology.regulated_span
    if sources.stop > sources.start:
        wanted_a = (block.set_v - active_v[sources]) * block.droop_s
        limited = wanted_a - block.limit_a > OVER_LIMIT_A
        crossed |= ((limited != tangents.limited) & ~state.off).any(axis=0)
        if clipped:
            was_off = (block.set_v - state.active_v[sources]) * block.droop_s < 0
            crossed |= ((wanted_a < 0) != was_off).any(axis=0)
    return crossed
