"""Few cases of one network, one after the other: sooner done than a batch is set up."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from groundstrap.solve import Network, Point, Rows, solve_one

__all__ = ["FEW_ROWS", "solve_each"]

FEW_ROWS: Final = 16
"""Up to so many, one by one is quicker (measured on networks of 40 to 150 branches)."""


def solve_each(network: Network, cases: Sequence[Sequence[tuple[float, ...]]]) -> Rows:
    """Return the working points of some cases, solved one by one; like ones only once."""
    known: dict[tuple[tuple[float, ...], ...], Point] = {}
    points = []
    for case in map(tuple, cases):
        if case not in known:
            known[case] = solve_one(network, case)
        points.append(known[case])
    return _as_rows(network, points)


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
