"""Heating in time beside a step-by-step integration, of the same law and of the whole heat balance."""

import math
from collections.abc import Callable
from typing import Any

import pytest

from groundstrap.physics.conductor import coefficient_at_per_k, ohm_per_m
from groundstrap.physics.heat import ampacity_a, balance_at, surface_heat_w_per_m, wall_k_m_per_w
from groundstrap.physics.transient import (
    heat_capacity_j_per_m_k,
    pulse_current_a,
    pulse_peak_rise_k,
    ring_area_mm2,
    rise_after_k,
    short_time_current_a,
    short_time_current_simple_a,
    time_constant_s,
    time_to_rise_s,
)

HEATING: dict[str, Any] = {"rise_k_per_a2": 0.06, "coefficient_per_k": 0.0038, "time_constant_s": 62.0}


def integrate(rate: Callable[[float], float], start: float, time_s: float, steps: int = 4000) -> float:
    """Classic fourth-order steps."""
    y, h = start, time_s / steps
    for _ in range(steps):
        a = rate(y)
        b = rate(y + h / 2 * a)
        c = rate(y + h / 2 * b)
        y += h / 6 * (a + 2 * b + 2 * c + rate(y + h * c))
    return y


def law(current_a: float) -> Callable[[float], float]:
    r, coefficient, tau = HEATING.values()
    return lambda rise: (current_a**2 * r * (1 + coefficient * rise) - rise) / tau


@pytest.mark.parametrize("current_a", [0.0, 15.0, 26.0, 66.2266178532522, 80.0, 150.0])
@pytest.mark.parametrize("start_k", [0.0, 12.0])
def test_closed_form_is_the_integral(current_a: float, start_k: float) -> None:
    """66.2266 A is where kappa I^2 = 1 and the exponential becomes a straight line."""
    for time_s in (0.5, 20.0, 90.0):
        ours = rise_after_k(current_a, time_s, start_rise_k=start_k, **HEATING)
        assert ours == pytest.approx(integrate(law(current_a), start_k, time_s), rel=1e-9, abs=1e-12)


def test_for_ever() -> None:
    steady = rise_after_k(26, math.inf, start_rise_k=0, **HEATING)
    assert steady == pytest.approx(rise_after_k(26, 1e5, start_rise_k=50, **HEATING))
    assert rise_after_k(67, math.inf, start_rise_k=0, **HEATING) == math.inf
    assert rise_after_k(500, 1e6, start_rise_k=0, **HEATING) == math.inf


def test_time_undoes_rise() -> None:
    for current_a in (26.0, 66.2266178532522, 70.0, 200.0):
        for start_k in (0.0, 10.0):
            rise = rise_after_k(current_a, 7.0, start_rise_k=start_k, **HEATING)
            ours = time_to_rise_s(current_a, rise, start_rise_k=start_k, **HEATING)
            assert ours == pytest.approx(7.0, rel=1e-9)


def test_never_and_already_there() -> None:
    assert time_to_rise_s(20, 60, start_rise_k=0, **HEATING) == math.inf
    assert time_to_rise_s(20, 30, start_rise_k=31, **HEATING) == 0.0
    assert short_time_current_a(30, 5, start_rise_k=31, **HEATING) == 0.0


def test_short_time_current_undoes_rise() -> None:
    for time_s in (0.01, 5.0, 60.0, 3600.0, math.inf):
        current_a = short_time_current_a(40, time_s, start_rise_k=8, **HEATING)
        assert rise_after_k(current_a, time_s, start_rise_k=8, **HEATING) == pytest.approx(40, rel=1e-9)


def test_textbook_form_is_near() -> None:
    """It leaves out that the resistance rises on the way: within 10 %."""
    continuous_a = short_time_current_a(40, math.inf, start_rise_k=0, **HEATING)
    for time_s in (5.0, 30.0, 120.0):
        exact = short_time_current_a(40, time_s, start_rise_k=0, **HEATING)
        simple = short_time_current_simple_a(continuous_a, time_s, preload_a=0, time_constant_s=62)
        assert 0.9 * exact < simple < 1.1 * exact


