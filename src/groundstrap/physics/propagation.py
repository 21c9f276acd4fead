"""Uncertainty through a formula: to first order by JCGM 100, and by trials as in JCGM 101."""

import math
from collections.abc import Callable, Sequence
from typing import Final

import numpy as np

from groundstrap.physics._numbers import Array
from groundstrap.physics._range import within
from groundstrap.records import dataclass

_STEP: Final = 1e-3
"""Step of the numeric derivative, in standard uncertainties."""

Draw = Callable[[np.random.Generator, int], Array]
"""Gives so many trials of one input."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Propagated:
    """Result of a formula with its uncertainty; the budget is each input's part, in the result's unit."""

    value: float
    standard_uncertainty: float
    sensitivities: tuple[float, ...]
    budget: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trials:
    """What many trials of a formula gave; the interval leaves the same share out on each side."""

    mean: float
    standard_uncertainty: float
    low: float
    high: float
    shortest_low: float
    shortest_high: float
    trials: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Observed:
    """Means of quantities observed together, with the covariance of the means."""

    means: tuple[float, ...]
    covariance: Array
    degrees: int


def propagate(formula: Callable[..., float], values: Sequence[float], covariance: Array) -> Propagated:
    r"""Result of a formula with its standard uncertainty, to first order.

    Source: JCGM 100, 5.1.2 and 5.2.2; sensitivities by central differences, 5.1.3 note 2.

    .. math:: u^2 = c^T V c, \quad c_i = \partial f / \partial x_i

    Parameters
    ----------
    formula : callable
        Takes the values in their order, gives one number.
    values : sequence of float
        Best values of the inputs. [units of the formula]
    covariance : array of float
        Their covariance; a diagonal of squared standard uncertainties where they are independent.
        [units squared]

    Examples
    --------
    By hand: a resistance of 20 mV / 20 A, each within limits of 0.4 mV and 0.9 A: 2.84 %.

    >>> u = (0.4e-3 / 3**0.5, 0.9 / 3**0.5)
    >>> r = propagate(lambda v, i: v / i, (0.020, 20.0), np.diag(np.square(u)))
    >>> round(r.value * 1e3, 6), round(r.standard_uncertainty / r.value * 100, 2)
    (1.0, 2.84)
    """
    centre = [float(value) for value in values]
    deviations = np.sqrt(np.diag(covariance))
    sensitivities = np.array([_slope(formula, centre, i, float(u)) for i, u in enumerate(deviations)])
    variance = float(sensitivities @ covariance @ sensitivities)
    return Propagated(
        value=float(formula(*centre)),
        standard_uncertainty=math.sqrt(max(variance, 0.0)),
        sensitivities=tuple(float(c) for c in sensitivities),
        budget=tuple(float(x) for x in np.abs(sensitivities) * deviations),
    )


def _slope(formula: Callable[..., float], centre: list[float], index: int, deviation: float) -> float:
    """Central difference; an input known exactly adds nothing, so its slope isn't looked for."""
    if deviation == 0.0:
        return 0.0
    high, low = list(centre), list(centre)
    high[index] += deviation * _STEP
    low[index] -= deviation * _STEP
    return (float(formula(*high)) - float(formula(*low))) / (high[index] - low[index])


def observe(columns: Sequence[Sequence[float]]) -> Observed:
    """Means and their covariance from quantities that were read together several times.

    Source: JCGM 100, 4.2.3 and 5.2.3 (type A).

    Parameters
    ----------
    columns : sequence of sequence of float
        One sequence a quantity, all of one length, at least two. [units of the quantities]

    Examples
    --------
    By hand: 1, 2, 3: mean 2, variance of the mean 1 / 3.

    >>> seen = observe([[1.0, 2.0, 3.0]])
    >>> seen.means, round(float(seen.covariance[0, 0]), 6)
    ((2.0,), 0.333333)
    """
    table = np.array(columns, dtype=float)
    count = table.shape[1]
    return Observed(
        means=tuple(float(mean) for mean in table.mean(axis=1)),
        covariance=np.atleast_2d(np.cov(table)) / count,
        degrees=count - 1,
    )


@within(trials=(100, 100_000_000), coverage=(0.5, 0.9999))
def try_out(
    formula: Callable[..., Array], draws: Sequence[Draw], *, trials: int, seed: int, coverage: float
) -> Trials:
    """Distribution of a formula's result from many trials of its inputs.

    Source: JCGM 101, 7: independent draws of each input, mean, standard deviation, and both intervals of 7.7.

    Parameters
    ----------
    formula : callable
        Takes one array a quantity, gives an array.
    draws : sequence of callable
        For each input, what gives so many trials of it.
    trials : int
        How many. [1]
    seed : int
        Start of the random numbers; the same seed gives the same result. [1]
    coverage : float
        Share of cases that the intervals cover. [1]

    Examples
    --------
    The sum of four standard normal inputs has a standard deviation of 2.

    >>> normal = lambda random, n: random.standard_normal(n)
    >>> out = try_out(lambda a, b, c, d: a + b + c + d, [normal] * 4, trials=100_000, seed=1, coverage=0.95)
    >>> abs(out.standard_uncertainty - 2) < 0.02
    True
    """
    random = np.random.default_rng(seed)
    results = np.sort(formula(*(draw(random, trials) for draw in draws)))
    inside = round(coverage * trials)
    left_out = (trials - inside) // 2
    shortest = int(np.argmin(results[inside - 1 :] - results[: trials - inside + 1]))
    return Trials(
        mean=float(results.mean()),
        standard_uncertainty=float(results.std(ddof=1)),
        low=float(results[left_out]),
        high=float(results[left_out + inside - 1]),
        shortest_low=float(results[shortest]),
        shortest_high=float(results[shortest + inside - 1]),
        trials=trials,
    )


def rectangular(low: float, high: float) -> Draw:
    """Trials of an input that lies within bounds, all places alike.

    Source: JCGM 101, 6.4.2.

    Parameters
    ----------
    low, high : float
        The bounds. [unit of the input]

    Examples
    --------
    >>> trials = rectangular(1.0, 2.0)(np.random.default_rng(1), 1000)
    >>> bool(trials.min() >= 1.0), bool(trials.max() <= 2.0)
    (True, True)
    """
    return lambda random, count: random.uniform(low, high, count)


def normal(mean: float, standard_uncertainty: float) -> Draw:
    """Trials of an input known by its best value and standard uncertainty.

    Source: JCGM 101, 6.4.7.

    Parameters
    ----------
    mean : float
        Best value. [unit of the input]
    standard_uncertainty : float
        One standard deviation. [unit of the input]

    Examples
    --------
    >>> trials = normal(5.0, 0.1)(np.random.default_rng(1), 10_000)
    >>> abs(float(trials.mean()) - 5.0) < 0.01
    True
    """
    return lambda random, count: random.normal(mean, standard_uncertainty, count)
