"""The sums behind a search: the integral along a stretch, conditioning, and expected information."""

from __future__ import annotations

import math

import numpy as np
import pytest

from groundstrap.locate.belief import Known, believe, expected_bits

GRID = np.linspace(0.0, 1.0, 20_001)


def known(
    start: list[list[float]], way: list[list[float]], *, spread: np.ndarray | None = None, own: float = 0.01
) -> Known:
    """Stretches of equal chance, each a place of its own, nothing wrong the first."""
    first, along = np.array(start), np.array(way)
    count, readings = first.shape
    return Known(
        start=first,
        way=along,
        chance=np.full(count, 1 / count),
        place=np.arange(count) - 1,
        spread=np.zeros((readings, readings)) if spread is None else spread,
        own=np.full(readings, own**2),
        flow=np.ones(count),
        shape=np.zeros((count, readings)),
    )


@pytest.mark.parametrize("value", [-0.02, 0.0, 0.1, 0.37, 0.5, 0.52])
def test_a_stretch_is_as_likely_as_the_mean_over_it(value: float) -> None:
    two = known([[0.0], [0.1]], [[0.0], [0.4]], own=0.02)
    found = believe(two, np.array([0]), np.array([value]))
    along = np.trapezoid(np.exp(-0.5 * ((value - 0.1 - 0.4 * GRID) / 0.02) ** 2), GRID)
    nothing = math.exp(-0.5 * (value / 0.02) ** 2)
    assert found.chance[1] == pytest.approx(along / (along + nothing), rel=1e-3)


@pytest.mark.parametrize("moves", [0.0004, 0.002, 0.02, 0.2])
def test_far_from_both_ends_too_a_stretch_is_as_likely_as_the_mean_over_it(moves: float) -> None:
    # Both lie ten deviations off what was read: the stretch from its upper end down, nothing from above.
    two = known([[0.5], [0.1 - moves]], [[0.0], [moves]], own=0.02)
    found = believe(two, np.array([0]), np.array([0.3]))
    along = np.trapezoid(np.exp(-0.5 * ((0.2 + moves - moves * GRID) / 0.02) ** 2), GRID)
    nothing = math.exp(-0.5 * 10.0**2)
    # The bell falls faster than the exponential that stands for it: by 1 / 10^2.
    assert found.chance[1] == pytest.approx(along / (along + nothing), rel=0.01)


def test_two_readings_that_share_what_is_unsure_count_as_little_more_than_one() -> None:
    # Both move together by 0.3; only their difference is known well.
    shared = np.full((2, 2), 0.3**2)
    three = known([[0.0, 0.0], [0.4, 0.4], [0.4, 0.0]], [[0.0, 0.0]] * 3, spread=shared)
    found = believe(three, np.array([0, 1]), np.array([0.4, 0.4]))
    covariance = shared + 1e-4 * np.eye(2)
    off = np.array([[0.4, 0.4], [0.0, 0.0], [0.0, 0.4]])
    weights = [math.exp(-0.5 * o @ np.linalg.solve(covariance, o)) for o in off]
    assert found.chance == pytest.approx(np.array(weights) / sum(weights), rel=1e-9)
    assert found.chance[2] < 1e-9


def test_what_was_read_moves_what_is_expected_of_the_rest() -> None:
    shared = np.full((2, 2), 0.2**2)
    one = known([[1.0, 5.0]], [[0.0, 0.0]], spread=shared, own=0.1)
    found = believe(one, np.array([0]), np.array([1.5]))
    # By hand: a gain of 0.04 / 0.05, and what is left of the variance.
    assert found.mean[0, 1] == pytest.approx(5.0 + 0.8 * 0.5)
    assert found.variance[0, 1] == pytest.approx(0.04 - 0.8 * 0.04 + 0.01)


def test_a_reading_tells_one_bit_where_it_parts_two_places() -> None:
    two = known([[0.0, 0.0], [1.0, 0.0]], [[0.0, 0.0]] * 2)
    start = believe(two, np.array([], dtype=int), np.array([]))
    bits = expected_bits(start, two.place, np.array([0, 1]))
    assert bits[0] == pytest.approx(1.0, abs=1e-3)
    assert bits[1] == pytest.approx(0.0, abs=1e-3)


def test_what_a_blunt_reading_tells_is_what_a_count_of_cases_says() -> None:
    two = known([[0.0], [0.3]], [[0.0], [0.0]], own=0.2)
    start = believe(two, np.array([], dtype=int), np.array([]))
    # By a long sum over the value, by hand: entropy of the mixture less that of the meter.
    y = np.linspace(-2.0, 2.3, 200_001)
    each = [np.exp(-0.5 * ((y - m) / 0.2) ** 2) / (0.2 * math.sqrt(2 * math.pi)) for m in (0.0, 0.3)]
    mixture = 0.5 * (each[0] + each[1])
    step = y[1] - y[0]
    wanted = sum(0.5 * (e * np.log2(np.maximum(e, 1e-300) / mixture)).sum() * step for e in each)
    assert expected_bits(start, two.place, np.array([0]))[0] == pytest.approx(wanted, abs=2e-3)


def test_an_open_piece_s_volts_do_not_hide_what_lies_close_together() -> None:
    # Three places, each told surely: 1.585 bits, however far the third lies from the first two.
    three = known([[0.0], [0.1], [12.0]], [[0.0]] * 3)
    start = believe(three, np.array([], dtype=int), np.array([]))
    bits = expected_bits(start, three.place, np.array([0]))[0]
    # Bins lose and never add: one of 32 may lie astride the gap between two thirds of the chance.
    assert math.log2(3.0) - 2 / 32 <= bits <= math.log2(3.0)


def test_readings_that_fit_nothing_leave_no_place_sure() -> None:
    # Both places lie thirty deviations off; taken at its word the nearer one would be all but certain.
    two = known([[0.0, 0.0], [0.1, 0.0]], [[0.0, 0.0]] * 2)
    taken, values = np.array([0, 1]), np.array([0.1, 0.3])
    assert believe(two, taken, values).chance[1] > 0.999
    assert believe(two, taken, values, widened=True).chance[1] < 0.9


def test_only_one_place_left_has_nothing_to_tell() -> None:
    one = known([[0.0]], [[1.0]])
    start = believe(one, np.array([], dtype=int), np.array([]))
    assert expected_bits(start, one.place, np.array([0])).tolist() == [0.0]
