"""A block of rows: the parameters of one topology laid out so that each law is a few array operations."""

from collections.abc import Callable, Sequence
from dataclasses import fields
from functools import cache
from typing import Protocol, Self

import numpy as np

from groundstrap.records import dataclass, replace
from groundstrap.solve.network import Array, Flags, RowParameters
from groundstrap.solve.reach import reach
from groundstrap.solve.results import Rows
from groundstrap.solve.topology import Indices, Layered, Topology

#: A power-law load is taken as a plain resistor below this, where its own slope would be infinite or nothing.
POWER_LAW_FLOOR_V = 0.05
#: How much the rounding of volts alone can leave at a node: a few units in the last place of the volts,
#: times the conductances that meet there. It matters only for links of a few microhms, and beside them for
#: the sum of all powers where little flows: those currents at those volts are watts that nothing takes.
ROUNDINGS = 8 * float(np.finfo(float).eps)


@dataclass(slots=True)
class _Columns:
    """Arrays whose last axis is the row."""

    def take(self, rows: Indices) -> Self:
        """Return the same for some of the rows."""
        some = replace(self)
        for name in _columns(type(self)):  # type: ignore[arg-type]
            value = getattr(self, name)
            if value is not None:
                setattr(some, name, value.take(rows, axis=-1))
        return some


@cache
def _columns(of: type[_Columns]) -> tuple[str, ...]:
    """The names of the fields that hold a column a row."""
    plain = {"topology", "stride", "writes", "exponent"}
    return tuple(f.name for f in fields(of) if f.name not in plain)


class Stride(Protocol):
    """How one Newton step went: how far the laws moved (inf across a kink), where each pivot was positive."""

    moved_v: Array
    positive: Flags


class TakesStride(Protocol):
    """One Newton step; see ``kernel.stride``."""

    def __call__(  # noqa: D102
        self,
        block: "Block",
        state: "State",
        watts: Array,
        /,
        *,
        secant: bool,
        hot: bool,
        clipped: bool,
        halve: Flags | None,
    ) -> Stride: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """What a written row is checked by.

    The most current that is missing at a node, what the rounding of volts makes there, the largest current
    of a chain, what all powers sum up to, without their signs, what rounding makes of that, and the largest
    share of heat.
    """

    worst_a: Array
    rounding_a: Array
    largest_a: Array
    sum_w: Array
    size_w: Array
    rounding_w: Array
    heat_share: Array


class Writes(Protocol):
    """Write volts, amps and heat of every part of a block's rows into a result; see ``recover``."""

    def __call__(  # noqa: D102
        self, block: "Block", state: "State", watts: Array, result: Rows, first: int, /, *, heat: bool
    ) -> Sums: ...


@dataclass(slots=True)
class Block(_Columns):
    """Parameters, one column a row.

    ``resistor_ohm`` are the plain resistors, ``linear_ohm`` their sums along each chain, ``cold_ohm`` these
    and its conductors when cold; ``hottest`` is the largest kappa along each heated chain; ``factor`` of a
    power law is its current at 1 V; ``carries`` is 0 where a chain is open or has no source; ``pins`` are
    conductances of 1 S that hold islands without the reference; ``closed`` is None where nothing is open;
    ``inflow_a`` flows into the kept nodes from outside, where they are tied to somewhere.
    """

    topology: Topology
    stride: TakesStride
    resistor_ohm: Array
    linear_ohm: Array
    cold_ohm: Array
    heat_ohm: Array
    kappa: Array
    hottest: Array
    emf_v: Array
    discharge_ohm: Array
    charge_ohm: Array
    watts: Array
    efficiency: Array
    factor: Array
    exponent: Array
    set_v: Array
    limit_a: Array
    droop_s: Array
    amps: Array
    highest_v: Array
    writes: Writes | None = None
    closed: Flags | None = None
    carries: Array | None = None
    pins: Array | None = None
    inflow_a: Array | None = None

    @property
    def rows(self) -> int:
        """How many rows."""
        return int(self.highest_v.size)

    @property
    def heats(self) -> bool:
        """Whether any conductor's resistance rises with its current."""
        return bool(self.kappa.size and self.kappa.any())


