"""From the kernel's state to volts and amps of every node and branch, with the checks of every answer.

Inside a chain the current is one, so the volts of its inner nodes are summed up along it. The checks use
the laws themselves, not their tangents: what is missing at each kept node, and the sum of all powers.
"""

from typing import Final

import numpy as np

from groundstrap.records import dataclass
from groundstrap.solve.block import POWER_LAW_FLOOR_V, ROUNDINGS, Block, State, Sums
from groundstrap.solve.decide import Decision, full_share
from groundstrap.solve.kernel import linearise, load_watts
from groundstrap.solve.network import Array, Flags, Law, RowParameters
from groundstrap.solve.results import Rows, Status
from groundstrap.solve.topology import Chain, Indices, Kind

KIRCHHOFF_A: Final = 1e-9
KIRCHHOFF_PART: Final = 1e-12
POWER_PART: Final = 1e-9
POWER_W: Final = 1e-9


@dataclass(slots=True)
class _Sheet:
    """What is being filled in: the block, and the part of the result that its rows are."""

    block: Block
    state: State
    heat: bool
    parameters: RowParameters
    first: int
    last: int
    node_v: Array
    branch_v: Array
    branch_a: Array
    heat_share: Array

    def value(self, branch: int, position: int) -> Array | float:
        """A parameter in the rows of the block."""
        value = self.parameters[branch][position]
        return value[self.first : self.last] if isinstance(value, np.ndarray) and value.ndim else value


def recover(
    decision: Decision, block: Block, parameters: RowParameters, result: Rows, first: int, *, heat: bool
) -> None:
    """Fill in the rows of a block from ``first`` on, checked; a row that fails a check is unsolved."""
    last = first + block.rows
    part = result.part(first, last)
    sheet = _Sheet(
        block=block,
        state=decision.state,
        heat=heat,
        parameters=parameters,
        first=first,
        last=last,
        node_v=part.node_v,
        branch_v=part.branch_v,
        branch_a=part.branch_a,
        heat_share=part.heat_share,
    )
    part.status_code[:] = decision.status_code
    part.iterations[:] = decision.state.iterations
    with np.errstate(all="ignore"):
        part.node_v[list(block.topology.kept)] = decision.state.node_v
        check_sums(_sums(sheet, result), part)
    _note_idle(block, decision.state, part)


def _sums(sheet: _Sheet, result: Rows) -> Sums:
    """Fill in all chains and sum up what is checked, by machine code where the block has some."""
    block, state = sheet.block, sheet.state
    state.hot_a = state.chain_a[block.topology.heated.chains]
    watts = load_watts(block, state, full_share(block))
    written = (
        block.writes(block, state, watts, result, sheet.first, heat=sheet.heat) if block.writes else None
    )
    if written is None:
        for index in range(len(block.topology.chains)):
            _fill_chain(sheet, index)
    if block.carries is not None:
        for index in np.flatnonzero(~block.carries.all(axis=1)).tolist():
            dead = np.flatnonzero(block.carries[index] == 0)
            _fill_dead_chain(sheet, block.topology.chains[index], dead)
    return _kirchhoff(sheet, watts) if written is None else written


def check_sums(sums: Sums, part: Rows) -> None:
    """Check every row that has a point; leave nan in those that have none or fail."""
    allowed_a = KIRCHHOFF_A + KIRCHHOFF_PART * sums.largest_a + sums.rounding_a
    allowed_w = POWER_PART * 0.5 * sums.size_w + POWER_W + sums.rounding_w
    error_w = np.abs(sums.sum_w)
    good = (sums.worst_a <= allowed_a) & (error_w <= allowed_w) & (sums.heat_share < 1)
    part.worst_kirchhoff_a[:] = sums.worst_a
    part.power_error_w[:] = error_w
    part.status_code[part.found & ~good] = Status.UNSOLVED.code
    if part.found.all():
        return
    without = np.flatnonzero(~part.found)
    for values in (part.node_v, part.branch_v, part.branch_a, part.heat_share):
        values[:, without] = np.nan
    part.worst_kirchhoff_a[without] = np.nan
    part.power_error_w[without] = np.nan


