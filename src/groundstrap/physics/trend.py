"""A straight line through values of different days, each with its own uncertainty, and where it leads."""

import math
from collections.abc import Sequence

import numpy as np

from groundstrap.errors import CallError
from groundstrap.physics.estimation import estimate_state
from groundstrap.records import dataclass

__all__ = ["Line", "weighted_line"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line and how well it is known; times are those of the values."""

    intercept: float
    """Value at time 0."""
    slope: float
    """A unit of time."""
    intercept_u: float
    slope_u: float
    covariance: float
    """Of intercept and slope."""
    chi2: float
    degrees: int
    p: float
    """Chance of values on a line that scatter more; 1 of two values."""

    def at(self, moment: float) -> float:
        """Return the value at a time."""
        return self.intercept + self.slope * moment

    def u_at(self, moment: float) -> float:
        """Return the standard uncertainty of the line at a time."""
        variance = self.intercept_u**2 + 2.0 * moment * self.covariance + (moment * self.slope_u) ** 2
        return math.sqrt(max(variance, 0.0))


def weighted_line(times: Sequence[float], values: Sequence[float], standards: Sequence[float]) -> Line:
    r"""Straight line through values whose uncertainties are known, by weighted least squares.

    Source: iso-ts-28037 clause 6, from memory.

    .. math:: \min \sum_i \frac{(y_i - a - b\,t_i)^2}{u_i^2}

    Parameters
    ----------
    times : sequence of float
        When each value was found. [any unit of time]
    values : sequence of float
        The values. [any]
    standards : sequence of float
        Standard uncertainty of each, above nothing. [unit of the values]

    Examples
    --------
    By hand: 2 at 0 and 6 at 2, each within 0.1: 2 a unit, the slope within 0.1 times the root of two, over 2.

    >>> line = weighted_line((0.0, 2.0), (2.0, 6.0), (0.1, 0.1))
    >>> round(line.slope, 9), round(line.slope_u, 4), round(line.at(3.0), 6)
    (2.0, 0.0707, 8.0)
    """
    if len(times) != len(values) or len(times) != len(standards) or len(set(times)) < 2:
        raise CallError(
            "a line needs values of two times at least", wanted="as many times as values and uncertainties"
        )
    if min(standards) <= 0.0:
        raise CallError("a value without an uncertainty has no weight", wanted="uncertainties above nothing")
    design = np.column_stack([np.ones(len(times)), np.asarray(times, dtype=float)])
    found = estimate_state(design, values, np.square(np.asarray(standards, dtype=float)))
    return Line(
        intercept=float(found.state[0]),
        slope=float(found.state[1]),
        intercept_u=math.sqrt(float(found.covariance[0, 0])),
        slope_u=math.sqrt(float(found.covariance[1, 1])),
        covariance=float(found.covariance[0, 1]),
        chi2=found.chi2,
        degrees=found.degrees,
        p=found.p,
    )
