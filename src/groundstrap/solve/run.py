"""The ways in: one case, many rows of one topology, and more rows than memory should hold."""

from collections.abc import Iterable, Iterator
from typing import Final

import numpy as np

from groundstrap.errors import NetworkError
from groundstrap.solve.backend import Backend, code_of
from groundstrap.solve.block import prepare
from groundstrap.solve.decide import decide, decide_plainly
from groundstrap.solve.network import (
    Network,
    Parameters,
    RowParameters,
    check_one,
    check_shape,
    check_values,
    taken_rows,
)
from groundstrap.solve.recover import recover
from groundstrap.solve.results import Point, Rows, Status, empty_rows
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
    result = empty_rows(network, 1)
    result.status_code[:] = Status.UNSOLVED.code
    for values in (result.node_v, result.branch_v, result.branch_a, result.heat_share):
        values[:] = np.nan
    return result.row(0)


def _block_of_one(network: Network, topology: Topology, parameters: Parameters, *, heat: bool) -> Point:
    result = empty_rows(network, 1)
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
    result = empty_rows(network, count)
    _solve_easy(network, parameters, result, heat=heat, backend=backend)
    if not plainly:
        _solve_hard(network, parameters, result, heat=heat, backend=backend)
    return result


def solve_batches(
    network: Network,
    batches: Iterable[RowParameters],
    *,
    heat: bool = True,
    backend: Backend = Backend.NUMPY,
) -> Iterator[Rows]:
    """Yield the working points of one batch of rows after another, each as ``solve_rows`` has them.

    What is yielded stands until the next is asked for: batches of as many rows are written over one another,
    because memory that a machine hands out for the first time can cost more than what is solved in it.

    By hand: 12 V through 0.1 ohm and a lamp of 2.9 or 5.9 ohm give 4 and 2 A.

    >>> import numpy as np
    >>> from groundstrap.solve import Branch, Law, Network
    >>> cell, lamp = Branch("cell", Law.BATTERY, 1, 0), Branch("lamp", Law.RESISTOR, 1, 0)
    >>> network = Network(("minus", "plus"), (cell, lamp))
    >>> batches = ([(12.0, 0.1, 0.1), (np.array([ohm]),)] for ohm in (2.9, 5.9))
    >>> [float(rows.branch_a[1, 0]) for rows in solve_batches(network, batches)]
    [4.0, 2.0]
    """
    result: Rows | None = None
    for parameters in batches:
        count = check_shape(network, parameters) or 1
        check_values(network, parameters)
        if result is None or result.rows != count:
            result = empty_rows(network, count)
        else:
            _wipe(result)
        _solve_easy(network, parameters, result, heat=heat, backend=backend)
        _solve_hard(network, parameters, result, heat=heat, backend=backend)
        yield result


def _wipe(result: Rows) -> None:
    """Take back what the next answer leaves as it is: everything else is written in any case."""
    if not result.found.all():
        result.heat_share[:] = 0.0
    result.off[:] = False
    result.unfed[:] = False


def _solve_easy(
    network: Network, parameters: RowParameters, result: Rows, *, heat: bool, backend: Backend
) -> None:
    """Solve the rows that have an easy answer; the others are unsolved so far."""
    topology, code = compile_topology(network), code_of(backend)
    if code.settles is not None and code.settles(topology, parameters, result, heat=heat):
        return
    for first in range(0, result.rows, BLOCK_ROWS):
        last = min(first + BLOCK_ROWS, result.rows)
        block = prepare(topology, parameters, first, last, stride=code.stride, writes=code.writes)
        recover(decide_plainly(block, heat=heat), block, parameters, result, first, heat=heat)


def _solve_hard(
    network: Network, parameters: RowParameters, result: Rows, *, heat: bool, backend: Backend
) -> None:
    """Solve the other rows: they are few and dear, and together they cost less than block by block."""
    topology, code = compile_topology(network), code_of(backend)
    left = np.flatnonzero(~result.found)
    for first in range(0, left.size, HARD_ROWS):
        hard = left[first : first + HARD_ROWS]
        some = taken_rows(parameters, hard)
        part = empty_rows(network, hard.size)
        block = prepare(topology, some, 0, hard.size, stride=code.stride, writes=code.writes)
        recover(decide(block, heat=heat), block, some, part, 0, heat=heat)
        result.put(hard, part)
