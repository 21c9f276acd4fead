"""What must hold for any wire, current, time and fuse: directions, and functions that undo each other."""

import math
from typing import Any

from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from groundstrap.physics.adiabatic import end_temperature_c, k_factor
from groundstrap.physics.conductor import (
    conductor_ohm,
    ohm_at_temperature,
    stranded_diameter_mm,
    temperature_of_ratio_c,
)
from groundstrap.physics.distributions import (
    chi_square_exceeds,
    chi_square_quantile,
    student_probability,
    student_quantile,
)
from groundstrap.physics.drop import rule_area_mm2, rule_current_a
from groundstrap.physics.fuse import fastest_opening_s, slowest_opening_s
from groundstrap.physics.heat import (
    ambient_factor,
    ampacity_a,
    steady_temperature_c,
    thermal_resistance_k_m_per_w,
    wall_k_m_per_w,
)
from groundstrap.physics.heated import heated_current_a, heated_voltage_v
from groundstrap.physics.loads import (
    constant_power_voltage_v,
    current_at_voltage_a,
    most_power_w,
    power_at_voltage_w,
)
from groundstrap.physics.loom import loom_state
from groundstrap.physics.transient import (
    pulse_current_a,
    pulse_peak_rise_k,
    rise_after_k,
    short_time_current_a,
    time_to_rise_s,
)

FEW = settings(max_examples=60, deadline=None)

areas = st.floats(0.35, 120)
ambients = st.floats(-40, 90)
walls = st.floats(0.2, 2.0)
rises = st.floats(1, 150)


def wire(area_mm2: float, wall_mm: float) -> dict[str, Any]:
    conductor_d_mm = stranded_diameter_mm(area_mm2, fill=0.756)
    outer_d_mm = conductor_d_mm + 2 * wall_mm
    return {
        "ohm_per_m_20c": 1.02 / (58 * area_mm2),
        "alpha20_per_k": 0.00393,
        "outer_d_mm": outer_d_mm,
        "wall_k_m_per_w": wall_k_m_per_w(conductor_d_mm, outer_d_mm, insulation_w_per_m_k=0.17),
        "emissivity": 0.9,
    }


@FEW
@given(areas, walls, ambients, rises)
def test_capacity_and_temperature_undo_each_other(
    area_mm2: float, wall_mm: float, ambient_c: float, rise_k: float
) -> None:
    cable = wire(area_mm2, wall_mm)
    current_a = ampacity_a(ambient_c + rise_k, ambient_c, **cable)
    settled_c = steady_temperature_c(current_a, ambient_c, **cable)
    assert math.isclose(settled_c, ambient_c + rise_k, abs_tol=1e-6)


@FEW
@given(areas, walls, ambients, st.floats(0.1, 300), st.floats(1.001, 2))
def test_more_current_is_hotter(
    area_mm2: float, wall_mm: float, ambient_c: float, current_a: float, more: float
) -> None:
    cable = wire(area_mm2, wall_mm)
    low = steady_temperature_c(current_a, ambient_c, **cable)
    assume(low < math.inf)
    assert steady_temperature_c(current_a * more, ambient_c, **cable) > low


@FEW
@given(areas, walls, ambients, st.floats(0.1, 300), st.floats(1.01, 3))
def test_a_thicker_wire_is_cooler(
    area_mm2: float, wall_mm: float, ambient_c: float, current_a: float, thicker: float
) -> None:
    thin = steady_temperature_c(current_a, ambient_c, **wire(area_mm2, wall_mm))
    assume(thin < math.inf)
    assert steady_temperature_c(current_a, ambient_c, **wire(area_mm2 * thicker, wall_mm)) < thin


@FEW
@given(areas, walls, st.floats(-40, 60), rises, st.floats(0.1, 30))
def test_a_warmer_place_leaves_less_capacity(
    area_mm2: float, wall_mm: float, ambient_c: float, rise_k: float, warmer_k: float
) -> None:
    cable, limit_c = wire(area_mm2, wall_mm), ambient_c + rise_k
    assume(warmer_k < rise_k)
    warm_a = ampacity_a(limit_c, ambient_c + warmer_k, **cable)
    assert warm_a < ampacity_a(limit_c, ambient_c, **cable)
    assert ambient_factor(limit_c, from_ambient_c=ambient_c, to_ambient_c=ambient_c + warmer_k) < 1


@FEW
@given(areas, walls, ambients, rises, st.floats(1.01, 2))
def test_thermal_resistance_falls_as_it_gets_hotter(
    area_mm2: float, wall_mm: float, ambient_c: float, rise_k: float, more: float
) -> None:
    cable = {k: v for k, v in wire(area_mm2, wall_mm).items() if "alpha" not in k and "ohm" not in k}
    low = thermal_resistance_k_m_per_w(ambient_c + rise_k * more, ambient_c, **cable)
    assert low < thermal_resistance_k_m_per_w(ambient_c + rise_k, ambient_c, **cable)


