"""Combining readings: weights, shared errors, consistency; propagation beside the `uncertainties` library."""

import math

import numpy as np
import pytest
import uncertainties
from uncertainties import umath

from groundstrap.physics.propagation import propagate, rectangular, try_out
from groundstrap.physics.uncertainty import (
    combine,
    coverage_factor,
    effective_degrees,
    meter_uncertainty,
    probability_above,
    shared_covariance,
    triangular_uncertainty,
    without_leads,
)


def test_independent_readings_weigh_by_their_variance() -> None:
    result = combine((10.0, 12.0, 11.0), np.diag((1.0, 4.0, 0.25)))
    weights = np.array((1, 0.25, 4)) / 5.25
    assert result.weights == pytest.approx(weights)
    assert result.value == pytest.approx(weights @ (10, 12, 11))
    assert result.standard_uncertainty == pytest.approx(math.sqrt(1 / 5.25))
    assert result.degrees == 2
    by_hand = (result.value - 10) ** 2 + (result.value - 12) ** 2 / 4 + (result.value - 11) ** 2 * 4
    assert result.chi2 == pytest.approx(by_hand)
    assert result.p == pytest.approx(math.exp(-by_hand / 2))


def test_what_is_shared_does_not_average_out() -> None:
    """Nine readings by one meter: the digits shrink to a third, the gain stays."""
    covariance = shared_covariance([5.0] * 9, [3.0] * 9, [1] * 9)
    result = combine([100.0] * 9, covariance)
    assert result.standard_uncertainty == pytest.approx(math.sqrt(9 + 16 / 9))
    assert result.chi2 == pytest.approx(0)


def test_two_meters_share_nothing() -> None:
    covariance = shared_covariance((5.0, 5.0), (3.0, 3.0), (1, 2))
    assert combine((100.0, 104.0), covariance).standard_uncertainty == pytest.approx(5 / math.sqrt(2))


def test_the_result_never_leaves_the_readings() -> None:
    """A large common part would give the second reading a negative weight and put the result under both."""
    covariance = shared_covariance((1.0, 2.0), (0.99, 1.9), (1, 1))
    result = combine((10.0, 11.0), covariance)
    assert result.weights == (1.0, 0.0)
    assert result.value == 10
    assert result.standard_uncertainty == pytest.approx(1)


def test_readings_that_disagree_are_noticed() -> None:
    """2.0 ohm and 0.72 ohm at 12 V, 72 W and 200 W, each good to 3 %: they are not the same thing."""
    result = combine((72.0, 200.0), np.diag(np.square((2.2, 6.0))))
    assert result.p < 1e-9


def test_a_single_reading_is_consistent_with_itself() -> None:
    result = combine((42.0,), np.array([[9.0]]))
    assert (result.value, result.standard_uncertainty, result.degrees, result.p) == (42.0, 3.0, 0, 1.0)


def test_a_meters_two_parts() -> None:
    meter = meter_uncertainty(-0.72, accuracy_pct=0.8, digits=2, digit=0.1)
    assert meter.limit == pytest.approx(0.72 * 0.008 + 0.2)
    assert meter.gain == pytest.approx(0.72 * 0.008 / math.sqrt(3))
    assert meter.digits == pytest.approx(0.2 / math.sqrt(3))
    assert meter.standard == pytest.approx(meter.gain + meter.digits)


def test_leads_take_a_small_reading_down_to_nothing_at_most() -> None:
    behind = without_leads(0.4, low_ohm=0.2, high_ohm=0.5)
    assert (behind.low, behind.high) == pytest.approx((0.0, 0.2))
    assert behind.value == pytest.approx(0.1)
    assert behind.standard_uncertainty == pytest.approx(0.1 / math.sqrt(3))


def test_triangle_is_narrower_than_rectangle() -> None:
    assert triangular_uncertainty(0.083) == pytest.approx(0.0339, abs=5e-5)


def test_all_known_exactly_is_the_normal_distribution() -> None:
    assert effective_degrees((1.0, 2.0), (math.inf, math.inf)) == math.inf
    assert coverage_factor(0.95, degrees=math.inf) == pytest.approx(1.959964, abs=1e-6)


def test_probability_above() -> None:
    assert probability_above(100, standard_uncertainty=5, threshold=100) == pytest.approx(0.5)
    assert probability_above(100, standard_uncertainty=5, threshold=91.7757) == pytest.approx(0.95, abs=1e-5)


def test_propagation_beside_the_uncertainties_library() -> None:
    """A heater's power from its cold resistance, its alloy and the volts; all four independent."""
    volts, ohm = uncertainties.ufloat(13.6, 0.05), uncertainties.ufloat(0.82, 0.03)
    ratio, leads = uncertainties.ufloat(1.02, 0.01), uncertainties.ufloat(0.05, 0.015)
    theirs = volts**2 / ((ohm - leads) * ratio) * umath.exp(-leads)
    ours = propagate(
        lambda v, r, k, x: v**2 / ((r - x) * k) * math.exp(-x),
        (13.6, 0.82, 1.02, 0.05),
        np.diag(np.square((0.05, 0.03, 0.01, 0.015))),
    )
    assert ours.value == pytest.approx(theirs.nominal_value, rel=1e-12)
    assert ours.standard_uncertainty == pytest.approx(theirs.std_dev, rel=1e-6)


def test_an_input_known_exactly_adds_nothing() -> None:
    ours = propagate(lambda a, b: a * b, (3.0, 4.0), np.diag((0.01, 0.0)))
    assert ours.budget == pytest.approx((0.4, 0.0))


def test_trials_of_one_rectangle() -> None:
    out = try_out(lambda x: x, [rectangular(0.0, 1.0)], trials=200_000, seed=3, coverage=0.9)
    assert (out.low, out.high) == pytest.approx((0.05, 0.95), abs=0.005)
    assert out.shortest_high - out.shortest_low == pytest.approx(0.9, abs=0.01)
    assert out.trials == 200_000
