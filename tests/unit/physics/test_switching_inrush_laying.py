"""Relays, starting currents, laying and air beside step-by-step integration and geometry by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from groundstrap.errors import OutOfRangeError
from groundstrap.physics.inrush import (
    capacitor_a2s,
    capacitor_peak_a,
    ceramic_peak_a,
    decaying_a2s,
    decaying_current_a,
    locked_rotor_a,
    ramp_a2s,
)
from groundstrap.physics.laying import (
    bend_radius_mm,
    conduit_fill_pct,
    jam_ratio,
    least_bore_mm,
    outer_diameter_mm,
)
from groundstrap.physics.switching import (
    charged_share,
    coil_current_a,
    pick_up_v,
    precharge_time_s,
    pull_in_margin_v,
    release_delay_s,
    stored_energy_j,
)
from groundstrap.physics.ventilation import vent_flow_m3_per_h, vent_opening_cm2


def test_a_coil_pulls_in_at_the_same_current_cold_and_hot() -> None:
    hot_v = pick_up_v(7.2, coil_c=110, cold_c=20)
    hot_a = coil_current_a(hot_v, cold_ohm=100, coil_c=110, cold_c=20)
    assert hot_a == pytest.approx(0.072)
    assert pull_in_margin_v(hot_v, cold_v=7.2, coil_c=110, cold_c=20) == 0


def test_pick_up_takes_arrays() -> None:
    found = pick_up_v(np.array([7.2, 8.0]), coil_c=23.0, cold_c=23.0)
    assert list(found) == [7.2, 8.0]


@pytest.mark.parametrize("clamp_v", [0.0, 0.7, 24.7])
def test_release_is_when_the_integrated_current_reaches_the_holding_one(clamp_v: float) -> None:
    def rate(_: float, current_a: float) -> float:
        return -(120 * current_a + clamp_v) / 0.4

    def lets_go(_: float, current_a: list[float]) -> float:
        return current_a[0] - 0.01

    lets_go.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(rate, (0, 1), [0.1], events=lets_go, rtol=1e-10, atol=1e-12)
    ours = release_delay_s(0.1, hold_a=0.01, inductance_h=0.4, loop_ohm=120, clamp_v=clamp_v)
    assert ours == pytest.approx(float(run.t_events[0][0]), rel=1e-6)


def test_a_relay_that_holds_above_its_own_current_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="hold_a"):
        release_delay_s(0.1, hold_a=0.2, inductance_h=0.4, loop_ohm=120, clamp_v=0)


def test_a_motor_without_load_starts_along_one_time_constant() -> None:
    """V = k w + R i and J w' = k i - T: the law that the decay stands for, with tau = J R / k^2."""
    volts, ohm, k, inertia, load_nm = 12.6, 0.18, 0.03, 4e-5, 0.15
    steady_a, peak_a, tau_s = load_nm / k, volts / ohm, inertia * ohm / k**2
    assert locked_rotor_a(volts, motor_ohm=0.12, loop_ohm=0.06) == pytest.approx(peak_a)

    def rate(_: float, speed: float) -> float:
        return (k * (volts - k * speed) / ohm - load_nm) / inertia

    run = solve_ivp(rate, (0, 0.05), [0.0], rtol=1e-9, atol=1e-9, t_eval=np.linspace(0, 0.05, 11))
    for time_s, speed in zip(run.t, run.y[0], strict=True):
        ours = decaying_current_a(float(time_s), peak_a=peak_a, steady_a=steady_a, time_constant_s=tau_s)
        assert ours == pytest.approx((volts - k * speed) / ohm, rel=1e-6)


@pytest.mark.parametrize("steady_a", [0.0, 5.0])
def test_heat_integral_of_a_decay_is_that_of_its_square(steady_a: float) -> None:
    start = {"peak_a": 60.0, "steady_a": steady_a, "time_constant_s": 0.02}
    whole, _ = quad(lambda t: decaying_current_a(t, **start) ** 2, 0, 0.3, epsrel=1e-10, limit=200)
    assert decaying_a2s(0.3, **start) == pytest.approx(whole, rel=1e-8)


def test_heat_integral_of_a_ramp_is_that_of_its_square() -> None:
    whole, _ = quad(lambda t: (30 - 15 * t / 4) ** 2, 0, 4)
    assert ramp_a2s(30, end_a=15, duration_s=4) == pytest.approx(whole)
    assert ceramic_peak_a(13.5, least_ohm=0.4, loop_ohm=0.05) == pytest.approx(30)


def test_heat_integral_of_charging_is_that_of_its_square() -> None:
    volts, farad, ohm = 25.6, 0.008, 0.012
    whole, _ = quad(lambda t: (volts / ohm * math.exp(-t / (ohm * farad))) ** 2, 0, 30 * ohm * farad)
    assert capacitor_a2s(volts, capacitance_f=farad, loop_ohm=ohm) == pytest.approx(whole, rel=1e-9)
    # what the loop turns to heat is what the capacitor holds in the end
    assert whole * ohm == pytest.approx(stored_energy_j(volts, capacitance_f=farad))
    assert capacitor_peak_a(volts, loop_ohm=ohm) == pytest.approx(2133.333, rel=1e-6)


def test_precharge_ends_where_the_share_says() -> None:
    time_s = precharge_time_s(10.0, capacitance_f=0.020, time_constants=3)
    assert charged_share(time_s / (10 * 0.020)) == pytest.approx(0.9502, abs=5e-5)


def test_fill_and_bore_undo_each_other() -> None:
    cables = (3.0, 5.1, 7.4)
    bore_mm = least_bore_mm(cables, fill_pct=40)
    assert conduit_fill_pct(cables, bore_mm=bore_mm) == pytest.approx(40)
    assert bend_radius_mm(outer_diameter_mm(2.2, wall_mm=0.35), multiple=6) == pytest.approx(17.4)
    assert jam_ratio(11.5, outer_d_mm=4.0) == 2.875


@pytest.mark.parametrize("cables", [(), (0.0,), (3.0, math.nan)])
def test_what_is_no_bundle_is_refused(cables: tuple[float, ...]) -> None:
    with pytest.raises(OutOfRangeError):
        conduit_fill_pct(cables, bore_mm=20)
    with pytest.raises(OutOfRangeError):
        least_bore_mm(cables, fill_pct=40)


def test_air_goes_with_cells_and_capacity() -> None:
    one = vent_flow_m3_per_h(100, cells=6, gassing_ma_per_ah=20)
    assert vent_flow_m3_per_h(200, cells=12, gassing_ma_per_ah=20) == pytest.approx(4 * one)
    assert vent_opening_cm2(one) == pytest.approx(16.8)
