"""From a meter's accuracy to a combined value: uncertainty by JCGM 100.

A standard uncertainty is one standard deviation. Readings of one quantity are combined with weights that
know what the readings share (the gain of one meter), and tested for whether they agree at all.
"""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._numbers import Array
from groundstrap.physics._range import ANY_FINITE, NOT_NEGATIVE, POSITIVE, within
from groundstrap.physics.distributions import (
    chi_square_exceeds,
    normal_probability,
    normal_quantile,
    student_quantile,
)
from groundstrap.records import dataclass

ACCURACY_PCT: Final = (0.0, 100.0)
COVERAGE: Final = (0.01, 0.999999)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterUncertainty:
    """What one reading of a meter is worth, in the unit of the reading.

    ``limit`` is the maker's bound; ``gain`` and ``digits`` are the standard uncertainties of its two parts,
    the first shared by all readings of that meter and range, the second of each reading alone;
    ``standard`` is that of the reading, from the whole bound.
    """

    limit: float
    gain: float
    digits: float
    standard: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OneSided:
    """A reading corrected for something that can only add to it."""

    value: float
    standard_uncertainty: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Combined:
    """Several values of one quantity, combined; ``p`` is the chance of values that disagree more."""

    value: float
    standard_uncertainty: float
    weights: tuple[float, ...]
    chi2: float
    degrees: int
    p: float


@within(half_width=NOT_NEGATIVE)
def rectangular_uncertainty(half_width: float) -> float:
    """Standard uncertainty of a value known to lie within bounds, all places alike. [unit of the bounds]

    Source: JCGM 100, 4.3.7.

    Parameters
    ----------
    half_width : float
        Half the distance of the bounds. [unit of the result]

    Examples
    --------
    By hand: 0.083 / sqrt(3).

    >>> round(rectangular_uncertainty(0.083), 4)
    0.0479
    """
    return half_width / math.sqrt(3)


@within(half_width=NOT_NEGATIVE)
def triangular_uncertainty(half_width: float) -> float:
    """Standard uncertainty of a value within bounds, the middle likelier. [unit of the bounds]

    Source: JCGM 100, 4.3.9.

    Parameters
    ----------
    half_width : float
        Half the distance of the bounds. [unit of the result]

    Examples
    --------
    By hand: 0.083 / sqrt(6).

    >>> round(triangular_uncertainty(0.083), 4)
    0.0339
    """
    return half_width / math.sqrt(6)


@within(half_width=NOT_NEGATIVE)
def arcsine_uncertainty(half_width: float) -> float:
    """Standard uncertainty of a value that swings between bounds. [unit of the bounds]

    Source: JCGM 101, 6.4.6.

    Parameters
    ----------
    half_width : float
        Half the distance of the bounds. [unit of the result]

    Examples
    --------
    By hand: 0.5 / sqrt(2).

    >>> round(arcsine_uncertainty(0.5), 4)
    0.3536
    """
    return half_width / math.sqrt(2)


@within(reading=ANY_FINITE, accuracy_pct=ACCURACY_PCT, digits=(0, 1000), digit=NOT_NEGATIVE)
def meter_uncertainty(
    reading: float, *, accuracy_pct: float, digits: float, digit: float
) -> MeterUncertainty:
    """Uncertainty of a meter's reading, from 'so many percent of reading and so many digits'.

    Source: JCGM 100, 4.3.7, the maker's bound taken as rectangular. The two parts are kept beside the whole:
    in a difference of two readings of one meter the gain falls out.

    Parameters
    ----------
    reading : float
        What the meter shows. [unit of the result]
    accuracy_pct : float
        Share of the reading. [%]
    digits : float
        How many last digits. [1]
    digit : float
        Weight of the last digit. [unit of the result]

    Examples
    --------
    By hand: 12.60 V within 0.5 % + 2 digits of 10 mV is within 0.063 + 0.020 V.

    >>> meter = meter_uncertainty(12.60, accuracy_pct=0.5, digits=2, digit=0.01)
    >>> round(meter.limit, 3), round(meter.standard, 3)
    (0.083, 0.048)
    """
    gain_limit, digits_limit = abs(reading) * accuracy_pct / 100, digits * digit
    return MeterUncertainty(
        limit=gain_limit + digits_limit,
        gain=rectangular_uncertainty(gain_limit),
        digits=rectangular_uncertainty(digits_limit),
        standard=rectangular_uncertainty(gain_limit + digits_limit),
    )


