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
    return solve_each(network, [_row(values, row) for row in range(count)])


def _row(values: Values, row: int) -> list[tuple[float, ...]]:
    return [
        tuple(float(v[row]) if isinstance(v, np.ndarray) else v for v in parameters) for parameters in values
    ]
