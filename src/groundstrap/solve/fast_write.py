"""Volts and amps of every part, and the sums that rows are checked by, in machine code; see ``recover``.

What the sums must keep within is for ``recover`` to judge.
"""

import math
from typing import NamedTuple

import numpy as np

from groundstrap.solve.block import POWER_LAW_FLOOR_V, ROUNDINGS, Block, State, Sums
from groundstrap.solve.fast import PACK, compiled, numbers_of, room, standing_of, tangents
from groundstrap.solve.fast_arrays import Numbers, Options, Standing
from groundstrap.solve.flat import Parts, Tables, parts_of, tables_of
from groundstrap.solve.network import Array
from groundstrap.solve.results import Rows


class Sheet(NamedTuple):
    """What is written down: a block and its state, the parts of its topology, and room for a pack of rows.

    ``left_v`` are the volts of a chain that are left for its active part, later the amps by that part's law.
    """

    tables: Tables
    parts: Parts
    numbers: Numbers
    standing: Standing
    watts: Array
    resistor_ohm: Array
    options: Options
    left_v: Array


def write(block: Block, state: State, watts: Array, result: Rows, first: int, /, *, heat: bool) -> Sums:
    """Write down a block's rows from ``first`` on; the kept nodes stand there already."""
    numbers, standing = numbers_of(block), standing_of(state)
    sums = np.zeros((7, block.rows))
    options = Options(secant=False, hot=heat, clipped=False, halve=np.empty(0, np.bool_))
    out = (result.node_v, result.branch_v, result.branch_a, result.heat_share, sums, first)
    sheet = Sheet(
        tables_of(block.topology),
        parts_of(block.topology),
        numbers,
        standing,
        np.ascontiguousarray(watts),
        np.ascontiguousarray(block.resistor_ohm),
        options,
        np.empty(PACK),
    )
    _write(sheet, out)
    return sums_of(sums)


def sums_of(sums: Array) -> Sums:
    """Name the lines of an array of sums."""
    return Sums(
        worst_a=sums[0],
        rounding_a=sums[1],
        largest_a=sums[2],
        sum_w=sums[3],
        size_w=sums[4],
        rounding_w=sums[5],
        heat_share=sums[6],
    )


@compiled
def _write(sheet, out):  # type: ignore[no-untyped-def]
    tables, numbers = sheet.tables, sheet.numbers
    rows, pack = numbers.cold_ohm.shape[1], room(tables)
    for low in range(0, rows, PACK):
        write_pack(sheet, pack, (low, min(PACK, rows - low)), out)


@compiled
def write_pack(sheet, pack, span, out):  # type: ignore[no-untyped-def]
    """Write down a pack of rows and what they are checked by."""
    tables, numbers, standing = sheet.tables, sheet.numbers, sheet.standing
    low, count = span
    tangents(tables, numbers, standing, sheet.options, pack, (sheet.watts, span))
    # From here on these are the sums at the nodes, and the conductances that meet there.
    pack.node_v[:] = 0.0
    pack.diagonal[:] = 0.0
    for chain in range(tables.starts.size):
        active = _fill(sheet, (chain, low, count), out)
        _inner(sheet, (chain, low, count), out)
        _law(sheet, (chain, active, low, count))
        _meet(sheet, pack, (chain, active, low, count), out)
    _judge(sheet, pack, span, out)


@compiled
def _fill(sheet, span, out):  # type: ignore[no-untyped-def]
    """Fill in the parts of a chain; return whether one is active, whose volts are what is left of them."""
    tables, parts, numbers, standing = sheet.tables, sheet.parts, sheet.numbers, sheet.standing
    chain, low, count = span
    left_v = sheet.left_v
    _, all_v, all_a, all_share, sums, first = out
    start, end = tables.starts[chain], tables.ends[chain]
    for at in range(count):
        left_v[at] = standing.node_v[start, low + at] - standing.node_v[end, low + at]
    active = -1
    chain_a = standing.chain_a[chain, low : low + count]
    for part in range(parts.firsts[chain], parts.firsts[chain + 1]):
        branch, sign, place = parts.branches[part], float(parts.signs[part]), parts.at[part]
        branch_v = all_v[branch, first + low : first + low + count]
        branch_a = all_a[branch, first + low : first + low + count]
        for at in range(count):
            branch_a[at] = sign * chain_a[at]
        if parts.of[part] == 0:
            for at in range(count):
                branch_v[at] = branch_a[at] * sheet.resistor_ohm[place, low + at]
        elif parts.of[part] == 1:
            share = all_share[branch, first + low : first + low + count]
            most = sums[6, low : low + count]
            _warm(branch_v, branch_a, share, most, sheet.options.hot, (numbers, place, low))
        elif parts.of[part] == 2:
            cell_sign = tables.cell_signs[place]
            for at in range(count):
                row = low + at
                charges = branch_a[at] > 0.0
                inside = numbers.charge_ohm[place, row] if charges else numbers.discharge_ohm[place, row]
                branch_v[at] = branch_a[at] * inside + cell_sign * numbers.emf_v[place, row]
        else:
            active = branch
            continue
        for at in range(count):
            left_v[at] -= sign * branch_v[at]
    if active >= 0:
        for at in range(count):
            all_v[active, first + low + at] = left_v[at]
    return active