@FEW
@given(areas, st.floats(0, 40), st.floats(0, 40), ambients)
def test_a_loaded_neighbour_only_warms(
    area_mm2: float, own_a: float, other_a: float, ambient_c: float
) -> None:
    ohm = 1.02 / (58 * area_mm2)
    loom: dict[str, Any] = {
        "alpha20_per_k": 0.00393,
        "loom_d_mm": 12,
        "inside_k_m_per_w": 0.4,
        "emissivity": 0.9,
    }
    alone = loom_state([own_a, 0.0], [ohm, ohm], ambient_c, **loom)
    both = loom_state([own_a, other_a], [ohm, ohm], ambient_c, **loom)
    swapped = loom_state([other_a, own_a], [ohm, ohm], ambient_c, **loom)
    assert both == swapped
    assert both.middle_c >= alone.middle_c


heating = st.fixed_dictionaries(
    {
        "rise_k_per_a2": st.floats(1e-3, 1.0),
        "coefficient_per_k": st.floats(0, 0.0045),
        "time_constant_s": st.floats(5, 2000),
    }
)


@FEW
@given(heating, st.floats(1, 200), st.floats(0, 60), st.floats(0.1, 3000), st.floats(1.01, 2))
def test_longer_or_more_current_is_hotter_than_a_steady_pre_load(
    law: dict[str, float], current_a: float, start_k: float, time_s: float, more: float
) -> None:
    once = rise_after_k(current_a, time_s, start_rise_k=start_k, **law)
    assume(once < 1e6)
    assert rise_after_k(current_a * more, time_s, start_rise_k=start_k, **law) > once
    assert rise_after_k(current_a, time_s, start_rise_k=start_k + 1, **law) >= once
    cold = rise_after_k(current_a, time_s, start_rise_k=0, **law)
    # As the rise nears its end a longer time moves it by less than a float can hold.
    assert rise_after_k(current_a, time_s * more, start_rise_k=0, **law) >= cold * (1 - 1e-12)


@FEW
@given(heating, st.floats(5, 120), st.floats(0, 4), st.floats(0.05, 3000))
def test_short_time_current_is_reached_in_that_time(
    law: dict[str, float], limit_k: float, start_k: float, time_s: float
) -> None:
    current_a = short_time_current_a(limit_k, time_s, start_rise_k=start_k, **law)
    reached = rise_after_k(current_a, time_s, start_rise_k=start_k, **law)
    assert math.isclose(reached, limit_k, rel_tol=1e-6)
    # Half as much again reaches it sooner, by the inverse function.
    sooner_s = time_to_rise_s(1.5 * current_a, limit_k, start_rise_k=start_k, **law)
    assert 0 < sooner_s < time_s


@FEW
@given(heating, st.floats(5, 120), st.floats(0.5, 300), st.floats(1.01, 50))
def test_a_pulse_may_be_larger_than_a_continuous_current(
    law: dict[str, float], limit_k: float, run_s: float, apart: float
) -> None:
    every_s = run_s * apart
    pulse_a = pulse_current_a(limit_k, run_s=run_s, every_s=every_s, **law)
    peak = pulse_peak_rise_k(pulse_a, run_s=run_s, every_s=every_s, rest_a=0, **law)
    assert math.isclose(peak, limit_k, rel_tol=1e-6)
    assert pulse_a >= short_time_current_a(limit_k, math.inf, start_rise_k=0, **law) * (1 - 1e-9)
    assert pulse_a <= short_time_current_a(limit_k, run_s, start_rise_k=0, **law) * (1 + 1e-9)


@FEW
@given(st.floats(-5, 5), st.floats(1e-4, 2), st.floats(0, 0.1))
@example(2.0, 0.01, 0.05)
def test_heated_voltage_and_current_undo_each_other(voltage_v: float, cold_ohm: float, kappa: float) -> None:
    current_a = heated_current_a(voltage_v, cold_ohm=cold_ohm, kappa_per_a2=kappa)
    assert abs(current_a) <= abs(voltage_v) / cold_ohm * (1 + 1e-12)
    share = kappa * current_a**2
    assert share < 1
    assume(share < 0.999)  # nearer to 1 the voltage is lost in the rounding of 1 - share
    back = heated_voltage_v(current_a, cold_ohm=cold_ohm, kappa_per_a2=kappa)
    assert math.isclose(back, voltage_v, rel_tol=1e-9, abs_tol=1e-12)


