"""The heat balance by hand, and a loom as one cylinder."""

import math
from typing import Any

import pytest

from groundstrap.physics.convection import nusselt_churchill_chu
from groundstrap.physics.heat import (
    MODEL_TOP_C,
    STEFAN_BOLTZMANN_W_PER_M2_K4,
    ampacity_a,
    balance_at,
    steady_temperature_c,
    surface_heat_w_per_m,
    thermal_resistance_k_m_per_w,
    wall_k_m_per_w,
)
from groundstrap.physics.heated import heated_voltage_v, kappa_per_a2, rise_of_heat_share_k
from groundstrap.physics.loom import (
    loom_diameter_mm,
    loom_state,
)

SURFACE: dict[str, Any] = {"outer_d_mm": 3.6, "wall_k_m_per_w": 0.4611, "emissivity": 0.9}
WIRE: dict[str, Any] = {"ohm_per_m_20c": 0.0076, "alpha20_per_k": 0.00393, **SURFACE}


def test_radiation_alone_by_hand() -> None:
    """With a correlation that gives nothing only radiation is left: pi D eps sigma (T1^4 - T2^4)."""
    ours = surface_heat_w_per_m(70, 30, outer_d_mm=10, emissivity=0.9, nusselt=lambda *_: 0.0)
    by_hand = math.pi * 0.010 * 0.9 * STEFAN_BOLTZMANN_W_PER_M2_K4 * (343.15**4 - 303.15**4)
    assert ours == pytest.approx(by_hand, rel=1e-12)


def test_heat_through_the_wall_is_heat_off_the_surface() -> None:
    balance = balance_at(70, 30, **SURFACE)
    assert (balance.conductor_c - balance.surface_c) / 0.4611 == pytest.approx(balance.heat_w_per_m, rel=1e-8)
    off = surface_heat_w_per_m(balance.surface_c, 30, outer_d_mm=3.6, emissivity=0.9)
    assert off == pytest.approx(balance.heat_w_per_m, rel=1e-12)
    assert balance.thermal_resistance_k_m_per_w == pytest.approx(40 / off)


def test_bare_conductor_has_its_surfaces_temperature() -> None:
    assert wall_k_m_per_w(3.0, 3.0, insulation_w_per_m_k=0.2) == 0.0
    assert balance_at(90, 20, outer_d_mm=3.0, wall_k_m_per_w=0.0, emissivity=0.7).surface_c == 90


def test_thermal_resistance_at_the_ambient_is_the_limit() -> None:
    """Nothing but radiation and wall are left when the rise goes to nothing; convection goes very slowly."""
    at_ambient = thermal_resistance_k_m_per_w(30, 30, **SURFACE)
    radiation = 1 / (math.pi * 0.0036 * 4 * 0.9 * STEFAN_BOLTZMANN_W_PER_M2_K4 * 303.15**3)
    assert at_ambient == pytest.approx(radiation + 0.4611, rel=1e-12)
    rows = [thermal_resistance_k_m_per_w(30 + rise, 30, **SURFACE) for rise in (1e-4, 0.01, 1, 20, 90)]
    assert at_ambient > rows[0]
    assert rows == sorted(rows, reverse=True)


def test_current_that_settles_nowhere() -> None:
    assert steady_temperature_c(2000, 30, **WIRE) == math.inf
    top_a = ampacity_a(MODEL_TOP_C, 30, **WIRE)
    assert steady_temperature_c(0.9999 * top_a, 30, **WIRE) < MODEL_TOP_C
    assert steady_temperature_c(1.0001 * top_a, 30, **WIRE) == math.inf


def test_no_current_is_the_ambient() -> None:
    assert steady_temperature_c(0, -40, **WIRE) == -40


def test_a_bare_conductor_has_the_temperature_of_its_surface() -> None:
    bare = {**WIRE, "wall_k_m_per_w": 0.0}
    given_w = surface_heat_w_per_m(70, 30, outer_d_mm=3.6, emissivity=0.9)
    by_hand_a = math.sqrt(given_w / (0.0076 * (1 + 0.00393 * 50)))
    assert ampacity_a(70, 30, **bare) == pytest.approx(by_hand_a, rel=1e-12)
    assert steady_temperature_c(by_hand_a, 30, **bare) == pytest.approx(70, abs=1e-6)


def test_kappa_is_the_heat_balance_at_its_own_temperature() -> None:
    """With the thermal resistance of 70 degC, kappa I^2 at the capacity gives back 70 degC and volts."""
    current_a = ampacity_a(70, 30, **WIRE)
    ohm = 0.0076 * (1 + 0.00393 * 10)
    resistance = thermal_resistance_k_m_per_w(70, 30, **SURFACE)
    kappa = kappa_per_a2(ohm, resistance, alpha20_per_k=0.00393, ambient_c=30)
    rise_k = rise_of_heat_share_k(kappa * current_a**2, alpha20_per_k=0.00393, ambient_c=30)
    assert rise_k == pytest.approx(40, rel=1e-9)
    hot_ohm = 0.0076 * (1 + 0.00393 * 50)
    ours = heated_voltage_v(current_a, cold_ohm=ohm, kappa_per_a2=kappa)
    assert ours == pytest.approx(current_a * hot_ohm, rel=1e-9)


def test_one_cable_is_a_loom_of_one() -> None:
    state = loom_state(
        [25.0], [0.0076], 30, alpha20_per_k=0.00393, loom_d_mm=3.6, inside_k_m_per_w=0.4611, emissivity=0.9
    )
    assert state.settles
    assert state.middle_c == pytest.approx(steady_temperature_c(25, 30, **WIRE), abs=1e-5)
    assert loom_diameter_mm([3.6], fill=0.7) == pytest.approx(3.6)


def test_unloaded_and_overloaded_looms() -> None:
    loom: dict[str, Any] = {
        "alpha20_per_k": 0.00393,
        "loom_d_mm": 9,
        "inside_k_m_per_w": 0.4,
        "emissivity": 0.9,
    }
    assert loom_state([0.0, 0.0], [0.01, 0.01], 40, **loom).middle_c == 40
    state = loom_state([500.0] * 6, [0.0076] * 6, 40, **loom)
    assert not state.settles
    assert state.middle_c == math.inf


def test_correlation_is_the_callers_choice() -> None:
    other = steady_temperature_c(31.8, 30, nusselt=nusselt_churchill_chu, **WIRE)
    assert 72 < other < 76