@within(first_digits=NOT_NEGATIVE, second_digits=NOT_NEGATIVE, gain_of_difference=NOT_NEGATIVE)
def difference_uncertainty(first_digits: float, second_digits: float, *, gain_of_difference: float) -> float:
    """Standard uncertainty of the difference of two readings of one meter and range. [unit of the readings]

    Source: JCGM 100, 5.2.2: the gain is common to both, so only that of the difference itself is left.

    Parameters
    ----------
    first_digits, second_digits : float
        Standard uncertainty of the digits part of each reading. [unit of the result]
    gain_of_difference : float
        Gain part reckoned on the difference, about nothing where the readings are close. [unit of the result]

    Examples
    --------
    By hand: two readings with 20 mV of digits each: sqrt(2) * 0.020 / sqrt(3).

    >>> u = rectangular_uncertainty(0.020)
    >>> round(difference_uncertainty(u, u, gain_of_difference=0.0), 4)
    0.0163
    """
    return math.hypot(first_digits, second_digits, gain_of_difference)


@within(reading_ohm=NOT_NEGATIVE, low_ohm=NOT_NEGATIVE, high_ohm=NOT_NEGATIVE)
def without_leads(reading_ohm: float, *, low_ohm: float, high_ohm: float) -> OneSided:
    """Resistance behind a meter's leads, which can only have added to the reading. [ohm]

    Source: JCGM 100, 3.2.4 (a known effect is corrected) and 4.3.7 (its bounds are rectangular). Test leads
    of 0.2 to 0.5 ohm: common practice. What would be below nothing is left out: resistance isn't negative.

    Parameters
    ----------
    reading_ohm : float
        What the meter shows, leads included. [ohm]
    low_ohm : float
        Least that the leads have. [ohm]
    high_ohm : float
        Most that the leads have; not under the least. [ohm]

    Examples
    --------
    By hand: 1.2 - 0.35, within 0.15.

    >>> behind = without_leads(1.2, low_ohm=0.2, high_ohm=0.5)
    >>> round(behind.value, 3), round(behind.low, 3), round(behind.high, 3)
    (0.85, 0.7, 1.0)
    """
    if high_ohm < low_ohm:
        raise OutOfRangeError("without_leads", "high_ohm", high_ohm, low_ohm, math.inf)
    if reading_ohm < low_ohm:
        raise OutOfRangeError("without_leads", "reading_ohm", reading_ohm, low_ohm, math.inf)
    low, high = max(0.0, reading_ohm - high_ohm), reading_ohm - low_ohm
    return OneSided(
        value=(low + high) / 2,
        standard_uncertainty=rectangular_uncertainty((high - low) / 2),
        low=low,
        high=high,
    )


def root_sum_square(parts: Sequence[float]) -> float:
    """Standard uncertainty of a sum of independent parts. [unit of the parts]

    Source: JCGM 100, 5.1.2, equation 10 with sensitivities already in the parts.

    Parameters
    ----------
    parts : sequence of float
        Standard uncertainties, each times its sensitivity. [unit of the result]

    Examples
    --------
    >>> root_sum_square((3.0, 4.0))
    5.0
    """
    return math.hypot(*parts)


def effective_degrees(parts: Sequence[float], degrees: Sequence[float]) -> float:
    r"""Degrees of freedom of a combined uncertainty. [1]

    Source: JCGM 100, G.4.1, equation G.2b (Welch and Satterthwaite).

    .. math:: \nu = u_c^4 / \sum u_i^4 / \nu_i

    Parameters
    ----------
    parts : sequence of float
        Standard uncertainties, each times its sensitivity. [one unit]
    degrees : sequence of float
        Degrees of freedom of each; inf where it is known exactly. [1]

    Examples
    --------
    By hand, parts 3 and 4 make 5: 5^4 / (3^4 / 4 + 4^4 / 8).

    >>> round(effective_degrees((3.0, 4.0), (4, 8)), 4)
    11.9617
    """
    spread = sum(part**4 / known for part, known in zip(parts, degrees, strict=True))
    return root_sum_square(parts) ** 4 / spread if spread > 0 else math.inf


@within(coverage=COVERAGE, degrees=(0.5, math.inf))
def coverage_factor(coverage: float, *, degrees: float) -> float:
    """Standard uncertainties to each side that cover a share of cases. [1]

    Source: JCGM 100, G.3.2 and table G.2.

    Parameters
    ----------
    coverage : float
        Share of cases between the two ends. [1]
    degrees : float
        Degrees of freedom; inf for the normal distribution. [1]

    Examples
    --------
    >>> round(coverage_factor(0.95, degrees=math.inf), 2)
    1.96
    """
    probability = (1 + coverage) / 2
    if math.isinf(degrees):
        return normal_quantile(probability)
    return student_quantile(probability, degrees)