@dataclass(slots=True)
class State(_Columns):
    """Where Newton stands, one column a row.

    ``node_v`` are the kept nodes, ``chain_a`` the currents; ``active_v`` the volts across loads and regulated
    sources and ``hot_a`` the currents of chains with heated conductors, both as the laws were last taken at;
    ``charging`` and ``off`` say how batteries and regulated sources stand.
    """

    node_v: Array
    chain_a: Array
    active_v: Array
    hot_a: Array
    charging: Flags
    off: Flags
    iterations: Indices

    def put(self, rows: Indices, other: "State", chosen: Indices | None = None) -> None:
        """Write another state's columns (all or the chosen) into some of the rows."""
        for name in _columns(State):
            value = getattr(other, name)
            getattr(self, name)[..., rows] = value if chosen is None else value.take(chosen, axis=-1)

    def copy(self) -> "State":
        """Return the same in arrays of its own."""
        return State(**{name: getattr(self, name).copy() for name in _columns(State)})

    def beside(self, other: "State") -> "State":
        """Return the columns of both, one after another."""
        both = {
            name: np.concatenate((getattr(self, name), getattr(other, name)), axis=-1)
            for name in _columns(State)
        }
        return State(**both)


def start_state(block: Block) -> State:
    """Return the start from above: every load at the highest source's volts, no current, every source on.

    There each weaker battery charges. Were it to hold its volts like one that gives, sources would seem to be
    at their limit, and beside a full battery nothing would be left to hold the volts in the next step.
    """
    topology, rows = block.topology, block.rows
    return State(
        node_v=np.zeros((len(topology.kept), rows)),
        chain_a=np.zeros((len(topology.chains), rows)),
        active_v=np.tile(block.highest_v, (topology.actives, 1)),
        hot_a=np.zeros((topology.heated.chains.size, rows)),
        charging=np.abs(block.emf_v) < block.highest_v,
        off=never_on(block),
        iterations=np.zeros(rows, np.intp),
    )


def never_on(block: Block) -> Flags:
    """Return which regulated sources are disabled: nothing to give, an open line, a dead input."""
    off: Flags = block.limit_a <= 0
    return off


@dataclass(slots=True)
class _Stack:
    """Parameters of some branches as one array, a branch a line."""

    parameters: RowParameters
    first: int
    last: int

    def __call__(self, branches: Sequence[int], position: int) -> Array:
        out = np.empty((len(branches), self.last - self.first))
        for line, branch in enumerate(branches):
            value = self.parameters[branch][position]
            is_array = isinstance(value, np.ndarray) and value.ndim
            out[line] = value[self.first : self.last] if is_array else value  # type: ignore[index]
        return out


def prepare(
    topology: Topology,
    parameters: RowParameters,
    first: int,
    last: int,
    *,
    stride: TakesStride,
    writes: Writes | None = None,
) -> Block:
    """Lay out rows ``first`` up to ``last``; the parameters have been checked."""
    stack = _Stack(parameters, first, last)
    active, cells = topology.active_branches, [cell.branch for cell in topology.cells]
    conductors_ohm = stack(topology.resistors.branches, 0), stack(topology.heated.branches, 0)
    emf_v, discharge_ohm, charge_ohm = (stack(cells, position) for position in range(3))
    sources, laws = active[topology.regulated_span], active[topology.law_span]
    set_v, limit_a, law_a = stack(sources, 0), stack(sources, 1), stack(laws, 0)
    closed = _close_open_parts(topology, *conductors_ohm, discharge_ohm, limit_a, law_a=law_a)
    charge_ohm[np.isinf(charge_ohm)] = 1.0
    exponent = np.array([[np.max(parameters[branch][2])] for branch in laws], float).reshape(-1, 1)
    watts, efficiency = _power(topology, stack)
    block = Block(
        topology=topology,
        stride=stride,
        writes=writes,
        **_conductors(topology, stack, *conductors_ohm),
        emf_v=emf_v * _signs(topology),
        discharge_ohm=discharge_ohm,
        charge_ohm=charge_ohm,
        watts=watts,
        efficiency=efficiency,
        factor=law_a / stack(laws, 1) ** exponent,
        exponent=exponent,
        set_v=set_v,
        limit_a=limit_a,
        droop_s=1 / stack(sources, 2),
        amps=stack(active[topology.current_span], 0),
        highest_v=_highest_v(emf_v, set_v, limit_a),
        closed=closed,
    )
    reach_rows(block)
    return block


def _conductors(
    topology: Topology, stack: Callable[[Sequence[int], int], Array], resistor_ohm: Array, heat_ohm: Array
) -> dict[str, Array]:
    """What conductors add along their chains, cold and by their own heat."""
    kappa = stack(topology.heated.branches, 1)
    hottest = kappa[: topology.heated.chains.size].copy()
    for first, last in topology.heated.spans[1:]:
        np.maximum(hottest[: last - first], kappa[first:last], out=hottest[: last - first])
    linear_ohm = _added_along(topology.resistors, resistor_ohm, np.zeros((len(topology.chains), 1)))
    return {
        "resistor_ohm": resistor_ohm,
        "linear_ohm": linear_ohm,
        "cold_ohm": _added_along(topology.heated, heat_ohm, linear_ohm),
        "heat_ohm": heat_ohm,
        "kappa": kappa,
        "hottest": hottest,
    }


