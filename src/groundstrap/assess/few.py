"""Few cases of one network, one after the other: sooner done than a batch is set up."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.solve import Network, Point, Rows, solve_alike

__all__ = ["FEW_ROWS", "solve_each"]

FEW_ROWS: Final = 16
"""Up to so many, one by one is quicker (measured on networks of 40 to 150 branches)."""


def solve_each(network: Network, cases: Sequence[Sequence[tuple[float, ...]]]) -> Rows:
    """Return the working points of some cases, solved one by one; like ones only once."""
    wanted = [tuple(case) for case in cases]
    different = list(dict.fromkeys(wanted))
    known = dict(zip(different, solve_alike(network, different), strict=True))
    return _as_rows(network, [known[case] for case in wanted])


def _as_rows(network: Network, points: Sequence[Point]) -> Rows:
    nodes, branches = len(network.nodes), len(network.branches)
    return Rows(
        network=network,
        status_code=np.array([point.status.code for point in points], dtype=np.int8),
        node_v=_columns([point.node_v for point in points], nodes),
        branch_v=_columns([point.branch_v for point in points], branches),
        branch_a=_columns([point.branch_a for point in points], branches),
        heat_share=_columns([point.heat_share for point in points], branches),
        off=_marked(network, [point.off for point in points]),
        unfed=_marked(network, [point.unfed for point in points]),
        iterations=np.array([point.iterations for point in points], dtype=np.intp),
        worst_kirchhoff_a=np.array([point.worst_kirchhoff_a for point in points]),
        power_error_w=np.array([point.power_error_w for point in points]),
    )


def _columns(points: Sequence[tuple[float, ...]], height: int) -> NDArray[np.float64]:
    """One column a point."""
    count = len(points) * height
    return np.fromiter(chain.from_iterable(points), np.float64, count).reshape(len(points), height).T


def _marked(network: Network, names: Sequence[tuple[str, ...]]) -> NDArray[np.bool_]:
    """The branches that are named, one column a point."""
    marked = np.zeros((len(network.branches), len(names)), dtype=np.bool_)
    if any(names):
        numbers = {branch.name: number for number, branch in enumerate(network.branches)}
        for column, some in enumerate(names):
            marked[[numbers[name] for name in some], column] = True
    return marked
