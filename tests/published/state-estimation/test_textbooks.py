"""Worked networks of the state-estimation books, and a circuit with one bad joint.

Sources: A. Abur and A. Gomez Exposito, Power System State Estimation (2004), example 2.2, whose network and
readings are published with a power-flow library too, and its answers read there; A. J. Wood and
B. F. Wollenberg, Power Generation, Operation and Control, chapter 12, from memory. The tests of single
readings are not printed for the first: they were reckoned a second time by other code.
"""

import cmath

import numpy as np
import pytest

from groundstrap.errors import CallError, GroundstrapError
from groundstrap.physics.distributions import chi_square_quantile
from groundstrap.physics.estimation import (
    LARGEST_SOUND,
    Linearised,
    estimate_by_steps,
    estimate_state,
    information_nat,
)

LINES = {(0, 1): 0.01 + 0.03j, (0, 2): 0.02 + 0.05j, (1, 2): 0.03 + 0.08j}
READINGS = (1.006, 0.968, -0.501, -0.286, 0.888, 1.173, 0.568, 0.663)
SIGMAS = np.array((0.004, 0.004, 0.010, 0.010, 0.008, 0.008, 0.008, 0.008))


def three_buses(state: np.ndarray) -> np.ndarray:
    """V1, V2, P2, Q2, P12, P13, Q12, Q13 of a state: two angles in radians, three voltages."""
    angles, sizes = (0.0, *state[:2]), state[2:]
    volts = [size * cmath.exp(1j * angle) for size, angle in zip(sizes, angles, strict=True)]

    def flow(i: int, j: int) -> complex:
        ohm = LINES[min(i, j), max(i, j)]
        return volts[i] * ((volts[i] - volts[j]) / ohm).conjugate()

    into_2 = flow(1, 0) + flow(1, 2)
    one_two, one_three = flow(0, 1), flow(0, 2)
    flows = (into_2.real, into_2.imag, one_two.real, one_three.real, one_two.imag, one_three.imag)
    return np.array([sizes[0], sizes[1], *flows])


def linearised(state: np.ndarray) -> Linearised:
    step = 1e-7
    moves = step * np.eye(len(state))
    columns = [(three_buses(state + m) - three_buses(state - m)) / (2 * step) for m in moves]
    return Linearised(three_buses(state), np.array(columns).T)


@pytest.fixture(scope="module", name="three")
def _three():
    return estimate_by_steps(linearised, (0.0, 0.0, 1.0, 1.0, 1.0), READINGS, SIGMAS**2)


def test_three_buses_have_the_printed_state(three) -> None:
    assert three.state[2:] == pytest.approx((0.9996, 0.9742, 0.9439), abs=5e-5)
    assert np.degrees(three.state[:2]) == pytest.approx((-1.2475, -2.7457), abs=5e-5)


def test_chi_square_flags_them_and_no_single_reading_stands_out(three) -> None:
    # The two tests of one set of readings disagree: a tool has to tell both.
    assert three.chi2 == pytest.approx(8.638, abs=5e-4)
    assert three.degrees == 3
    assert chi_square_quantile(0.95, 3) < three.chi2 < chi_square_quantile(0.99, 3)
    printed = (2.226, 2.205, 0.777, 1.810, 0.900, 0.777, 1.660, 1.810)
    assert np.abs(three.normalised) == pytest.approx(printed, abs=5e-4)
    assert three.worst == 0
    assert abs(three.normalised[0]) < LARGEST_SOUND


def test_three_flows_with_one_to_spare() -> None:
    # x12 = 0.2, x13 = 0.4, x23 = 0.25; flows 1-2, 1-3 and 3-2 read within 0.01; the third bus has angle 0.
    design = np.array([[1 / 0.2, -1 / 0.2], [1 / 0.4, 0.0], [0.0, -1 / 0.25]])
    found = estimate_state(design, (0.62, 0.06, 0.37), np.full(3, 1e-4))
    assert found.state == pytest.approx((0.028571, -0.094286), abs=5e-7)
    assert found.predicted == pytest.approx((0.61429, 0.07143, 0.37714), abs=5e-6)
    assert found.chi2 == pytest.approx(2.143, abs=5e-4)
    # With one reading to spare all residuals say the same.
    assert np.abs(found.normalised) == pytest.approx(np.full(3, 1.4639), abs=5e-5)


