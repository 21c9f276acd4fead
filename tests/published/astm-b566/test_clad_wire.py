"""Copper-clad aluminium by ASTM B566: wire table in ohm per 1,000 ft at 20 degC, 10 % copper by volume."""

import pytest

from groundstrap.physics.conductor import M_PER_FOOT, area_of_resistance_mm2, ohm_per_m

TABLE_10_PCT = {"14": (2.0809, 3.91), "16": (1.3087, 6.23), "18": (0.8230, 9.90), "20": (0.5176, 15.7)}


@pytest.mark.parametrize("gauge", TABLE_10_PCT)
def test_printed_wire_is_1_55_times_copper(gauge: str) -> None:
    area_mm2, printed = TABLE_10_PCT[gauge]
    copper = ohm_per_m(area_mm2, 20, rho20_ohm_mm2_per_m=1 / 58, alpha20_per_k=0.00393, lay_factor=1.0)
    assert printed / (copper * 1000 * M_PER_FOOT) == pytest.approx(1.55, abs=0.005)


@pytest.mark.parametrize("gauge", TABLE_10_PCT)
def test_measured_as_copper_it_looks_two_gauges_thinner(gauge: str) -> None:
    """An ohmmeter sees 1/1.55 of the copper: two gauge numbers are a factor of 1.59."""
    area_mm2, printed = TABLE_10_PCT[gauge]
    seen = area_of_resistance_mm2(
        printed, 1000 * M_PER_FOOT, 20, rho20_ohm_mm2_per_m=1 / 58, alpha20_per_k=0.00393
    )
    assert area_mm2 / seen == pytest.approx(1.59, rel=0.03)
