"""Few rows of one network, one after the other: sooner done than a batch is set up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.few import FEW_ROWS, solve_each
from groundstrap.solve import Network, Rows, solve_rows

__all__ = ["FEW_ROWS", "solve_choices"]

Floats = NDArray[np.float64]
Changed = Mapping[int, tuple[Floats, ...]]


def solve_choices(network: Network, base: Sequence[tuple[float, ...]], changed: Changed, count: int) -> Rows:
    """Return the working points of some rows: the base, with parameters of their own for some branches."""
    if count > FEW_ROWS:
        values: list[tuple[float | Floats, ...]] = list(base)
        for branch, parameters in changed.items():
            values[branch] = parameters
        return solve_rows(network, values, rows=count)
    rows = [list(base) for _ in range(count)]
    for branch, parameters in changed.items():
        columns = [column.tolist() for column in parameters]
        for row, one in zip(rows, zip(*columns, strict=True), strict=True):
            row[branch] = one
    return solve_each(network, rows)