def _fill_chain(sheet: _Sheet, index: int) -> None:
    """Fill in the parts of one chain and its inner nodes."""
    chain, kept = sheet.block.topology.chains[index], sheet.block.topology.kept
    chain_a = sheet.state.chain_a[index]
    active, passive_v = -1, 0.0
    for part in chain.parts:
        if part.sign > 0:
            sheet.branch_a[part.branch] = chain_a
        else:
            np.negative(chain_a, out=sheet.branch_a[part.branch])
        if _fill_part(sheet, part.branch):
            passive_v = passive_v + part.sign * sheet.branch_v[part.branch]
        else:
            active = part.branch
    start_v, end_v = sheet.node_v[kept[chain.start]], sheet.node_v[kept[chain.end]]
    if active >= 0:
        sheet.branch_v[active] = start_v - end_v - passive_v
    volts = start_v
    for node, part in zip(chain.inner, chain.parts, strict=False):
        volts = np.subtract(volts, part.sign * sheet.branch_v[part.branch], out=sheet.node_v[node])


def _fill_part(sheet: _Sheet, branch: int) -> bool:
    """Fill in the volts of a passive part from its law; return False for an active one."""
    law = sheet.block.topology.branches[branch][0]
    amps = sheet.branch_a[branch]
    if law is Law.RESISTOR:
        np.multiply(amps, sheet.value(branch, 0), out=sheet.branch_v[branch])
    elif law is Law.HEATED:
        heat = np.multiply(amps, amps, out=sheet.heat_share[branch])
        heat *= sheet.value(branch, 1) if sheet.heat else 0.0
        np.multiply(amps, sheet.value(branch, 0), out=sheet.branch_v[branch])
        sheet.branch_v[branch] /= 1.0 - heat
    elif law is Law.BATTERY:
        ohm = np.where(amps > 0, sheet.value(branch, 2), sheet.value(branch, 1))
        np.add(ohm * amps, sheet.value(branch, 0), out=sheet.branch_v[branch])
    else:
        return False
    return True


def _fill_dead_chain(sheet: _Sheet, chain: Chain, rows: Indices) -> None:
    """In rows where a chain carries nothing: the volts of either end up to the part that interrupts it.

    That is its first open part, else its load or source. Volts behind it are those of the far end, as a meter
    would show through a load that is off.
    """
    topology = sheet.block.topology
    is_open = np.array([_is_open(sheet, part.branch, rows) for part in chain.parts])
    for position, part in enumerate(chain.parts):
        if topology.branches[part.branch][0] not in {Law.RESISTOR, Law.HEATED, Law.BATTERY}:
            is_open[position] |= ~is_open.any(axis=0)
    broken_at = np.argmax(is_open, axis=0)
    emf_v = [
        part.sign * np.broadcast_to(sheet.value(part.branch, 0), (sheet.last - sheet.first,))[rows]
        if topology.branches[part.branch][0] is Law.BATTERY
        else np.zeros(rows.size)
        for part in chain.parts
    ]
    from_start, from_end = (
        sheet.node_v[topology.kept[chain.start], rows],
        sheet.node_v[topology.kept[chain.end], rows],
    )
    ends_v, volts = [from_end], from_end
    for step_v in reversed(emf_v[1:]):
        volts = volts + step_v
        ends_v.append(volts)
    for position, node in enumerate(chain.inner):
        from_start = from_start - emf_v[position]
        sheet.node_v[node, rows] = np.where(
            broken_at > position, from_start, ends_v[len(chain.inner) - position]
        )
    for part in chain.parts:
        _, start, end, _ = topology.branches[part.branch]
        sheet.branch_a[part.branch, rows] = 0.0
        sheet.branch_v[part.branch, rows] = sheet.node_v[start, rows] - sheet.node_v[end, rows]


def _is_open(sheet: _Sheet, branch: int, rows: Indices) -> Flags:
    law = sheet.block.topology.branches[branch][0]
    if law in {Law.RESISTOR, Law.HEATED}:
        value = sheet.value(branch, 0)
    elif law is Law.BATTERY:
        value = sheet.value(branch, 1)
    else:
        value = 0.0
    open_rows: Flags = np.isinf(np.broadcast_to(value, (sheet.last - sheet.first,))[rows])
    return open_rows


