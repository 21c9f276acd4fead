"""The two ways in: one case, and many rows of one topology."""

from typing import Final

import numpy as np

from groundstrap.errors import NetworkError
from groundstrap.solve.backend import Backend, code_of
from groundstrap.solve.block import prepare
from groundstrap.solve.decide import decide, decide_plainly
from groundstrap.solve.network import Network, Parameters, RowParameters, check_one, check_shape, check_values
from groundstrap.solve.recover import recover
from groundstrap.solve.results import Point, Rows, Status
from groundstrap.solve.scalar import solve_plainly
from groundstrap.solve.topology import Topology, compile_topology

#: Rows at once: each call of an array costs by itself, and many rows spare more of them than memory costs.
BLOCK_ROWS: Final = 8192

#: Rows without an easy answer end one after another, so that more of them may begin together.
HARD_ROWS: Final = 8192


def solve_one(network: Network, parameters: Parameters, *, heat: bool = True, plainly: bool = False) -> Point:
    """Return the working point of one case, with heat in its conductors unless ``heat`` is False.

    Where ``plainly``, a case without an easy answer, of which few have one at all, is left unsolved.

    By hand: 600 W behind 20 mohm from 12.6 V: V = (12.6 + sqrt(12.6^2 - 4 * 0.02 * 600))/2.

    >>> from groundstrap.solve import Branch, Law, Network
    >>> network = Network(
    ...     nodes=("minus", "plus", "load"),
    ...     branches=(
    ...         Branch("battery", Law.BATTERY, 1, 0),
    ...         Branch("cable", Law.RESISTOR, 1, 2),
    ...         Branch("inverter", Law.CONSTANT_POWER, 2, 0),
    ...     ),
    ... )
    >>> point = solve_one(network, [(12.6, 0.005, 0.005), (0.015,), (600.0,)])
    >>> round(point.node_v[2], 3), round(point.branch_a[2], 2)
    (11.562, 51.89)
    """
    check_one(network, parameters)
    topology = compile_topology(network)
    point = solve_plainly(network, topology, parameters, heat=heat)
    if point is not None:
        return point
    return _unsolved(network) if plainly else _block_of_one(network, topology, parameters, heat=heat)


def _unsolved(network: Network) -> Point:
    result = _empty(network, 1)
    result.status_code[:] = Status.UNSOLVED.code
    for values in (result.node_v, result.branch_v, result.branch_a, result.heat_share):
        values[:] = np.nan
    return result.row(0)


def _block_of_one(network: Network, topology: Topology, parameters: Parameters, *, heat: bool) -> Point:
    result = _empty(network, 1)
    block = prepare(topology, parameters, 0, 1, stride=code_of(Backend.NUMPY).stride)
    decision = decide(block, heat=heat)
    recover(decision, block, parameters, result, 0, heat=heat)
    return result.row(0)


def solve_rows(
    network: Network,
    parameters: RowParameters,
    *,
    heat: bool = True,
    rows: int | None = None,
    backend: Backend = Backend.NUMPY,
    plainly: bool = False,
) -> Rows:
    """Return the working points of many rows; each parameter is a number or an array with one number a row.

    ``rows`` is needed only where no parameter is an array. ``backend`` says what takes the steps. Where
    ``plainly``, rows without an easy answer, of which few have one at all, are left unsolved.
    """
    found = check_shape(network, parameters)
    if found is not None and rows not in {None, found}:
        raise NetworkError(
            f"{rows} rows asked for, arrays of {found}", wanted="the same number, or rows left out"
        )
    count = found if found is not None else rows if rows is not None else 1
    check_values(network, parameters)
    topology, code = compile_topology(network), code_of(backend)
    result = _empty(network, count)
    for first in range(0, count, BLOCK_ROWS):
        last = min(first + BLOCK_ROWS, count)
        block = prepare(topology, parameters, first, last, stride=code.stride, writes=code.writes)
        recover(decide_plainly(block, heat=heat), block, parameters, result, first, heat=heat)
    # The rows without an easy answer are few and dear: together they cost less than block by block.
    left = np.flatnonzero(~result.found & (not plainly))
    for first in range(0, left.size, HARD_ROWS):
        hard = left[first : first + HARD_ROWS]
        some = [tuple(v[hard] if isinstance(v, np.ndarray) and v.ndim else v for v in p) for p in parameters]
        part = _empty(network, hard.size)
        block = prepare(topology, some, 0, hard.size, stride=code.stride, writes=code.writes)
        recover(decide(block, heat=heat), block, some, part, 0, heat=heat)
        result.put(hard, part)
    return result


def _empty(network: Network, rows: int) -> Rows:
    branches, nodes = len(network.branches), len(network.nodes)
    return Rows(
        network=network,
        status_code=np.zeros(rows, np.int8),
        node_v=np.empty((nodes, rows)),
        branch_v=np.empty((branches, rows)),
        branch_a=np.empty((branches, rows)),
        heat_share=np.zeros((branches, rows)),
        off=np.zeros((branches, rows), np.bool_),
        unfed=np.zeros((branches, rows), np.bool_),
        iterations=np.zeros(rows, np.intp),
        worst_kirchhoff_a=np.empty(rows),
        power_error_w=np.empty(rows),
    )
