"""Rows and plain numbers agree, and what a formula does not cover is refused by name."""

import numpy as np
import pytest

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.physics import charging, kinetic, rested, storage
from groundstrap.tables import (
    battery_resistance,
    capacity_per_k,
    open_circuit,
    self_discharge,
    starting_profile,
    two_wells,
)

WELLS = {"share": 0.5, "rate_per_h": 0.6}
POINTS = {"heads": np.array([0.0, 0.5, 1.0]), "volts_v": np.array([10.5, 12.2, 12.7]), "per_k_v": 0.0015}


@pytest.mark.parametrize(
    ("function", "rows", "fixed"),
    [
        (kinetic.wells_after, {"available_ah": 20, "bound_ah": 30, "current_a": 4, "hours": 2}, WELLS),
        (kinetic.largest_discharge_a, {"available_ah": 20, "bound_ah": 30, "hours": 2}, WELLS),
        (kinetic.largest_charge_a, {"available_ah": 20, "bound_ah": 30, "total_ah": 90, "hours": 2}, WELLS),
        (kinetic.capacity_in_time_ah, {"total_ah": 90, "hours": 2}, WELLS),
        (kinetic.capacity_at_current_ah, {"total_ah": 90, "current_a": 7}, WELLS),
        (storage.open_circuit_v, {"head": 0.7, "temp_c": -3}, POINTS),
        (storage.resistance_at_head_ohm, {"full_ohm": 0.005, "head": 0.3}, {"ratio_at_20_pct": 1.7}),
        (storage.capacity_share, {"temp_c": -3}, {"pct_per_k": 0.8}),
        (storage.self_discharge_a, {"capacity_ah": 90, "temp_c": -3}, {"pct_per_month_20c": 3}),
        (storage.accepted_a, {"missing_ah": 20, "temp_c": -3}, {"per_h": 0.8}),
        (
            storage.charge_resistance_ohm,
            {"accepted_a": 9, "emf_v": 12.4, "ohmic_ohm": 0.005},
            {"absorption_v": 14.4},
        ),
        (storage.cranking_held_a, {"emf_v": 12.4, "resistance_ohm": 0.009}, {"end_v": 7.2}),
        (rested.unrested_v, {"rest_h": 2}, {"at_first_v": 0.2, "settled_h": 8}),
        (
            charging.controlled_setpoint_v,
            {"state_pct": 77, "charge_v": 14.4, "cruise_v": 12.6},
            {"held_pct": 80},
        ),
        (charging.sun_share, {"hours_in": 3}, {"span_h": 9, "amplitude": 1.3}),
        (charging.sun_hours, {"hours_in": 3}, {"span_h": 9, "amplitude": 1.3}),
        (
            charging.charge_through_loop_a,
            {"setpoint_v": 14.2, "emf_v": 13.2, "loop_ohm": 0.02, "limit_a": 90},
            {},
        ),
    ],
)
def test_rows_are_the_plain_numbers_side_by_side(function, rows, fixed) -> None:  # type: ignore[no-untyped-def]
    plain = [function(**{n: float(v) * f for n, v in rows.items()}, **fixed) for f in (1.0, 0.93)]
    array = function(**{n: np.array([1.0, 0.93]) * v for n, v in rows.items()}, **fixed)
    if isinstance(array, kinetic.Wells):
        assert array.available_ah == pytest.approx([each.available_ah for each in plain], rel=1e-14)
        assert array.bound_ah == pytest.approx([each.bound_ah for each in plain], rel=1e-14)
    else:
        assert all(isinstance(each, float) for each in plain)
        assert array == pytest.approx(plain, rel=1e-12)


def test_a_head_beyond_full_is_refused_by_name() -> None:
    with pytest.raises(OutOfRangeError, match=r"open_circuit_v: head=1\.01"):
        storage.open_circuit_v(1.01, temp_c=20.0, **POINTS)
    with pytest.raises(OutOfRangeError, match=r"head=-0\.2"):
        storage.open_circuit_v(np.array([0.5, -0.2]), temp_c=np.array([20.0, 20.0]), **POINTS)


def test_beyond_a_curve_is_refused_but_not_for_rounding() -> None:
    keys, values = np.array([0.0, 10.0]), np.array([1.0, 2.0])
    assert storage.along(10.0 + 1e-9, keys=keys, values=values) == 2.0
    with pytest.raises(OutOfRangeError, match=r"x=10\.1"):
        storage.along(10.1, keys=keys, values=values)


def test_capacity_that_the_line_would_make_negative_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="share left"):
        storage.capacity_share(-50.0, pct_per_k=1.3)


def test_more_sun_than_the_span_holds_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="full_sun_h=5"):
        charging.sun_amplitude(5.0, span_h=4.0)
    with pytest.raises(OutOfRangeError, match=r"hours_in=4\.5"):
        charging.sun_share(4.5, span_h=4.0, amplitude=0.5)


def test_a_fit_asks_for_three_capacities_above_nothing() -> None:
    with pytest.raises(OutOfRangeError, match="number of capacities"):
        kinetic.fit_wells((1, 20), (60, 100))
    with pytest.raises(OutOfRangeError, match="hours=0"):
        kinetic.fit_wells((0, 1, 20), (50, 60, 100))


def test_nothing_is_left_to_wait_for_where_the_well_is_lower_already() -> None:
    assert kinetic.hours_to_available(5.0, 30.0, left_ah=6.0, current_a=1.0, **WELLS) == 0.0


def test_a_recovering_well_is_followed_to_its_real_end() -> None:
    """A well that was drained first rises under a small load, then falls: the later time counts."""
    q1, q2, small = 1.0, 49.0, 0.5
    hours = kinetic.hours_to_available(q1, q2, left_ah=0.5, current_a=small, **WELLS)
    after = kinetic.wells_after(q1, q2, current_a=small, hours=hours, **WELLS)
    assert after.available_ah == pytest.approx(0.5, abs=1e-9)
    assert hours > 80
    middle = kinetic.wells_after(q1, q2, current_a=small, hours=3.0, **WELLS)
    assert middle.available_ah > q1


def test_unknown_names_are_told_what_there_is() -> None:
    with pytest.raises(UnknownNameError, match="gel"):
        two_wells("nickel")
    with pytest.raises(UnknownNameError, match="10 to 20 h"):
        capacity_per_k("agm", "5 h")
    with pytest.raises(UnknownNameError, match="12 V II"):
        starting_profile(12, "V")
    assert self_discharge("flooded") == self_discharge("starter")
    assert open_circuit("starter") is open_circuit("flooded") or (
        open_circuit("starter").volts_v.tolist() == open_circuit("flooded").volts_v.tolist()
    )
    assert battery_resistance("starter").low_ohm == 0.004


def test_curves_cannot_be_written_to() -> None:
    with pytest.raises(ValueError, match="read-only"):
        open_circuit("agm").volts_v[0] = 1.0