def test_pulse_train_is_what_many_pulses_come_to() -> None:
    for rest_a in (0.0, 12.0):
        rise = 0.0
        for _ in range(60):
            rise = rise_after_k(40, 20, start_rise_k=rise, **HEATING)
            peak = rise
            rise = rise_after_k(rest_a, 100, start_rise_k=rise, **HEATING)
        ours = pulse_peak_rise_k(40, run_s=20, every_s=120, rest_a=rest_a, **HEATING)
        assert ours == pytest.approx(peak, rel=1e-9)


def test_pulse_train_without_end() -> None:
    assert pulse_peak_rise_k(300, run_s=20, every_s=40, rest_a=0, **HEATING) == math.inf


def test_pulse_current_undoes_peak() -> None:
    current_a = pulse_current_a(40, run_s=40, every_s=240, **HEATING)
    peak = pulse_peak_rise_k(current_a, run_s=40, every_s=240, rest_a=0, **HEATING)
    assert peak == pytest.approx(40, rel=1e-9)


# Thick-walled PVC cable of DIN ISO 6722-3: conductor mm, outer mm, milliohm/m; 3.45 and 1.7 MJ/(m3 K):
# IEC 60949 and IEC 60853-2, from memory. Own model: 62 s and 313 s.
@pytest.mark.parametrize(
    ("area_mm2", "conductor_d_mm", "outer_d_mm", "milliohm_per_m", "tau_s"),
    [(1.5, 1.8, 3.0, 12.7, 62), (25, 7.8, 10.4, 0.743, 313)],
)
def test_one_body_beside_the_whole_heat_balance(
    area_mm2: float, conductor_d_mm: float, outer_d_mm: float, milliohm_per_m: float, tau_s: float
) -> None:
    """From 30 to 70 degC at 1.5, 2 and 3 times the continuous current.

    One thermal resistance, that at 70 degC, beside one that follows the temperature: less than 2.5 K apart.
    """
    capacity = heat_capacity_j_per_m_k(
        area_mm2,
        ring_area_mm2(conductor_d_mm, outer_d_mm),
        conductor_j_per_m3_k=3.45e6,
        insulation_j_per_m3_k=1.7e6,
    )
    surface: dict[str, Any] = {
        "outer_d_mm": outer_d_mm,
        "wall_k_m_per_w": wall_k_m_per_w(conductor_d_mm, outer_d_mm, insulation_w_per_m_k=0.17),
        "emissivity": 0.9,
    }
    ohm = milliohm_per_m / 1000
    resistance = balance_at(70, 30, **surface).thermal_resistance_k_m_per_w
    tau = time_constant_s(capacity, resistance)
    assert tau == pytest.approx(tau_s, rel=0.02)
    coefficient = coefficient_at_per_k(0.00393, temp_c=30)
    ambient_ohm = ohm * (1 + 0.00393 * 10)
    continuous_a = ampacity_a(70, 30, ohm_per_m_20c=ohm, alpha20_per_k=0.00393, **surface)
    for multiple in (1.5, 2.0, 3.0):
        current_a = multiple * continuous_a
        ours = time_to_rise_s(
            current_a,
            40,
            start_rise_k=0,
            rise_k_per_a2=ambient_ohm * resistance,
            coefficient_per_k=coefficient,
            time_constant_s=tau,
        )

        def rate(temp_c: float, current_a: float = current_a) -> float:
            made = current_a**2 * ohm * (1 + 0.00393 * (temp_c - 20))
            lost = balance_at(temp_c, 30, **surface).heat_w_per_m if temp_c > 30 else 0.0
            return (made - lost) / capacity

        assert integrate(rate, 30.0, ours, steps=60) == pytest.approx(70, abs=2.5)


def test_parts_by_hand() -> None:
    assert surface_heat_w_per_m(30, 30, outer_d_mm=3, emissivity=0.9) == 0.0
    assert ohm_per_m(
        2.5, 70, rho20_ohm_mm2_per_m=1 / 58, alpha20_per_k=0.00393, lay_factor=1.02
    ) == pytest.approx(1.02 * 1.1965 / 145)