def test_a_triangle() -> None:
    design = np.array([[-10.0, 0.0], [0.0, -10.0], [10.0, -10.0]])
    found = estimate_state(design, (0.20, 0.42, 0.18), np.array([0.01, 0.01, 0.02]) ** 2)
    assert found.state == pytest.approx((-0.0206667, -0.0413333), abs=5e-7)
    assert found.chi2 == pytest.approx(2.6667, abs=5e-5)
    assert np.abs(found.normalised) == pytest.approx(np.full(3, 1.633), abs=5e-4)


# A circuit that carries 20 A: fuse 2, feed 6, relay 4, ground joint 1.5, return 3 milliohm, each known
# to 15 %; three readings across several of them, good to 10 mV. In truth the ground joint has 12 milliohm.
OHMS = np.array((2.0, 6.0, 4.0, 1.5, 3.0)) * 1e-3
ACROSS = np.array(([1, 1, 1, 0, 0], [0, 0, 0, 1, 1], [1, 1, 0, 0, 0]), dtype=float) * 20.0
READ_V = (0.240, 0.300, 0.160)
DESIGN = np.vstack([np.eye(5), ACROSS])
KNOWN = np.concatenate([OHMS, READ_V])
VARIANCES = np.concatenate([(0.15 * OHMS) ** 2, np.full(3, 0.010**2)])


def test_a_bad_ground_joint_shows_on_its_side() -> None:
    found = estimate_state(DESIGN, KNOWN, VARIANCES)
    assert found.degrees == 3
    assert found.chi2 == pytest.approx(219.13, abs=5e-3)
    on_its_side = np.abs(found.normalised)[[3, 4, 6]]
    assert on_its_side == pytest.approx(np.full(3, 14.803), abs=5e-4)
    assert np.abs(found.normalised)[[0, 1, 2, 5, 7]] == pytest.approx(np.zeros(5), abs=1e-6)


@pytest.mark.parametrize(("segment", "chi2", "mohm"), [(3, 0.0, 12.0), (4, 0.0, 13.5), (0, 219.13, None)])
def test_one_segment_set_free_explains_it_or_does_not(segment: int, chi2: float, mohm: float | None) -> None:
    # The joint and the return behind it explain the readings alike: these can't tell one from the other.
    kept = np.delete(np.arange(8), segment)
    found = estimate_state(DESIGN[kept], KNOWN[kept], VARIANCES[kept])
    assert found.chi2 == pytest.approx(chi2, abs=5e-3)
    if mohm is not None:
        assert found.state[segment] * 1e3 == pytest.approx(mohm, abs=5e-3)


def test_what_the_next_reading_would_tell() -> None:
    # 1 milliohm of doubt at 20 A, a meter of 10 mV.
    assert information_nat((20 * 1e-3) ** 2, noise=0.010) == pytest.approx(0.8047, abs=5e-5)


def test_a_reading_that_nothing_checks_is_named() -> None:
    found = estimate_state(np.array([[1.0, 0.0], [1.0, 0.0], [0.0, 1.0]]), (1.0, 1.2, 5.0), np.ones(3))
    assert found.critical.tolist() == [False, False, True]
    assert np.isnan(found.normalised[2])


@pytest.mark.parametrize(
    ("design", "variances"), [([[1.0, 1.0], [2.0, 2.0]], (1.0, 1.0)), ([[1.0], [1.0]], (1.0, 0.0))]
)
def test_what_can_not_be_estimated_is_refused(
    design: list[list[float]], variances: tuple[float, ...]
) -> None:
    with pytest.raises(GroundstrapError):
        estimate_state(np.array(design), (1.0, 1.0), np.array(variances))


def test_a_state_that_never_settles_is_refused() -> None:
    def to_and_fro(x: np.ndarray) -> Linearised:
        # Newton's method on x^3 - 2 x + 2 goes from 0 to 1 and back.
        return Linearised(np.array([x[0] ** 3 - 2 * x[0] + 2]), np.array([[3 * x[0] ** 2 - 2]]))

    with pytest.raises(CallError, match="does not settle"):
        estimate_by_steps(to_and_fro, (0.0,), (0.0,), np.ones(1))
