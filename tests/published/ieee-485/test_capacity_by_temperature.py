"""IEEE 485, capacity of lead-acid by temperature; from memory, with a published polynomial beside it."""

import pytest

from groundstrap.physics.storage import along, capacity_share
from groundstrap.tables import capacity_per_k, station_capacity_curve


def factor(temp_c: float) -> float:
    curve = station_capacity_curve()
    return 1 / along(temp_c, keys=curve.keys, values=curve.typical)


# A stored polynomial in the temperature over 100 degC, printed elsewhere; it agrees within 1.0 %.
@pytest.mark.parametrize(
    ("temp_c", "by_polynomial"),
    [
        (-3.9, 1.509), (1.7, 1.364), (4.4, 1.303), (10, 1.195), (15.6, 1.107), (21.1, 1.039), (25, 1.0),
        (32.2, 0.943), (40.6, 0.895), (46.1, 0.871), (51.7, 0.847),
    ],
)  # fmt: skip
def test_factors_agree_with_a_polynomial(temp_c: float, by_polynomial: float) -> None:
    assert factor(float(temp_c)) == pytest.approx(by_polynomial, rel=0.0105)


@pytest.mark.parametrize(
    ("temp_c", "printed", "within"), [(10.0, 1.19, 0.01), (1.7, 1.35, 0.015), (40.6, 0.89, 0.01)]
)
def test_printed_factors(temp_c: float, printed: float, within: float) -> None:
    assert factor(temp_c) == pytest.approx(printed, abs=within)


@pytest.mark.parametrize("temp_c", [-3.9, 1.7, 7.2, 10.0, 15.6, 21.1])
def test_straight_lines_for_heavy_use_hold_the_standard_between_them(temp_c: float) -> None:
    """A maker prints 1 % per K at 1 to 3 h; our ends of 0.8 and 1.3 % hold the standard's cold half.

    Above 25 degC the standard gains less than any of them: 112.4 % at 40.6 degC for 112.5 to 120.
    """
    ends = capacity_per_k("flooded", "1 to 3 h")
    low, high = (capacity_share(temp_c, pct_per_k=each) for each in (ends.high, ends.low))
    assert low <= 1 / factor(temp_c) <= high


def test_a_slow_load_loses_less_than_the_standard_says() -> None:
    """A maker of valve-regulated batteries: 0.6 % per K at 10 to 20 h, 9 % lost at 10 degC for 16 % here."""
    slow = capacity_per_k("agm")
    assert 1 - capacity_share(10.0, pct_per_k=slow.low) == pytest.approx(0.09)
    assert 1 - 1 / factor(10.0) == pytest.approx(0.16, abs=0.005)
    assert slow.low < slow.typical < slow.high == 1.0
