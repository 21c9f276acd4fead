"""ISO/TS 28037:2010, clause 6.3: both examples of a line through uncertain values; from memory."""

from __future__ import annotations

import pytest

from groundstrap.errors import CallError
from groundstrap.physics.trend import weighted_line

TIMES = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0)


def test_equal_weights() -> None:
    line = weighted_line(TIMES, (3.3, 5.6, 7.1, 9.3, 10.7, 12.1), (0.5,) * 6)
    assert (line.intercept, line.slope) == pytest.approx((1.867, 1.757), abs=5e-4)
    assert (line.intercept_u, line.slope_u) == pytest.approx((0.465, 0.120), abs=5e-4)
    assert line.covariance == pytest.approx(-0.050, abs=5e-4)
    # Below 9.488, the 95 % point of chi-square with four degrees.
    assert (line.chi2, line.degrees) == (pytest.approx(1.665, abs=5e-4), 4)


def test_unequal_weights() -> None:
    line = weighted_line(TIMES, (3.2, 4.3, 7.6, 8.6, 11.7, 12.8), (0.5, 0.5, 0.5, 1.0, 1.0, 1.0))
    assert (line.intercept, line.slope) == pytest.approx((0.885, 2.057), abs=5e-4)
    assert (line.intercept_u, line.slope_u) == pytest.approx((0.530, 0.178), abs=5e-4)
    assert line.covariance == pytest.approx(-0.082, abs=5e-4)
    assert line.chi2 == pytest.approx(4.131, abs=5e-4)


@pytest.mark.parametrize(
    ("times", "standards"), [((1.0, 1.0), (0.1, 0.1)), ((1.0, 2.0), (0.1, 0.0)), ((1.0,), (0.1,))]
)
def test_what_is_no_line_is_refused(times: tuple[float, ...], standards: tuple[float, ...]) -> None:
    with pytest.raises(CallError):
        weighted_line(times, times, standards)
