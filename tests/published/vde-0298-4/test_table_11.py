"""DIN VDE 0298-4, tables 11, 17 and 26: ampacity of 70 degC PVC in air, on ``road``."""

from __future__ import annotations

import math

import pytest

from groundstrap.tables import Ampacity, Unsuitable, published_ampacity, show

# Source: DIN VDE 0298-4:2013, table 11 columns 2 and 5, extract; 30 degC, single core and two or three
# loaded.
TABLE_11 = {
    0.75: (15, 12), 1: (19, 15), 1.5: (24, 18), 2.5: (32, 26), 4: (42, 34), 6: (54, 44), 10: (73, 61),
    16: (98, 82), 25: (129, 108), 35: (158, 135), 50: (198, 168), 70: (245, 207), 95: (292, 250),
    120: (344, 292), 150: (391, 335),
}  # fmt: skip

# Source: a table of road-vehicle cable after DIN ISO 6722-3 that quotes VDE 0298-4 for 50 degC.
AT_50_C = {
    1: 13.5,
    1.5: 17,
    2.5: 22.7,
    4: 29.8,
    6: 38.3,
    10: 51.8,
    16: 69.6,
    25: 91.6,
    35: 112,
    70: 174,
    120: 244,
}


def ampacity(area_mm2: float, *, ambient_c: float = 30, loaded: int = 1, class_c: float = 70) -> Ampacity:
    found = published_ampacity(
        basis="road",
        insulation_c=class_c,
        area_mm2=area_mm2,
        ambient_c=ambient_c,
        loaded_conductors=loaded,
    )
    assert isinstance(found, Ampacity)
    return found


@pytest.mark.parametrize("area_mm2", TABLE_11)
def test_every_size(area_mm2: float) -> None:
    single_a, loaded_a = TABLE_11[area_mm2]
    assert ampacity(area_mm2).value_a == single_a
    assert ampacity(area_mm2, loaded=2).value_a == loaded_a
    assert ampacity(area_mm2, loaded=3).value_a == loaded_a


@pytest.mark.parametrize("area_mm2", AT_50_C)
def test_at_50_degc(area_mm2: float) -> None:
    # The print is rounded to three digits at most.
    assert ampacity(area_mm2, ambient_c=50).value_a == pytest.approx(AT_50_C[area_mm2], rel=0.005)


def test_table_17_follows_the_square_root_rule_to_a_hundredth() -> None:
    for row in show("ambient_factors_vde_0298_4"):
        rule = math.sqrt((70 - row.number("ambient_c")) / 40)
        assert row.number("factor") == pytest.approx(rule, abs=0.01)


def test_an_ambient_between_rows_takes_the_hotter_row() -> None:
    assert ampacity(6, ambient_c=52).value_a == pytest.approx(54 * 0.61)


def test_cold_gains_nothing() -> None:
    assert ampacity(6, ambient_c=-10).value_a == 54


@pytest.mark.parametrize(
    ("loaded", "factor"), [(4, 0.75), (5, 0.75), (6, 0.65), (10, 0.55), (24, 0.40), (61, 0.30)]
)
def test_table_26_on_the_column_for_loaded_cores(loaded: int, factor: float) -> None:
    assert ampacity(6, loaded=loaded).value_a == pytest.approx(44 * factor)


def test_the_zone_of_the_engine_is_too_hot_for_70_degc() -> None:
    found = published_ampacity(basis="road", insulation_c=70, area_mm2=6, ambient_c=85)
    assert isinstance(found, Unsuitable)


def test_above_70_degc_the_column_of_33_cfr_by_the_square_root_rule() -> None:
    # 33 CFR 183.425 table 5: 10 AWG at 125 degC is 70 A; sqrt((125 - 85) / (125 - 30)) = 0.649.
    found = ampacity(6, ambient_c=85, class_c=125)
    assert found.source == "cfr-33-183-425"
    assert found.value_a == pytest.approx(70 * math.sqrt(40 / 95))
