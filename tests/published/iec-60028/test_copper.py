"""Copper's constants, and what they make of the constants that trades print."""

import pytest

from groundstrap.physics.conductor import (
    COPPER_OHM_MM2_PER_M,
    COPPER_PER_K,
    M_PER_FOOT,
    MM2_PER_CIRCULAR_MIL,
    ohm_per_m,
    resistance_ratio,
    temperature_of_ratio_c,
)
from groundstrap.physics.drop import ABYC_OHM_MM2_PER_M, ISO_10133_OHM_MM2_PER_M, WORKSHOP_OHM_MM2_PER_M

OHM_CIRCULAR_MIL_PER_FOOT = MM2_PER_CIRCULAR_MIL / M_PER_FOOT


def k_at(temp_c: float) -> float:
    ratio = resistance_ratio(temp_c, alpha20_per_k=COPPER_PER_K)
    return COPPER_OHM_MM2_PER_M * ratio / OHM_CIRCULAR_MIL_PER_FOOT


def test_standard_copper_is_10_371_ohm_circular_mils_per_foot() -> None:
    # NBS Circular 31 / Handbook 100.
    assert k_at(20) == pytest.approx(10.371, rel=2e-4)


def test_hot_copper_by_arithmetic() -> None:
    assert k_at(75) == pytest.approx(12.61, rel=1e-3)
    assert k_at(105) == pytest.approx(13.84, rel=1e-3)
    assert resistance_ratio(75.0, alpha20_per_k=COPPER_PER_K) == pytest.approx(1.21615, rel=1e-4)


def test_100_degc_stands_half_a_percent_below_the_cable_standard() -> None:
    """IEC 60228 annex prints k_t = 0.758 at 100 degC (1.319); 1/58 and 0.00393 give 1.3144."""
    ours = resistance_ratio(100.0, alpha20_per_k=COPPER_PER_K)
    assert ours == pytest.approx(1.3144, rel=1e-4)
    assert ours == pytest.approx(1 / 0.758, rel=0.005)


@pytest.mark.parametrize(
    ("constant", "copper_c"),
    [
        (ABYC_OHM_MM2_PER_M, 29.3),  # ABYC E-11, K = 10.75
        (ISO_10133_OHM_MM2_PER_M, 7.6),  # ISO 10133, 0.0164
        (WORKSHOP_OHM_MM2_PER_M, 29.1),  # workshop practice, 1/56
    ],
)
def test_temperature_that_a_printed_constant_stands_for(constant: float, copper_c: float) -> None:
    ratio = constant / COPPER_OHM_MM2_PER_M
    assert temperature_of_ratio_c(ratio, alpha20_per_k=COPPER_PER_K) == pytest.approx(copper_c, abs=0.3)


def test_solid_gauges_by_astm_b258_areas() -> None:
    """AWG 10 (5.2612 mm2): 3.2771 milliohm/m; AWG 14 (2.0809 mm2): 2.5254 ohm per 1,000 ft."""
    copper = {"rho20_ohm_mm2_per_m": COPPER_OHM_MM2_PER_M, "alpha20_per_k": COPPER_PER_K, "lay_factor": 1.0}
    assert ohm_per_m(5.2612, 20, **copper) * 1e3 == pytest.approx(3.2771, rel=1e-4)
    assert ohm_per_m(2.0809, 20, **copper) * 1e3 * M_PER_FOOT == pytest.approx(2.5254, rel=1e-4)


def test_aluminium_has_1_639_times_the_resistivity() -> None:
    # IEC 60364-5-54 table A.54.1, from memory: 28.264 and 17.241 nanoohm metre.
    ratio = 0.028264 / COPPER_OHM_MM2_PER_M
    assert ratio == pytest.approx(1.639, rel=1e-3)
