"""One step in time of a stiff system, every row with its own length."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.records import dataclass

__all__ = ["Slopes", "Step", "between", "grown", "slopes_at", "step"]

Floats = NDArray[np.float64]
Change = Callable[[Floats], Floats]
"""Of wells (2, batteries, columns, rows): what becomes of them. [Ah/s]"""

_GAMMA: Final = 0.5
_MOVE: Final = 1e-6
_SAFE, _LEAST, _MOST = 0.9, 0.2, 4.0


@dataclass(frozen=True, slots=True, eq=False)
class Slopes:
    """Change at a point and how it moves with the wells: (rows, 2 batteries), (rows, same, same)."""

    change: Floats
    matrix: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """Wells after a step, and how far it may be wrong."""

    wells: Floats
    error: Floats
    """Largest of the wells of each row. [Ah]"""


def _flat(values: Floats) -> Floats:
    """(2, batteries, 1, rows) -> (rows, 2 batteries)."""
    return values.reshape(-1, values.shape[-1]).T


def slopes_at(change: Change, wells: Floats, scale_ah: float) -> Slopes:
    """Return the change at some wells and its derivatives, by small moves of each well at once."""
    count = wells.shape[1]
    size = 2 * count
    moved = np.repeat(wells, 1 + size, axis=2)
    by = _MOVE * scale_ah
    for number in range(size):
        moved[number // count, number % count, 1 + number] += by
    found = change(moved).reshape(size, 1 + size, -1)
    matrix = (found[:, 1:] - found[:, :1]) / by
    return Slopes(found[:, 0].T, np.moveaxis(matrix, 2, 0))


def step(change: Change, wells: Floats, slopes: Slopes, hours_s: Floats) -> Step:
    """Take one step of a Rosenbrock method of third order, L-stable, its error by the second order inside.

    Source: A. Sandu et al., Benchmarking stiff ODE solvers for atmospheric chemistry problems II, Atmospheric
    Environment 31 (1997) 3459 (from memory): four stages, three changes.
    """
    shape = wells.shape
    size, rows = shape[0] * shape[1], shape[-1]
    begin = _flat(wells)
    length = hours_s[:, None]

    def at(values: Floats) -> Floats:
        return _flat(change(values.T.reshape(shape)))

    left = np.eye(size) / (_GAMMA * hours_s)[:, None, None] - slopes.matrix
    solve = np.linalg.inv(left)

    def stage(right: Floats) -> Floats:
        found: Floats = (
            (solve[0] @ right[0])[None] if rows == 1 else np.matmul(solve, right[..., None])[..., 0]
        )
        return found

    first = stage(slopes.change)
    second = stage(slopes.change + 4.0 / length * first)
    third = stage(at(begin + 2.0 * first) + (first - second) / length)
    middle = at(begin + 2.0 * first + third)
    fourth = stage(middle + (first - second - 8.0 / 3.0 * third) / length)
    end = begin + 2.0 * first + third + fourth
    return Step(end.T.reshape(shape), np.abs(fourth).max(axis=1))


def grown(error: Floats) -> Floats:
    """By what a step may grow, or has to shrink, for an error over the allowed one."""
    with np.errstate(divide="ignore"):
        return np.clip(_SAFE * np.maximum(error, 1e-12) ** (-1.0 / 3.0), _LEAST, _MOST)


def between(begin: Floats, end: Floats, first: Floats, last: Floats, at: Floats) -> Floats:
    """Wells at a share of a step: the cubic through both ends with the changes there."""
    rise = end - begin
    return begin + at * (first + at * (3.0 * rise - 2.0 * first - last + at * (first + last - 2.0 * rise)))