def _kirchhoff(sheet: _Sheet, watts: Array) -> Sums:
    """Sum up currents at the kept nodes, by the laws themselves, and all powers."""
    block, state, topology = sheet.block, sheet.state, sheet.block.topology
    tangents = linearise(block, state, watts, secant=False, hot=sheet.heat, clipped=False)
    missing_a = _missing(sheet, watts, tangents.conductance_s, tangents.ohm)
    if block.carries is not None:
        missing_a[block.carries == 0] = 0.0
    total_a = state.chain_a + missing_a
    sums_a = np.zeros_like(state.node_v)
    meeting_s = np.zeros_like(state.node_v)
    for index, start, end, _ in topology.ties:
        sums_a[start] += total_a[index]
        sums_a[end] -= total_a[index]
        size_s = np.abs(tangents.conductance_s[index])
        meeting_s[start] += size_s
        meeting_s[end] += size_s
    largest_v = np.abs(state.node_v).max(axis=0)
    rounding_a = ROUNDINGS * largest_v * meeting_s
    over = np.abs(sums_a) - rounding_a
    largest_a = np.abs(state.chain_a).max(axis=0, initial=0.0)
    worst = np.argmax(over, axis=0)
    rows = np.arange(block.rows)
    branch_w = sheet.branch_v * sheet.branch_a
    hot = list(topology.heated.branches)
    return Sums(
        worst_a=np.abs(sums_a)[worst, rows],
        rounding_a=rounding_a[worst, rows],
        largest_a=largest_a,
        sum_w=branch_w.sum(axis=0),
        size_w=np.abs(branch_w, out=branch_w).sum(axis=0),
        rounding_w=largest_v * rounding_a.sum(axis=0),
        heat_share=np.max(sheet.heat_share[hot], axis=0, initial=0.0),
    )


def _missing(sheet: _Sheet, watts: Array, conductance_s: Array, ohm: Array) -> Array:
    """How far each chain's current is from the one that its laws give at the solved volts. [A]"""
    state, topology = sheet.state, sheet.block.topology
    missing_a = np.zeros_like(state.chain_a)
    for index, chain in enumerate(topology.chains):
        if chain.kind is Kind.PASSIVE:
            left_v = sheet.node_v[topology.kept[chain.start]] - sheet.node_v[topology.kept[chain.end]]
            for part in chain.parts:
                left_v = left_v - part.sign * sheet.branch_v[part.branch]
            missing_a[index] = left_v * conductance_s[index]
        elif chain.kind is not Kind.CURRENT:
            by_law_a = _law_current(sheet, index, watts)
            missing_a[index] = (by_law_a - state.chain_a[index]) * (1 - conductance_s[index] * ohm[index])
    return missing_a


def _law_current(sheet: _Sheet, index: int, watts: Array) -> Array:
    """Current of a chain's active part by its law, at the volts across it. [A]"""
    block, topology = sheet.block, sheet.block.topology
    volts = sheet.branch_v[topology.branch_of_chain(index)]
    kind = topology.chains[index].kind
    if kind is Kind.POWER:
        by_power: Array = watts[index] / volts
        return by_power
    if kind is Kind.POWER_LAW:
        position = index - topology.law_span.start
        above_v = np.maximum(volts, POWER_LAW_FLOOR_V)
        by_law: Array = block.factor[position] * above_v ** block.exponent[position] * volts / above_v
        return by_law
    position = index - topology.regulated_span.start
    wanted_a = np.clip(
        (block.set_v[position] - volts) * block.droop_s[position], 0.0, block.limit_a[position]
    )
    return np.where(sheet.state.off[position], 0.0, -wanted_a)


def _note_idle(block: Block, state: State, part: Rows) -> None:
    """Note which regulated branches are off because they would absorb, and which loads no source reaches."""
    topology = block.topology
    spans = topology.regulated_span
    for position, chain in enumerate(range(spans.start, spans.stop)):
        part.off[topology.branch_of_chain(chain)] = state.off[position] & (block.limit_a[position] > 0)
    if block.carries is None:
        return
    for index, chain_kind in enumerate(chain.kind for chain in topology.chains):
        dead = block.carries[index] == 0
        if chain_kind in {Kind.POWER, Kind.CURRENT, Kind.POWER_LAW}:
            part.unfed[topology.branch_of_chain(index)] = dead
        elif chain_kind is Kind.REGULATED:
            part.off[topology.branch_of_chain(index)] &= ~dead
