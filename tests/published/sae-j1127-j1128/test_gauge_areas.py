"""SAE gauges against the printed minimum areas, and how much less copper they have than AWG."""

import pytest

from groundstrap.units import SAE_GAUGES, awg_area_mm2, sae_area_mm2

# Source: SAE J1127, J1128 and J378, minimum circular mils as listed beside AWG for boat cable (ABYC E-11);
# read in a secondary copy. Areas in mm2 are those circular mils x 5.067075e-4, to three decimals.
PRINTED = [
    ("18", 0.779, -5.4),
    ("16", 1.184, -9.6),
    ("14", 1.876, -9.9),
    ("12", 2.956, -10.7),
    ("10", 4.734, -10.0),
    ("8", 7.504, -10.3),
    ("6", 12.434, -6.5),
    ("4", 18.931, -10.5),
    ("2", 31.644, -5.9),
    ("1", 39.417, -7.1),
    ("1/0", 50.154, -6.2),
    ("2/0", 63.389, -6.0),
    ("3/0", 80.364, -5.5),
    ("4/0", 104.128, -2.9),
]


def test_every_gauge_is_checked() -> None:
    assert tuple(row[0] for row in PRINTED) == SAE_GAUGES


@pytest.mark.parametrize(("gauge", "area_mm2", "less_pct"), PRINTED)
def test_area_and_its_distance_from_awg(gauge: str, area_mm2: float, less_pct: float) -> None:
    assert sae_area_mm2(gauge) == pytest.approx(area_mm2, abs=0.0005)
    assert (sae_area_mm2(gauge) / awg_area_mm2(gauge) - 1) * 100 == pytest.approx(less_pct, abs=0.05)


def test_an_sae_cable_has_up_to_eleven_per_cent_less_copper() -> None:
    shortfalls = [1 - sae_area_mm2(gauge) / awg_area_mm2(gauge) for gauge in SAE_GAUGES]
    assert 0.10 < max(shortfalls) < 0.11
    assert min(shortfalls) > 0.02


def test_the_shifted_row_of_one_circulating_list_is_not_ours() -> None:
    # Known difference: a list in circulation gives 14 810 circular mils for 10 SAE; that is 8 SAE's.
    assert sae_area_mm2("10") != pytest.approx(7.504, rel=0.01)
    assert sae_area_mm2("8") == pytest.approx(7.504, abs=0.0005)
