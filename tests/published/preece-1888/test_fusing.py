"""Preece's fusing currents: printed diameters in inches for copper and aluminium."""

import pytest

from groundstrap.physics.fusing import (
    PREECE_ALUMINIUM_A_PER_MM15,
    PREECE_COPPER_A_PER_MM15,
    preece_current_a,
    preece_diameter_mm,
)

PRINTED = {
    10: (0.0098, 0.0120), 20: (0.0156, 0.0191), 30: (0.0205, 0.0250), 50: (0.0288, 0.0352),
    100: (0.0457, 0.0558), 200: (0.0725, 0.0886), 300: (0.0950, 0.1161),
}  # fmt: skip


@pytest.mark.parametrize("current_a", PRINTED)
def test_diameters_as_printed(current_a: int) -> None:
    copper_in, aluminium_in = PRINTED[current_a]
    # Four places printed, of which the thinnest fill three digits: hence half a unit of the last.
    copper = preece_diameter_mm(current_a, factor_a_per_mm15=PREECE_COPPER_A_PER_MM15) / 25.4
    assert copper == pytest.approx(copper_in, abs=6e-5)
    aluminium = preece_diameter_mm(current_a, factor_a_per_mm15=PREECE_ALUMINIUM_A_PER_MM15) / 25.4
    assert aluminium == pytest.approx(aluminium_in, abs=6e-5)


def test_factor_in_millimetres() -> None:
    one_mm_a = preece_current_a(1.0, factor_a_per_mm15=PREECE_COPPER_A_PER_MM15)
    assert one_mm_a == pytest.approx(80.02, rel=1e-3)


def test_16_awg() -> None:
    """0.0508 in: 117.3 A by arithmetic."""
    current_a = preece_current_a(0.0508 * 25.4, factor_a_per_mm15=PREECE_COPPER_A_PER_MM15)
    assert current_a == pytest.approx(117.3, rel=0.005)
