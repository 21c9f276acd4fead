"""Battery arithmetic from the definitions of its ratings, and three claims that must not come out."""

import pytest

from groundstrap.physics.battery import (
    capacity_of_reserve_ah,
    conductance_resistance_ohm,
    cranking_resistance_ohm,
    fault_current_a,
    ideal_run_time_h,
    run_time_h,
)
from groundstrap.physics.loads import converter_input_a

SAE_END_V = 7.2
"""Volts that a 12 V battery still holds after 30 s at its cranking current, -18 degC. Source: SAE J537."""


@pytest.mark.parametrize(
    ("cranking_a", "milliohm"), [(400, 13.25), (500, 10.6), (600, 8.83), (700, 7.57), (800, 6.62)]
)
def test_resistance_that_the_sae_rating_allows(cranking_a: float, milliohm: float) -> None:
    """SAE J537: 7.2 V after 30 s at -18 degC; from 12.5 V at rest."""
    ohm = cranking_resistance_ohm(cranking_a, emf_v=12.5, end_v=SAE_END_V)
    assert ohm * 1e3 == pytest.approx(milliohm, abs=0.005)


def test_a_650_a_battery_shorted_at_its_posts() -> None:
    """(12.6 - 7.2) / 650 = 8.31 milliohm, 1,517 A: by arithmetic."""
    ohm = cranking_resistance_ohm(650.0, emf_v=12.6, end_v=SAE_END_V)
    assert ohm * 1e3 == pytest.approx(8.31, rel=0.01)
    assert fault_current_a(12.6, battery_ohm=ohm, loop_ohm=0) == pytest.approx(1517, rel=0.01)


def test_the_tested_resistance_is_about_half_of_that() -> None:
    """Battery handbooks, from memory: 3000 milliohm over the rating near 25 degC."""
    allowed = cranking_resistance_ohm(600.0, emf_v=12.5, end_v=SAE_END_V)
    assert 0.5 < conductance_resistance_ohm(600.0) / allowed < 0.65


def test_lithium_cells_shorted() -> None:
    """3.5 V behind 0.75 milliohm 4,667 A; four in series 14 V behind 3.75 milliohm 3,733 A."""
    assert fault_current_a(3.5, battery_ohm=0.75e-3, loop_ohm=0) == pytest.approx(4667, rel=0.01)
    assert fault_current_a(14.0, battery_ohm=3.75e-3, loop_ohm=0) == pytest.approx(3733, rel=0.01)


def test_rated_current_gives_rated_time_for_any_exponent() -> None:
    for exponent in (1.0, 1.1, 1.25, 1.6):
        assert run_time_h(100.0, rate_h=20, current_a=5, exponent=exponent) == pytest.approx(20)


# Table of a battery monitor's manual: share of capacity that is there. 100 Ah at 20 h; exponent, A, %.
@pytest.mark.parametrize(("exponent", "current_a", "share_pct"), [(1.25, 25, 67), (1.3, 100, 41)])
def test_share_of_capacity_as_printed(exponent: float, current_a: float, share_pct: float) -> None:
    hours = run_time_h(100.0, rate_h=20, current_a=current_a, exponent=exponent)
    # Whole per cent printed, and 7 of its 78 cells are off by up to 0.75: hence 0.6.
    assert hours * current_a == pytest.approx(share_pct, abs=0.6)


@pytest.mark.parametrize(
    ("capacity_ah", "current_a", "exponent", "hours", "wrong"),
    [(250, 20, 1.3, 10.86, 5.09), (100, 5, 1.2, 20.0, 14.5)],
)
def test_the_common_wrong_form_does_not_come_out(
    capacity_ah: float, current_a: float, exponent: float, hours: float, wrong: float
) -> None:
    """Two pages print C / I^k with rated ampere-hours: 5.09 h and 14.5 h."""
    ours = run_time_h(capacity_ah, rate_h=20, current_a=current_a, exponent=exponent)
    assert ours == pytest.approx(hours, abs=0.01)
    assert capacity_ah / current_a**exponent == pytest.approx(wrong, abs=0.01)
    assert ours > 1.3 * wrong


def test_a_camera_does_not_empty_a_battery_in_18_hours() -> None:
    """A page claims 8 to 18 h for 200 to 500 mA on 45 Ah; half lasts 45 to 113 h, all of it 90 to 225 h."""
    for current_a, to_half_h in ((0.5, 45), (0.2, 112.5)):
        half = run_time_h(22.5, rate_h=20, current_a=current_a, exponent=1.0)
        assert half == pytest.approx(to_half_h, abs=0.5)
        assert half > 2 * 18
    whole = [run_time_h(45.0, rate_h=20, current_a=i, exponent=1.0) for i in (0.5, 0.2)]
    assert whole == pytest.approx([90, 225])


def test_a_2000_w_inverter_does_not_run_for_36_minutes_on_100_ah() -> None:
    """A secondary page claims 36 min: the watt-hours by name, without losses and without the rate's effect.

    2000 W at 85 % and 11.5 V are 205 A; exponents of 1.1 to 1.3 (lead-acid, common practice): 10 to 20 min.
    """
    claimed = ideal_run_time_h(100, nominal_v=12, power_w=2000, usable_pct=100)
    assert claimed * 60 == pytest.approx(36)
    current_a = converter_input_a(2000.0, efficiency=0.85, input_v=11.5)
    assert current_a == pytest.approx(205, rel=0.005)
    for exponent, minutes in ((1.1, 20.2), (1.2, 13.9), (1.3, 9.6)):
        ours = run_time_h(100.0, rate_h=20, current_a=current_a, exponent=exponent) * 60
        assert ours == pytest.approx(minutes, rel=0.02)  # by hand: 20 h x (5 A / 204.6 A) ^ exponent
        assert ours < 0.57 * claimed * 60


@pytest.mark.parametrize(("capacity_ah", "power_w", "hours"), [(51, 27, 22.67), (100, 80, 15.0)])
def test_a_lamp_left_on(capacity_ah: float, power_w: float, hours: float) -> None:
    """School exercises print 22.6 and 15 h for an ideal battery at 12 V; half or less is usable."""
    ideal = ideal_run_time_h(capacity_ah, nominal_v=12, power_w=power_w, usable_pct=100)
    assert ideal == pytest.approx(hours, rel=0.01)
    half = ideal_run_time_h(capacity_ah, nominal_v=12, power_w=power_w, usable_pct=50)
    assert half == pytest.approx(ideal / 2)


def test_reserve_minutes() -> None:
    """IEC 60095-1, from memory; 120 min are about 0.6 Ah a minute, and never RC / 2.4."""
    assert capacity_of_reserve_ah(120) == pytest.approx(0.6 * 120, rel=0.05)
    assert capacity_of_reserve_ah(120) > 1.3 * 120 / 2.4
