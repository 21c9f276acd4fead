"""Facts of the trade, common practice: what a fitter would expect the tables to say."""

from __future__ import annotations

import pytest

from groundstrap.tables import (
    alternator_default,
    next_rating,
    plug,
    rested_voltage_v,
    show,
    state_of_charge_pct,
    supply_ends,
    usual_fuse,
)


def test_a_rested_full_battery_stands_at_12_6_to_12_7_v() -> None:
    # common practice
    for series in ("A", "B"):
        assert 12.6 <= rested_voltage_v("flooded", 100, series=series) <= 12.7


def test_half_is_12_2_v_by_the_tables_and_12_0_v_as_often_quoted() -> None:
    # common practice; the quoted value is kept as a named difference: by the tables 12.0 V is a quarter or
    # less.
    assert rested_voltage_v("flooded", 50, series="B") == 12.2
    assert rested_voltage_v("flooded", 50) == pytest.approx(12.2, abs=0.05)
    quoted = show("rested_voltage_quoted").rows[0]
    assert (quoted.number("quoted_v"), quoted.number("table_v")) == (12.0, 12.2)
    assert state_of_charge_pct("flooded", 12.0, series="B") == 25
    assert state_of_charge_pct("flooded", 12.0) < 25


def test_charging_stands_between_13_5_and_14_5_v() -> None:
    # common practice: 13.5 to 14.5 V across a 12 V battery while it is charged
    setpoint = alternator_default("setpoint")
    assert 13.5 <= setpoint.low <= setpoint.typical <= 14.5
    # Known difference: a cold battery's regulator goes to 14.6 V by handbooks, and design takes 14.8 V as the
    # highest that a charger's ordinary stage holds.
    assert setpoint.high == pytest.approx(14.6)
    assert supply_ends("lead", 12).high_v == 14.8


def test_behind_an_accessory_socket_stand_15_a_at_times_20_a() -> None:
    # common practice
    assert (plug("lighter").fuse_a, plug("lighter").fuse_high_a) == (15, 20)


def test_the_next_standard_rating_above_31_75_a_is_35_a() -> None:
    # common practice: 25.4 A over 0.8 is 31.75 A
    assert next_rating(25.4 / 0.8, "regular blade") == 35


def test_14_awg_goes_with_15_a() -> None:
    # common practice, and NFPA 70 section 240.4(D) from memory
    assert any(usual.least_a == usual.most_a == 15 for usual in usual_fuse("14 AWG"))
