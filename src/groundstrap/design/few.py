"""Few rows of one network, one after the other: sooner done than a batch is set up."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.few import FEW_ROWS, solve_each
from groundstrap.solve import Network, Rows, solve_rows

__all__ = ["FEW_ROWS", "solve_choices"]

Floats = NDArray[np.float64]
Values = Sequence[tuple[float | Floats, ...]]


def solve_choices(network: Network, values: Values, count: int) -> Rows:
    """Return the working points of `count` rows, each parameter a number or one number a row."""
    if count > FEW_ROWS:
        return solve_rows(network, values, rows=count)
    return solve_each(network, _rows(values, count))


def _rows(values: Values, count: int) -> list[list[tuple[float, ...]]]:
    """Return the parameters of each row: most branches have the same in all of them."""
    rows = [list(values) for _ in range(count)]
    for branch, parameters in enumerate(values):
        if any(isinstance(value, np.ndarray) for value in parameters):
            columns = [v.tolist() if isinstance(v, np.ndarray) else [v] * count for v in parameters]
            for row, one in zip(rows, zip(*columns, strict=True), strict=True):
                row[branch] = one
    return rows  # type: ignore[return-value]