def shared_covariance(standards: Sequence[float], shared: Sequence[float], groups: Sequence[int]) -> Array:
    """Covariance of values of which some share one error, such as the gain of one meter. [unit squared]

    Source: JCGM 100, 5.2.2 and F.1.2.3: what two values share counts fully correlated.

    Parameters
    ----------
    standards : sequence of float
        Standard uncertainty of each value. [one unit]
    shared : sequence of float
        Standard uncertainty of the part that it shares within its group; not over the whole. [same unit]
    groups : sequence of int
        Which values share: those with the same number. [1]

    Examples
    --------
    >>> shared_covariance((5.0, 5.0, 2.0), (3.0, 3.0, 0.0), (1, 1, 2)).tolist()
    [[25.0, 9.0, 0.0], [9.0, 25.0, 0.0], [0.0, 0.0, 4.0]]
    """
    whole, part = np.asarray(standards, dtype=float), np.asarray(shared, dtype=float)
    for number, share in zip(whole, part, strict=True):
        if not 0 <= share <= number:
            raise OutOfRangeError("shared_covariance", "shared", float(share), 0.0, float(number))
    alike = np.equal.outer(np.asarray(groups), np.asarray(groups))
    covariance = np.where(alike, np.outer(part, part), 0.0)
    np.fill_diagonal(covariance, whole**2)
    return covariance


def combine(values: Sequence[float], covariance: Array) -> Combined:
    r"""Best value of one quantity from several, with a test of whether they agree.

    Source: generalised least squares (Aitken 1935), chi-square of the residuals. A value whose weight would
    be negative is given none: with a large common part such weights put the result outside all readings.

    .. math:: \hat y = \frac{1^T V^{-1} x}{1^T V^{-1} 1}, \quad
        \chi^2 = (x - \hat y)^T V^{-1} (x - \hat y)

    Parameters
    ----------
    values : sequence of float
        The values. [one unit]
    covariance : array of float
        Their covariance, positive definite. [unit squared]

    Examples
    --------
    By hand: 10 within 1 and 12 within 2: (10 * 4 + 12) / 5, u = 2 / sqrt(5), chi2 = 4 / 5.

    >>> both = combine((10.0, 12.0), np.diag((1.0, 4.0)))
    >>> round(both.value, 6), round(both.standard_uncertainty, 4), round(both.chi2, 6)
    (10.4, 0.8944, 0.8)
    """
    x = np.asarray(values, dtype=float)
    weights = _weights(covariance)
    value = float(weights @ x)
    residual = x - value
    chi2 = float(residual @ np.linalg.solve(covariance, residual))
    degrees = len(x) - 1
    return Combined(
        value=value,
        standard_uncertainty=math.sqrt(float(weights @ covariance @ weights)),
        weights=tuple(float(w) for w in weights),
        chi2=chi2,
        degrees=degrees,
        p=chi_square_exceeds(chi2, degrees) if degrees > 0 else 1.0,
    )


def _weights(covariance: Array) -> Array:
    """Least-variance weights that sum to one, none of them negative."""
    used = np.arange(len(covariance))
    while True:
        raw = np.linalg.solve(covariance[np.ix_(used, used)], np.ones(len(used)))
        if (raw > 0).all() or len(used) == 1:
            weights = np.zeros(len(covariance))
            weights[used] = raw / raw.sum()
            return weights
        used = np.delete(used, int(raw.argmin()))


@within(value=ANY_FINITE, standard_uncertainty=POSITIVE, threshold=ANY_FINITE)
def probability_above(value: float, *, standard_uncertainty: float, threshold: float) -> float:
    """Probability that the true value stands above a threshold. [1]

    Source: JCGM 106, 7.2, normal distribution, from memory.

    Parameters
    ----------
    value : float
        Best value. [one unit]
    standard_uncertainty : float
        Its standard uncertainty. [same unit]
    threshold : float
        The threshold. [same unit]

    Examples
    --------
    One standard uncertainty above: 84 %.

    >>> round(probability_above(11.0, standard_uncertainty=1.0, threshold=10.0), 3)
    0.841
    """
    return normal_probability((value - threshold) / standard_uncertainty)
