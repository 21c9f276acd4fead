"""Fuse gates, loads, drops and batteries where the published tests do not reach; arrays as floats."""

import math
from typing import Any

import numpy as np
import pytest

from groundstrap.physics.battery import (
    resistance_at_temperature_ohm,
    rested_voltage_v,
    state_of_charge_pct,
)
from groundstrap.physics.conductor import (
    conductor_ohm,
    solid_diameter_mm,
    stranded_diameter_mm,
    strands_area_mm2,
)
from groundstrap.physics.drop import least_area_mm2, loop_drop_v
from groundstrap.physics.fuse import (
    fastest_opening_s,
    multiple_sure_to_open,
    pulse_budget_a2s,
    pulse_let_through_a2s,
    slowest_opening_s,
)
from groundstrap.physics.heated import heated_current_a, heated_slope_per_ohm, heated_voltage_v
from groundstrap.physics.loads import FAN_OR_PUMP, current_at_voltage_a, inrush_multiple

# ISO 8820-3 type C: most times, and least times with the hold at 1.1 (110 and 600 % from memory).
MOST: dict[str, Any] = {"gate_multiples": (1.35, 2.0, 3.5, 6.0), "gate_most_s": (600, 5, 0.5, 0.15)}
LEAST: dict[str, Any] = {
    "gate_multiples": (1.1, 1.35, 2.0, 3.5, 6.0),
    "gate_least_s": (360_000, 0.75, 0.15, 0.08, 0.03),
}


def test_below_the_first_gate_it_may_never_open() -> None:
    slow = slowest_opening_s(1.3499, **MOST)
    assert slow.chord_s == math.inf
    assert slow.guaranteed_s == math.inf


def test_both_readings_meet_at_the_gates() -> None:
    for multiple, most_s in zip(MOST["gate_multiples"], MOST["gate_most_s"], strict=True):
        slow = slowest_opening_s(multiple, **MOST)
        assert slow.chord_s == pytest.approx(most_s)
        assert slow.guaranteed_s == most_s


def test_beyond_the_last_gate_the_heat_integral_is_kept() -> None:
    slow = slowest_opening_s(12, **MOST)
    assert slow.chord_s == pytest.approx(0.15 / 4)
    assert slow.chord_s * 12**2 == pytest.approx(0.15 * 6**2)
    assert fastest_opening_s(12, **LEAST) == pytest.approx(0.03 / 4)


def test_fastest_is_the_staircase_of_the_next_gate_up() -> None:
    assert fastest_opening_s(1.0, **LEAST) == 360_000
    assert fastest_opening_s(1.1, **LEAST) == 360_000
    assert fastest_opening_s(1.11, **LEAST) == 0.75
    assert fastest_opening_s(1.35, **LEAST) == 0.75
    assert fastest_opening_s(3.0, **LEAST) == 0.08


def test_sure_multiple_undoes_the_slowest_time() -> None:
    for time_s in (500.0, 40.0, 5.0, 0.3, 0.15, 0.01):
        multiple = multiple_sure_to_open(time_s, **MOST)
        assert slowest_opening_s(multiple, **MOST).chord_s == pytest.approx(time_s)
    assert multiple_sure_to_open(3600, **MOST) == 1.35


def test_pulse_budget_steps_at_its_printed_numbers() -> None:
    """Maker's rule: 0.48 at 100, 0.38 at 1,000, 0.29 at 10,000, 0.22 at 100,000; 308 A2s type F of 15 A."""
    assert pulse_budget_a2s(308, pulses=1000) == pytest.approx(117.0, rel=0.01)
    shares = [pulse_budget_a2s(1, pulses=n) for n in (1, 100, 101, 1000, 10_000, 100_000)]
    assert shares == [0.48, 0.48, 0.38, 0.38, 0.29, 0.22]


def test_pulse_shapes_are_integrals() -> None:
    """Half sine, exponential decay, ramp: 1/2, 1/2, 1/3 of the rectangle, by numeric integration."""
    x = (np.arange(200_000) + 0.5) / 200_000
    assert pulse_let_through_a2s(1, 1, shape=1 / 2) == pytest.approx(
        np.mean(np.sin(np.pi * x) ** 2), rel=1e-6
    )
    decay = 40 * np.mean(np.exp(-2 * 40 * x))
    assert pulse_let_through_a2s(1, 1, shape=1 / 2) == pytest.approx(decay, rel=1e-4)
    assert pulse_let_through_a2s(1, 1, shape=1 / 3) == pytest.approx(np.mean(x**2), rel=1e-6)


def test_fan_slows_with_the_volts() -> None:
    assert current_at_voltage_a(8.0, at_v=12, to_v=6, exponent=FAN_OR_PUMP) == pytest.approx(8 / 2**1.5)
    assert inrush_multiple(90.0, steady_a=20) == 4.5


def test_area_and_drop_undo_each_other() -> None:
    area = least_area_mm2(
        18,
        loop_m=9,
        drop_v=0.4,
        temp_c=60,
        rho20_ohm_mm2_per_m=1 / 58,
        alpha20_per_k=0.00393,
        lay_factor=1.02,
        joints_ohm=0.003,
    )
    per_m = 1.02 / (58 * area) * (1 + 0.00393 * 40)
    assert loop_drop_v(18.0, loop_m=9, ohm_per_m=per_m, joints_ohm=0.003) == pytest.approx(0.4)


def test_battery_curve_both_ways() -> None:
    curve: dict[str, Any] = {
        "states_pct": (0, 25, 50, 75, 100),
        "volts_v": (11.9, 12.06, 12.24, 12.45, 12.65),
    }
    for state in (0, 10, 25, 60, 99, 100):
        volts = rested_voltage_v(state, **curve)
        assert state_of_charge_pct(volts, **curve) == pytest.approx(state)


def test_cold_battery_by_its_ratio() -> None:
    assert resistance_at_temperature_ohm(0.005, 25, ratio=2.2) == 0.005
    assert resistance_at_temperature_ohm(0.005, -18, ratio=2.2) == pytest.approx(0.011)


def test_strands_and_diameters() -> None:
    assert strands_area_mm2(19, 0.41) == pytest.approx(2.508, abs=0.001)
    assert solid_diameter_mm(math.pi) == pytest.approx(2)
    assert stranded_diameter_mm(math.pi, fill=0.75) == pytest.approx(2 / math.sqrt(0.75))


def test_arrays_give_what_floats_give() -> None:
    volts = np.array([0.0, 0.1, 0.5, 2.0])
    rows = heated_current_a(volts, cold_ohm=0.02, kappa_per_a2=3e-4)
    slopes = heated_slope_per_ohm(volts, cold_ohm=0.02, kappa_per_a2=3e-4)
    for i, volt in enumerate(volts):
        one = heated_current_a(float(volt), cold_ohm=0.02, kappa_per_a2=3e-4)
        assert rows[i] == one
        assert heated_voltage_v(one, cold_ohm=0.02, kappa_per_a2=3e-4) == pytest.approx(volt, abs=1e-12)
        assert slopes[i] == heated_slope_per_ohm(float(volt), cold_ohm=0.02, kappa_per_a2=3e-4)
    lengths = np.array([1.0, 2.0])
    ohms = conductor_ohm(lengths, 16, 20, rho20_ohm_mm2_per_m=1 / 58, alpha20_per_k=0.00393)
    assert ohms == pytest.approx([1 / 928, 2 / 928])