@FEW
@given(st.floats(0.01, 100), areas, st.floats(-50, 240))
def test_resistance_and_temperature_undo_each_other(length_m: float, area_mm2: float, temp_c: float) -> None:
    cold = conductor_ohm(length_m, area_mm2, 20, rho20_ohm_mm2_per_m=1 / 58, alpha20_per_k=0.00393)
    hot = ohm_at_temperature(cold, temp_c, alpha20_per_k=0.00393)
    assert math.isclose(temperature_of_ratio_c(hot / cold, alpha20_per_k=0.00393), temp_c, abs_tol=1e-8)


@FEW
@given(st.floats(-40, 200), st.floats(1, 300), areas)
def test_fault_temperature_and_k_undo_each_other(start_c: float, rise_k: float, area_mm2: float) -> None:
    metal: dict[str, Any] = {"reciprocal_c": 234.5, "heat_j_per_mm3_k": 3.45e-3, "rho20_ohm_mm": 17.241e-6}
    k = k_factor(start_c, start_c + rise_k, **metal)
    end = end_temperature_c((k * area_mm2) ** 2, start_c=start_c, area_mm2=area_mm2, **metal)
    assert math.isclose(end, start_c + rise_k, abs_tol=1e-6)


@FEW
@given(st.floats(9, 60), st.floats(1e-3, 1), st.floats(0, 1))
def test_constant_power_stands_on_the_upper_branch(emf_v: float, series_ohm: float, share: float) -> None:
    power_w = share * most_power_w(emf_v, series_ohm=series_ohm)
    voltage_v = constant_power_voltage_v(power_w, emf_v=emf_v, series_ohm=series_ohm)
    assert voltage_v >= emf_v / 2
    assert math.isclose(voltage_v * (emf_v - voltage_v) / series_ohm, power_w, rel_tol=1e-6, abs_tol=1e-9)


@FEW
@given(st.floats(0.1, 50), st.floats(9, 60), st.floats(9, 60), st.floats(-1, 3))
def test_power_is_volts_times_current_at_any_voltage(
    current_a: float, at_v: float, to_v: float, exponent: float
) -> None:
    current = current_at_voltage_a(current_a, at_v=at_v, to_v=to_v, exponent=exponent)
    power = power_at_voltage_w(current_a * at_v, at_v=at_v, to_v=to_v, exponent=exponent)
    assert math.isclose(power, current * to_v, rel_tol=1e-12)


@FEW
@given(st.floats(0.1, 200), st.floats(0.5, 50), st.floats(0.1, 3))
def test_a_rules_area_carries_its_current(current_a: float, loop_m: float, drop_v: float) -> None:
    rule: dict[str, Any] = {"loop_m": loop_m, "drop_v": drop_v, "rule_ohm_mm2_per_m": 0.0164}
    assert math.isclose(rule_current_a(rule_area_mm2(current_a, **rule), **rule), current_a, rel_tol=1e-12)


@FEW
@given(st.floats(0.5, 20), st.floats(1.0001, 3))
def test_a_fuse_opens_no_later_at_more_current(multiple: float, more: float) -> None:
    """Gates of ISO 8820-3 type C. The staircase is never quicker than the chord, the fastest never slower."""
    most: dict[str, Any] = {"gate_multiples": (1.35, 2.0, 3.5, 6.0), "gate_most_s": (600, 5, 0.5, 0.15)}
    least: dict[str, Any] = {
        "gate_multiples": (1.1, 1.35, 2.0, 3.5, 6.0),
        "gate_least_s": (360_000, 0.75, 0.15, 0.08, 0.03),
    }
    now, then = slowest_opening_s(multiple, **most), slowest_opening_s(multiple * more, **most)
    assert then.chord_s <= now.chord_s
    assert then.guaranteed_s <= now.guaranteed_s
    assert now.chord_s <= now.guaranteed_s * (1 + 1e-12)
    fastest = fastest_opening_s(multiple, **least)
    assert fastest_opening_s(multiple * more, **least) <= fastest
    assert fastest <= now.chord_s


@FEW
@given(st.floats(1e-6, 1 - 1e-6), st.floats(0.5, 1000))
def test_quantiles_and_probabilities_undo_each_other(probability: float, degrees: float) -> None:
    chi2 = chi_square_quantile(probability, degrees)
    assert math.isclose(chi_square_exceeds(chi2, degrees), 1 - probability, rel_tol=1e-6, abs_tol=1e-9)
    t = student_quantile(probability, degrees)
    assert math.isclose(student_probability(t, degrees), probability, rel_tol=1e-6, abs_tol=1e-9)
