"""Few rows of one network, one after the other: sooner done than a batch is set up."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from groundstrap.solve import Network, Point, Rows, solve_one, solve_rows

__all__ = ["solve_choices"]

Floats = NDArray[np.float64]
Values = Sequence[tuple[float | Floats, ...]]

FEW_ROWS = 12
"""Up to so many, one by one is quicker (measured on networks of 40 to 150 branches)."""


def solve_choices(network: Network, values: Values, count: int) -> Rows:
    """Return the working points of `count` rows, each parameter a number or one number a row."""
    if count > FEW_ROWS:
        return solve_rows(network, values, rows=count)
    return _as_rows(network, [solve_one(network, _row(values, row)) for row in range(count)])


def _row(values: Values, row: int) -> list[tuple[float, ...]]:
    return [
        tuple(float(v[row]) if isinstance(v, np.ndarray) else v for v in parameters) for parameters in values
    ]


def _as_rows(network: Network, points: Sequence[Point]) -> Rows:
    numbers = {branch.name: number for number, branch in enumerate(network.branches)}
    off = np.zeros((len(network.branches), len(points)), dtype=np.bool_)
    unfed = np.zeros_like(off)
    for row, point in enumerate(points):
        off[[numbers[name] for name in point.off], row] = True
        unfed[[numbers[name] for name in point.unfed], row] = True
    return Rows(
        network=network,
        status_code=np.array([point.status.code for point in points], dtype=np.int8),
        node_v=np.array([point.node_v for point in points]).T,
        branch_v=np.array([point.branch_v for point in points]).T,
        branch_a=np.array([point.branch_a for point in points]).T,
        heat_share=np.array([point.heat_share for point in points]).T,
        off=off,
        unfed=unfed,
        iterations=np.array([point.iterations for point in points], dtype=np.intp),
        worst_kirchhoff_a=np.array([point.worst_kirchhoff_a for point in points]),
        power_error_w=np.array([point.power_error_w for point in points]),
    )
