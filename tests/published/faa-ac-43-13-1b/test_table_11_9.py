"""FAA AC 43.13-1B, tables 11-7 to 11-9: resistances, drops, and the known misprints as named differences."""

from __future__ import annotations

import pytest

from groundstrap.tables import show
from groundstrap.units import awg_area_mm2

FOOT_KFT = 1e-3

# Source: AC 43.13-1B change 1, tables 11-7 and 11-8: gauge, wire run in ft, amps, printed drop in V. Table
# 11-7 rounds the resistance of 12 AWG, hence 3.60 for 3.555.
DROPS = [
    ("12", 88, 20, 3.60, 0.05),
    ("6", 107, 20, 0.942, 0.001),
    ("14", 100, 20, 6.12, 0.001),
    ("10", 273, 20, 6.88, 0.001),
]


def ohm_per_kft(awg: str) -> float:
    row = show("faa_ampacity_table_11_9").find("awg", awg)
    assert row is not None
    return row.number("tinned_ohm_per_kft")


@pytest.mark.parametrize(("awg", "run_ft", "amps", "printed_v", "within_v"), DROPS)
def test_drop_examples(awg: str, run_ft: float, amps: float, printed_v: float, within_v: float) -> None:
    assert ohm_per_kft(awg) * run_ft * FOOT_KFT * amps == pytest.approx(printed_v, abs=within_v)


def test_table_11_8_misprints_ten_gauge() -> None:
    # Known difference: it prints 0.366 V for 10 AWG, 19.5 ft, 20 A; its own resistance gives 0.491 V.
    drop_v = ohm_per_kft("10") * 19.5 * FOOT_KFT * 20
    assert drop_v == pytest.approx(0.491, abs=0.001)
    assert drop_v != pytest.approx(0.366, rel=0.3)


def test_drop_alone_is_never_the_last_test() -> None:
    # Example with 14 AWG: 6.12 V is within the 7 V allowed, and 20 A is twice its current in a bundle.
    row = show("faa_ampacity_table_11_9").find("awg", "14")
    assert row is not None
    assert row.number("at_105_c_a") == 10


def test_aircraft_conductors_have_less_metal_than_the_gauge() -> None:
    # 12 AWG of 5874 circular mil against 6530: the table is for stranded aircraft wire.
    for row in show("faa_ampacity_table_11_9"):
        solid_mil = awg_area_mm2(row.text("awg")) / 5.067075e-4
        assert 0.89 <= row.number("circular_mil") / solid_mil <= 1.21, row.text("awg")
