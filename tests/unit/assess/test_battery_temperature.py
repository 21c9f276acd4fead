"""A battery's written temperature raises its inner resistance, and nothing else."""

from __future__ import annotations

import pytest

from groundstrap.assess.supplies import SupplyFigures, supply_figures
from groundstrap.tables import cold_factor
from tests.support.installations import Builder


def figures(**more: object) -> SupplyFigures:
    job = Builder()
    job.battery(**{"ohm": None, **more})  # type: ignore[arg-type]
    job.load("lamp", 10.0)
    return supply_figures(job.build())["battery"]


def test_at_minus_18_it_is_1_8_to_2_5_times_as_large() -> None:
    # Handbook of batteries, from memory: 1.8 to 2.5 times at -18 degC.
    found = cold_factor(-18.0)
    assert (found.low, found.high) == (1.8, 2.5)
    warm, cold = figures(), figures(temperature_c=-18.0)
    assert cold.ohm.typical == pytest.approx(warm.ohm.typical * (1.8 * 2.5) ** 0.5)
    assert cold.ohm.high == pytest.approx(warm.ohm.high * 2.5)


def test_a_fault_may_still_find_it_warm() -> None:
    assert figures(temperature_c=-18.0).ohm.low == figures().ohm.low


def test_a_warm_one_is_the_one_without_a_temperature() -> None:
    for temperature_c in (25.0, 40.0):
        assert figures(temperature_c=temperature_c).ohm == figures().ohm


def test_colder_than_printed_counts_as_the_last_and_says_so() -> None:
    found = figures(temperature_c=-30.0)
    assert found.ohm == figures(temperature_c=-18.0).ohm
    assert any("-30 degC, which counts as -18 degC" in each.why for each in found.assumptions)


def test_colder_never_has_less_resistance() -> None:
    ohms = [figures(temperature_c=float(t)).ohm.typical for t in range(40, -40, -5)]
    assert ohms == sorted(ohms)


def test_a_measured_resistance_stands() -> None:
    assert figures(temperature_c=-18.0, ohm=0.005).ohm.typical == 0.005


def test_lithium_is_left_alone_for_nothing_is_printed_of_it() -> None:
    assert figures(chemistry="lfp", temperature_c=-18.0).ohm == figures(chemistry="lfp").ohm


def test_without_a_temperature_the_weakest_battery_is_the_printed_one() -> None:
    # EN 50342-1, from memory: at least 7.5 V at -18 degC while it gives its cranking current.
    found = figures(cranking_a=800.0, cranking_standard="EN")
    assert found.cold_ohm == pytest.approx((12.5 - 7.5) / 800)
    assert figures(cranking_a=800.0, cranking_standard="EN", temperature_c=-18.0).cold_ohm >= found.cold_ohm
