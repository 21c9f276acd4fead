"""What every practitioner reckons in the head; common practice, except where a source stands beside it."""

import pytest

from groundstrap.physics.loads import (
    CONSTANT_POWER,
    FILAMENT,
    FILAMENT_LIGHT,
    constant_power_voltage_v,
    converter_input_a,
    current_at_voltage_a,
    most_power_w,
    power_at_voltage_w,
    resistance_of_power_ohm,
    resistance_power_w,
    stall_current_a,
)


def test_2_ohm_takes_79_4_w_at_12_6_v() -> None:
    assert resistance_power_w(12.6, 2.0, hot_over_cold=1.0) == pytest.approx(79.4, abs=0.05)


def test_a_socket_behind_15_a_gives_189_w_at_12_6_v() -> None:
    ohm = resistance_of_power_ohm(189.0, voltage_v=12.6)
    assert 12.6 / ohm == pytest.approx(15)
    assert resistance_power_w(12.6, ohm, hot_over_cold=1.0) == pytest.approx(189)


def test_250_w_cannot_come_from_a_2_ohm_element() -> None:
    """Not at any voltage that a 12 V vehicle has: 14.8 V makes 110 W."""
    assert resistance_power_w(14.8, 2.0, hot_over_cold=1.0) == pytest.approx(109.5, abs=0.1)


def test_a_150_w_heater_by_arithmetic() -> None:
    """0.96 ohm; behind 20 milliohm at 13.8 V: 14.08 A, 190.4 W; behind 50 at 12.2 V: 12.08 A, 140.1 W."""
    ohm = resistance_of_power_ohm(150.0, voltage_v=12)
    assert ohm == pytest.approx(0.96)
    for supply_v, leads_ohm, current_a, power_w in ((13.8, 0.020, 14.08, 190.4), (12.2, 0.050, 12.08, 140.1)):
        flows_a = supply_v / (ohm + leads_ohm)
        assert flows_a == pytest.approx(current_a, abs=0.005)
        across_v = flows_a * ohm
        assert resistance_power_w(across_v, ohm, hot_over_cold=1.0) == pytest.approx(power_w, abs=0.05)


# 12.6 V behind 20 milliohm, by the quadratic: W, V, A.
CONSTANT_POWER_CASES = (
    (300, 12.104, 24.78),
    (600, 11.562, 51.89),
    (1000, 10.737, 93.13),
    (1500, 9.413, 159.4),
)


@pytest.mark.parametrize(("power_w", "voltage_v", "current_a"), CONSTANT_POWER_CASES)
def test_constant_power_behind_a_resistance(power_w: float, voltage_v: float, current_a: float) -> None:
    ours_v = constant_power_voltage_v(power_w, emf_v=12.6, series_ohm=0.020)
    assert ours_v == pytest.approx(voltage_v, abs=0.001)
    assert power_w / ours_v == pytest.approx(current_a, rel=3e-4)
    assert 12.6 - 0.020 * power_w / ours_v == pytest.approx(ours_v, abs=1e-12)


def test_it_collapses_at_half_the_voltage() -> None:
    """E^2 / 4R = 1984.5 W at 6.3 V."""
    most_w = most_power_w(12.6, series_ohm=0.020)
    assert most_w == pytest.approx(1984.5, abs=0.05)
    assert constant_power_voltage_v(most_w, emf_v=12.6, series_ohm=0.020) == pytest.approx(6.3, abs=1e-6)


def test_a_filament_lamp_away_from_its_test_voltage() -> None:
    """Standard handbook for electrical engineers: I ~ V^0.55, light ~ V^3.4. 55 W at 13.2 V, run at 12.0."""
    current_a = current_at_voltage_a(55 / 13.2, at_v=13.2, to_v=12.0, exponent=FILAMENT)
    assert current_a == pytest.approx(3.95, abs=0.01)
    light = (12.0 / 13.2) ** FILAMENT_LIGHT
    assert light == pytest.approx(0.723, abs=0.003)
    power_w = power_at_voltage_w(55.0, at_v=13.2, to_v=12.0, exponent=FILAMENT)
    assert power_w == pytest.approx(12.0 * current_a, rel=1e-12)


def test_the_handbooks_two_lamp_exponents_are_a_known_difference() -> None:
    """It prints 1.6 for the power, where 0.55 for the current makes 1.55: at 12.0 V 47.2 W and 47.4 W."""
    ours = power_at_voltage_w(55.0, at_v=13.2, to_v=12.0, exponent=FILAMENT)
    printed = 55 * (12.0 / 13.2) ** 1.6
    assert printed == pytest.approx(47.2, abs=0.05)
    assert ours == pytest.approx(47.4, abs=0.1)


def test_regulated_loads_draw_more_as_volts_fall() -> None:
    assert current_at_voltage_a(10.0, at_v=12, to_v=10, exponent=CONSTANT_POWER) == pytest.approx(12)


def test_an_inverter_of_2000_w() -> None:
    """At 12.0 V and 87 %: 192 A, by arithmetic."""
    assert converter_input_a(2000.0, efficiency=0.87, input_v=12.0) == pytest.approx(192, rel=0.02)


def test_a_motor_that_stands_still() -> None:
    """12 V on 0.1 ohm: 120 A, textbook of direct-current machines."""
    assert stall_current_a(12.0, motor_ohm=0.1) == pytest.approx(120)