@compiled
def _warm(branch_v, branch_a, share, most, hot, where):  # type: ignore[no-untyped-def]
    numbers, place, low = where
    heats = 1.0 if hot else 0.0
    for at in range(branch_v.size):
        amps = branch_a[at]
        heat = heats * numbers.kappa[place, low + at] * amps * amps
        share[at] = heat
        branch_v[at] = amps * numbers.heat_ohm[place, low + at] / (1.0 - heat)
        # Not a number is more than any.
        if not heat <= most[at]:
            most[at] = heat


@compiled
def _inner(sheet, span, out):  # type: ignore[no-untyped-def]
    """Fill in the nodes inside a chain."""
    tables, parts, standing = sheet.tables, sheet.parts, sheet.standing
    chain, low, count = span
    node_v, all_v, _, _, _, first = out
    volts = standing.node_v[tables.starts[chain], low : low + count]
    for part in range(parts.firsts[chain], parts.firsts[chain + 1] - 1):
        sign = float(parts.signs[part])
        branch_v = all_v[parts.branches[part], first + low : first + low + count]
        here_v = node_v[parts.inner[part], first + low : first + low + count]
        for at in range(count):
            here_v[at] = volts[at] - sign * branch_v[at]
        volts = here_v


@compiled
def _law(sheet, where):  # type: ignore[no-untyped-def]
    """Put the amps by an active part's law in the place of its volts; see ``recover._law_current``."""
    tables, numbers, left_v = sheet.tables, sheet.numbers, sheet.left_v
    chain, active, low, count = where
    if active < 0 or chain >= tables.actives:
        return
    for at in range(count):
        row, volts = low + at, left_v[at]
        if chain < tables.powers:
            left_v[at] = sheet.watts[chain, row] / volts
        elif chain < tables.laws:
            law = chain - tables.powers
            above_v = max(volts, POWER_LAW_FLOOR_V)
            left_v[at] = numbers.factor[law, row] * above_v ** numbers.exponent[law, 0] * volts / above_v
        else:
            source = chain - tables.laws
            wanted_a = (numbers.set_v[source, row] - volts) * numbers.droop_s[source, row]
            given_a = min(max(wanted_a, 0.0), numbers.limit_a[source, row])
            left_v[at] = 0.0 if sheet.standing.off[source, row] else -given_a


@compiled
def _meet(sheet, pack, where, out):  # type: ignore[no-untyped-def]
    """Add what a chain takes by its laws to the sums of its nodes."""
    tables, numbers, standing, left_v = sheet.tables, sheet.numbers, sheet.standing, sheet.left_v
    chain, active, low, count = where
    sums = out[4]
    start, end = tables.starts[chain], tables.ends[chain]
    for at in range(count):
        row = low + at
        amps, conductance_s = standing.chain_a[chain, row], pack.conductance_s[chain, at]
        if active < 0:
            missing_a = left_v[at] * conductance_s
        elif chain < tables.actives:
            missing_a = (left_v[at] - amps) * (1.0 - conductance_s * pack.ohm[chain, at])
        else:
            missing_a = 0.0
        if numbers.carries.size and numbers.carries[chain, row] == 0.0:
            missing_a = 0.0
        sums[2, row] = max(sums[2, row], abs(amps))
        if start != end:
            pack.node_v[start, at] += amps + missing_a
            pack.node_v[end, at] -= amps + missing_a
            pack.diagonal[start, at] += abs(conductance_s)
            pack.diagonal[end, at] += abs(conductance_s)


@compiled
def _judge(sheet, pack, span, out):  # type: ignore[no-untyped-def]
    """Find the worst node of each row, and sum up all powers."""
    tables, standing = sheet.tables, sheet.standing
    low, count = span
    _, all_v, all_a, _, sums, first = out
    for at in range(count):
        row, largest_v, meeting_s, worst = low + at, 0.0, 0.0, -np.inf
        for node in range(tables.kept):
            largest_v = max(largest_v, abs(standing.node_v[node, row]))
            meeting_s += pack.diagonal[node, at]
        rounding = ROUNDINGS * largest_v
        for node in range(tables.kept):
            size_a, rounding_a = abs(pack.node_v[node, at]), rounding * pack.diagonal[node, at]
            # Not a number is worse than any.
            if not (size_a - rounding_a <= worst or math.isnan(worst)):
                worst = size_a - rounding_a
                sums[0, row], sums[1, row] = size_a, rounding_a
        sums[5, row] = largest_v * rounding * meeting_s
    for branch in range(all_v.shape[0]):
        branch_v = all_v[branch, first + low : first + low + count]
        branch_a = all_a[branch, first + low : first + low + count]
        sum_w, size_w = sums[3, low : low + count], sums[4, low : low + count]
        for at in range(count):
            power_w = branch_v[at] * branch_a[at]
            sum_w[at] += power_w
            size_w[at] += abs(power_w)
