"""The range of a formula is enforced on floats and arrays, refuses nan, and is kept where docs find it."""

import math
from typing import Any

import numpy as np
import pytest

from groundstrap.errors import GroundstrapError, OutOfRangeError
from groundstrap.physics import (
    adiabatic,
    battery,
    cable_standard,
    conductor,
    drop,
    fuse,
    heat,
    heated,
    loads,
    loom,
    transient,
    uncertainty,
)
from groundstrap.physics._range import within


@within(temp_c=(-60, 250), length_m=(0, 10))
def sample(length_m: float, temp_c: float = 20.0) -> float:
    return length_m + temp_c


def test_ends_are_inside() -> None:
    assert sample(10, -60) == -50
    assert sample(length_m=0, temp_c=250) == 250


def test_what_is_left_out_is_not_checked() -> None:
    assert sample(1) == 21


@pytest.mark.parametrize("temp_c", [-60.001, 250.1, math.nan, math.inf])
def test_outside_is_refused_with_what_was_given(temp_c: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"^sample: temp_c=\S+ is outside -60 to 250") as caught:
        sample(1, temp_c)
    error = caught.value
    assert isinstance(error, GroundstrapError)
    assert (error.function, error.name, error.low, error.high) == ("sample", "temp_c", -60, 250)


def test_arrays_are_refused_by_their_first_number_outside() -> None:
    with pytest.raises(OutOfRangeError, match="temp_c=300 is outside"):
        sample(1, np.array([20.0, 300.0, 400.0]))  # type: ignore[arg-type]
    with pytest.raises(OutOfRangeError, match="temp_c=nan"):
        sample(1, np.array([20.0, math.nan]))  # type: ignore[arg-type]


def test_range_is_kept_for_the_docs() -> None:
    assert sample.__dict__["valid_range"] == {"temp_c": (-60, 250), "length_m": (0, 10)}
    assert heat.steady_temperature_c.__dict__["valid_range"]["emissivity"] == (0.01, 1.0)


def test_a_limit_on_a_parameter_that_is_not_there_is_our_own_mistake() -> None:
    with pytest.raises(ValueError, match="not in list"):
        within(nothing=(0, 1))(lambda something: something)


WIRE: dict[str, Any] = {
    "ohm_per_m_20c": 0.0076, "alpha20_per_k": 0.00393, "outer_d_mm": 3.6, "wall_k_m_per_w": 0.46,
    "emissivity": 0.9,
}  # fmt: skip
HEATING: dict[str, Any] = {"rise_k_per_a2": 0.1, "coefficient_per_k": 0.0039, "time_constant_s": 60}
COPPER: dict[str, Any] = {"rho20_ohm_mm2_per_m": 1 / 58, "alpha20_per_k": 0.00393}

REFUSED = {
    "kelvin for degrees": lambda: conductor.conductor_ohm(5.0, 16, 293, **COPPER),
    "no area": lambda: conductor.ohm_per_m(0.0, 20, lay_factor=1.0, **COPPER),
    "limit under the ambient": lambda: heat.ampacity_a(40, 60, **WIRE),
    "black beyond black": lambda: heat.ampacity_a(70, 30, **{**WIRE, "emissivity": 1.1}),
    "factor at the limit": lambda: heat.ambient_factor(70, from_ambient_c=30, to_ambient_c=70),
    "limit of the cable standard": lambda: cable_standard.ampacity_by_standard_a(
        30, 30, mounting=cable_standard.FREE, ohm_per_m_20c=1, alpha20_per_k=0, outer_d_mm=3, wall_k_m_per_w=0
    ),
    "negative time": lambda: transient.rise_after_k(10, -1, start_rise_k=0, **HEATING),
    "pulse longer than its period": lambda: transient.pulse_peak_rise_k(
        10, run_s=61, every_s=60, rest_a=0, **HEATING
    ),
    "pulse longer than its period, other way": lambda: transient.pulse_current_a(
        40, run_s=61, every_s=60, **HEATING
    ),
    "pre-load over the rating": lambda: transient.short_time_current_simple_a(
        20, 60, preload_a=21, time_constant_s=60
    ),
    "fault that cools": lambda: adiabatic.k_factor(
        160, 70, reciprocal_c=234.5, heat_j_per_mm3_k=3.45e-3, rho20_ohm_mm=17.241e-6
    ),
    "joints use up the drop": lambda: drop.least_area_mm2(
        10, loop_m=12, drop_v=0.36, temp_c=20, lay_factor=1.02, joints_ohm=0.036, **COPPER
    ),
    "part load over full load": lambda: drop.faa_conductor_c(27, most_a=26, ambient_c=50, rated_c=200),
    "load that the source can't feed": lambda: loads.constant_power_voltage_v(
        2000, emf_v=12.6, series_ohm=0.02
    ),
    "state of charge without a point": lambda: battery.rested_voltage_v(
        20, states_pct=(50, 100), volts_v=(12.2, 12.65)
    ),
    "volts under the points": lambda: battery.state_of_charge_pct(
        11.0, states_pct=(50, 100), volts_v=(12.2, 12.65)
    ),
    "sag upwards": lambda: battery.resistance_of_sag_ohm(12.0, loaded_v=12.1, current_a=10),
    "cranking above rest": lambda: battery.cranking_resistance_ohm(500.0, emf_v=7.0, end_v=7.2),
    "more current than settles": lambda: heated.heated_voltage_v(101.0, cold_ohm=0.01, kappa_per_a2=1e-4),
    "more current than settles, in a row": lambda: heated.heated_voltage_v(
        np.array([1.0, 101.0]), cold_ohm=0.01, kappa_per_a2=1e-4
    ),
    "gates that do not rise": lambda: fuse.slowest_opening_s(
        2, gate_multiples=(2, 1.35), gate_most_s=(600, 5)
    ),
    "gate times that rise": lambda: fuse.slowest_opening_s(2, gate_multiples=(1.35, 2), gate_most_s=(5, 600)),
    "a gate without a time": lambda: fuse.slowest_opening_s(2, gate_multiples=(1.35, 2), gate_most_s=(600,)),
    "more pulses than the rule has": lambda: fuse.pulse_budget_a2s(308, pulses=200_000),
    "leads with more than the reading": lambda: uncertainty.without_leads(0.1, low_ohm=0.2, high_ohm=0.5),
    "leads the wrong way round": lambda: uncertainty.without_leads(1.0, low_ohm=0.5, high_ohm=0.2),
    "shares more than it has": lambda: uncertainty.shared_covariance((1.0, 1.0), (2.0, 0.0), (1, 1)),
    "a loom in an oven": lambda: loom.loom_state(
        [1.0], [0.01], 300, alpha20_per_k=0.004, loom_d_mm=5, inside_k_m_per_w=0.4, emissivity=0.9
    ),
}


@pytest.mark.parametrize("case", REFUSED)
def test_formulas_refuse(case: str) -> None:
    with pytest.raises(OutOfRangeError, match="is outside"):
        REFUSED[case]()
