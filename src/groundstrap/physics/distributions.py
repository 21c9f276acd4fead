"""Probabilities and quantiles of the normal, chi-square and Student distributions.

Written with the standard library alone, so that nothing that runs needs scipy; the tests compare with it.
"""

import math
from statistics import NormalDist
from typing import Final

from groundstrap.physics._range import ANY_FINITE, NOT_NEGATIVE, within
from groundstrap.physics._root import crossing

PROBABILITY: Final = (1e-12, 1 - 1e-12)
DEGREES: Final = (0.05, 1e9)

_NORMAL: Final = NormalDist()
_MOST_TERMS: Final = 10_000
_ENOUGH: Final = 1e-16
_TINY: Final = 1e-300
_LOG_LEAST: Final = -650.0
_AS_GOOD_AS_NORMAL: Final = 1e7
"""Degrees of freedom above which Student's quantile is the normal one to seven digits."""


@within(probability=PROBABILITY)
def normal_quantile(probability: float) -> float:
    """Value that a standard normal variable stays under with a probability. [1]

    Source: JCGM 100 annex G.1; the algorithm is the standard library's.

    Parameters
    ----------
    probability : float
        Probability to stay under the value. [1]

    Examples
    --------
    >>> round(normal_quantile(0.975), 3)
    1.96
    """
    return _NORMAL.inv_cdf(probability)


@within(value=ANY_FINITE)
def normal_probability(value: float) -> float:
    """Probability that a standard normal variable stays under a value. [1]

    Source: definition, by the error function.

    Parameters
    ----------
    value : float
        The value. [1]

    Examples
    --------
    >>> round(normal_probability(1.96), 3)
    0.975
    """
    return 0.5 * math.erfc(-value / math.sqrt(2))


@within(chi2=NOT_NEGATIVE, degrees=DEGREES)
def chi_square_exceeds(chi2: float, degrees: float) -> float:
    """Probability that a chi-square variable is larger than a value: the p value of a consistency test. [1]

    Source: upper incomplete gamma function, DLMF 8.7.1 (series) and 8.9.2 (continued fraction).

    Parameters
    ----------
    chi2 : float
        Sum of squared normalised deviations. [1]
    degrees : float
        Degrees of freedom. [1]

    Examples
    --------
    With two degrees it is exp(-x / 2): 5.991 is exceeded in 5 % of cases.

    >>> round(chi_square_exceeds(5.991, 2), 4)
    0.05
    """
    return _upper_gamma_share(degrees / 2, chi2 / 2)


def _upper_gamma_share(shape: float, x: float) -> float:
    if x == 0.0:
        return 1.0
    scale = math.exp(shape * math.log(x) - x - math.lgamma(shape))
    return 1 - scale * _gamma_series(shape, x) if x < shape + 1 else scale * _gamma_fraction(shape, x)


def _gamma_series(shape: float, x: float) -> float:
    term = total = 1 / shape
    for step in range(1, _MOST_TERMS):
        term *= x / (shape + step)
        total += term
        if term < total * _ENOUGH:
            break
    return total


def _gamma_fraction(shape: float, x: float) -> float:
    b = x + 1 - shape
    c, d = 1 / _TINY, 1 / b
    value = d
    for step in range(1, _MOST_TERMS):
        a = -step * (step - shape)
        b += 2
        d = 1 / _not_zero(a * d + b)
        c = _not_zero(b + a / c)
        value *= d * c
        if abs(d * c - 1) < 4 * _ENOUGH:
            break
    return value


def _not_zero(x: float) -> float:
    return x if abs(x) > _TINY else _TINY


@within(probability=(1e-9, 1 - 1e-9), degrees=DEGREES)
def chi_square_quantile(probability: float, degrees: float) -> float:
    """Value that a chi-square variable stays under with a probability. [1]

    Source: ``chi_square_exceeds`` solved for the value.

    Parameters
    ----------
    probability : float
        Probability to stay under the value. [1]
    degrees : float
        Degrees of freedom. [1]

    Examples
    --------
    >>> round(chi_square_quantile(0.95, 3), 3)
    7.815
    """
    high = degrees + 10.0
    while chi_square_exceeds(high, degrees) > 1 - probability:
        high *= 2
    # In logarithms, since with few degrees the value may be very small.
    return math.exp(
        crossing(
            lambda log_x: chi_square_exceeds(math.exp(log_x), degrees) - (1 - probability),
            _LOG_LEAST,
            math.log(high),
            tolerance=1e-13,
        )
    )


@within(value=ANY_FINITE, degrees=DEGREES)
def student_probability(value: float, degrees: float) -> float:
    """Probability that a Student variable stays under a value. [1]

    Source: incomplete beta function, DLMF 8.17.22 (continued fraction).

    Parameters
    ----------
    value : float
        The value. [1]
    degrees : float
        Degrees of freedom. [1]

    Examples
    --------
    With one degree it is 1/2 + atan(t) / pi: three quarters at 1.

    >>> round(student_probability(1.0, 1), 9)
    0.75
    """
    if degrees > _AS_GOOD_AS_NORMAL:
        return normal_probability(value)
    tail = 0.5 * _beta_share(degrees / (degrees + value * value), degrees / 2, 0.5)
    return 1 - tail if value > 0 else tail


def _beta_share(x: float, a: float, b: float) -> float:
    if x >= 1.0:
        return 1.0
    log_scale = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    if x < (a + 1) / (a + b + 2):
        return math.exp(log_scale) * _beta_fraction(x, a, b) / a
    return 1 - math.exp(log_scale) * _beta_fraction(1 - x, b, a) / b


def _beta_fraction(x: float, a: float, b: float) -> float:
    c, d = 1.0, 1 / _not_zero(1 - (a + b) * x / (a + 1))
    value = d
    for step in range(1, _MOST_TERMS):
        even = step * (b - step) * x / ((a + 2 * step - 1) * (a + 2 * step))
        odd = -(a + step) * (a + b + step) * x / ((a + 2 * step) * (a + 2 * step + 1))
        for term in (even, odd):
            d = 1 / _not_zero(1 + term * d)
            c = _not_zero(1 + term / c)
            value *= d * c
        if abs(d * c - 1) < 4 * _ENOUGH:
            break
    return value


@within(probability=(1e-6, 1 - 1e-6), degrees=(0.5, 1e9))
def student_quantile(probability: float, degrees: float) -> float:
    """Value that a Student variable stays under with a probability. [1]

    Source: ``student_probability`` solved for the value; JCGM 100 table G.2 prints its two-sided values.

    Parameters
    ----------
    probability : float
        Probability to stay under the value; 0.975 for a two-sided 95 %. [1]
    degrees : float
        Degrees of freedom. [1]

    Examples
    --------
    JCGM 100 table G.2 prints 2.92 for 16 degrees at 99 %.

    >>> round(student_quantile(0.995, 16), 2)
    2.92
    """
    if degrees > _AS_GOOD_AS_NORMAL:
        return normal_quantile(probability)
    if probability < 0.5:
        return -student_quantile(1 - probability, degrees)
    high = 2.0
    while student_probability(high, degrees) < probability:
        high *= 2
    return crossing(
        lambda t: student_probability(t, degrees) - probability, 0.0, high, tolerance=1e-13 * high
    )