def _signs(topology: Topology) -> Array:
    """Which way each cell stands in its chain, a row each."""
    return np.array([float(cell.sign) for cell in topology.cells]).reshape(-1, 1)


def _highest_v(emf_v: Array, set_v: Array, limit_a: Array) -> Array:
    """The most that any source may hold in each row; nothing where there is none. [V]"""
    nothing = np.zeros((1, emf_v.shape[1]))
    highest_v: Array = np.vstack([emf_v, np.where(limit_a > 0, set_v, 0.0), nothing]).max(0)
    return highest_v


def _power(topology: Topology, stack: Callable[[Sequence[int], int], Array]) -> tuple[Array, Array]:
    """Watts of loads and of idling converters, and the efficiency of the converters."""
    inputs = [entry for entry, _ in topology.converters]
    watts = stack(topology.active_branches[: topology.powers], 0)
    efficiency = watts[inputs]
    if inputs:
        watts[inputs] = stack([topology.branch_of_chain(entry) for entry in inputs], 1)
    return watts, efficiency


def _added_along(layered: Layered, values: Array, chain_sums: Array) -> Array:
    """Return the sums of chains with the values of parts added."""
    added = np.tile(chain_sums, (1, values.shape[1])) if chain_sums.shape[1] == 1 else chain_sums.copy()
    add_along(layered, values, added)
    return added


def add_along(layered: Layered, values: Array, chain_sums: Array) -> None:
    """Add the values of parts to the sums of their chains."""
    if not layered.sizes:
        return
    spans = layered.spans
    first, last = spans[0]
    sums = values[first:last].copy()
    for first, last in spans[1:]:
        sums[: last - first] += values[first:last]
    chain_sums[layered.chains] += sums


def _close_open_parts(
    topology: Topology,
    resistor_ohm: Array,
    heat_ohm: Array,
    discharge_ohm: Array,
    limit_a: Array,
    *,
    law_a: Array,
) -> Flags | None:
    """Replace infinite ohms by 1 ohm; return which chains are closed, or None where all are in every row."""
    rows = limit_a.shape[1]
    # A lamp or fan that is off joins nothing: with no slope at all it would leave its island undecided.
    idle = law_a == 0
    opened = [np.isinf(values) for values in (resistor_ohm, heat_ohm, discharge_ohm)]
    disabled = limit_a <= 0
    if not (any(mask.any() for mask in opened) or disabled.any() or idle.any()):
        return None
    is_open = np.zeros((len(topology.chains), rows))
    for values, mask in zip((resistor_ohm, heat_ohm, discharge_ohm), opened, strict=True):
        values[mask] = 1.0
    add_along(topology.resistors, opened[0].astype(float), is_open)
    add_along(topology.heated, opened[1].astype(float), is_open)
    for cell, mask in zip(topology.cells, opened[2], strict=True):
        is_open[cell.chain] += mask
    is_open[topology.regulated_span] += disabled
    is_open[topology.law_span] += idle
    closed: Flags = is_open == 0
    return closed


def reach_rows(block: Block) -> None:
    """Fill in which chains carry current and which islands are pinned, once a pattern of open chains."""
    topology, closed = block.topology, block.closed
    if closed is None:
        patterns = np.ones((len(topology.chains), 1), np.bool_)
        which = np.zeros(block.rows, np.intp)
    else:
        packed, which = np.unique(np.packbits(closed, axis=0), axis=1, return_inverse=True)
        which = which.reshape(-1)
        patterns = np.unpackbits(packed, axis=0, count=len(topology.chains)).astype(np.bool_)
    found = [reach(topology, tuple(pattern.tolist())) for pattern in patterns.T]
    if not all(all(one.carries) for one in found):
        carries = np.array([one.carries for one in found], float).T[:, which]
        block.carries = carries
        block.watts *= carries[: topology.powers]
        block.amps *= carries[topology.current_span]
        block.limit_a[carries[topology.regulated_span] == 0] = 0.0
    if any(one.pins for one in found):
        pins = np.zeros((len(topology.kept), len(found)))
        for column, one in enumerate(found):
            pins[list(one.pins), column] = 1.0
        block.pins = pins[:, which]
