"""Kinds of load, meters, batteries, alternators."""

from __future__ import annotations

from itertools import pairwise

import pytest

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.model import LoadKind
from groundstrap.tables import (
    alternator_default,
    alternator_share,
    battery_resistance,
    charge_voltage,
    converter_efficiency,
    cranking,
    load_kind,
    load_kind_names,
    meter,
    meter_names,
    rested_curve,
    rested_voltage_v,
    state_of_charge_pct,
    supply_ends,
    vehicle_draw,
)


def test_every_kind_of_the_model_is_known() -> None:
    assert set(load_kind_names()) == {kind.value for kind in LoadKind}
    for name in load_kind_names():
        found = load_kind(name)
        assert -1 <= found.exponent <= 2
        assert 1 <= found.inrush_low <= found.inrush_high
        assert found.remark


def test_ohms_tell_the_power_of_wire_only() -> None:
    # trade knowledge, common practice: a cold lamp, a ceramic heater, a motor and electronics mislead
    assert {name for name in load_kind_names() if load_kind(name).resistance_tells_power} == {
        "heater",
        "coil",
    }


def test_meters() -> None:
    assert set(meter_names()) >= {"basic", "handheld", "bench"}
    basic = meter("basic")
    # a basic meter's 2.0 ohm is good to 0.8 % and two digits of 0.1 ohm
    assert (
        2.0 * basic.resistance.reading_pct / 100 + basic.resistance.digits * basic.resistance.resolution
        == (pytest.approx(0.216))
    )
    assert (basic.leads_least_ohm, basic.leads_most_ohm) == (0.2, 0.5)
    with pytest.raises(UnknownNameError):
        meter("cheap")


@pytest.mark.parametrize("chemistry", ["flooded", "agm", "gel", "lfp"])
def test_rested_curves_rise_and_invert(chemistry: str) -> None:
    curve = rested_curve(chemistry)
    assert all(low < high for low, high in pairwise(curve.soc_pct))
    assert all(low < high for low, high in pairwise(curve.volts_v))
    for soc_pct in (30, 50, 90, 100):
        assert state_of_charge_pct(chemistry, rested_voltage_v(chemistry, soc_pct)) == pytest.approx(soc_pct)


def test_outside_the_curve_is_refused() -> None:
    with pytest.raises(OutOfRangeError):
        state_of_charge_pct("flooded", 13.4)
    with pytest.raises(OutOfRangeError):
        rested_voltage_v("agm", 10)
    with pytest.raises(UnknownNameError):
        rested_curve("nimh")


def test_supply_ends_scale_with_the_system() -> None:
    assert supply_ends("flooded", 12).low_v == 12.0
    assert supply_ends("flooded", 48).high_v == pytest.approx(59.2)
    assert supply_ends("equalising charger", 12).high_v == 16.0
    with pytest.raises(OutOfRangeError):
        supply_ends("flooded", 400)
    with pytest.raises(UnknownNameError):
        supply_ends("fission", 12)


def test_resistance_by_capacity_and_by_cranking() -> None:
    small, large = (battery_resistance("agm", capacity_ah=ah) for ah in (50, 200))
    assert small.low_ohm == pytest.approx(4 * large.low_ohm)
    # 600 A SAE: at most (12.5 - 7.2) / 600 = 8.83 mohm at -18 degC; a tester shows about 3000 / 600 = 5 mohm.
    by_rating = battery_resistance("flooded", cranking_a=600)
    assert by_rating.cold_high_ohm * 1000 == pytest.approx(8.83, abs=0.005)
    assert by_rating.typical_ohm * 1000 == pytest.approx(5.0)
    assert battery_resistance("flooded", cranking_a=640, standard="EN").cold_high_ohm == pytest.approx(
        5 / 640
    )
    for found in (small, large, by_rating, battery_resistance("lfp")):
        assert found.low_ohm < found.typical_ohm < found.high_ohm
        assert found.cold_low_ohm <= found.cold_high_ohm
    assert "no capacity is given" in battery_resistance("lfp").why


def test_resistance_refuses_nonsense() -> None:
    with pytest.raises(OutOfRangeError):
        battery_resistance("agm", capacity_ah=0)
    with pytest.raises(OutOfRangeError):
        battery_resistance("agm", cranking_a=1)
    with pytest.raises(UnknownNameError):
        battery_resistance("agm", cranking_a=600, standard="DIN")
    with pytest.raises(UnknownNameError):
        battery_resistance("unknown")


def test_cold_starts() -> None:
    # Battery service handbook: 100, 65, 40, 25 % at 27, 0, -18, -29 degC; an engine asks 155, 210, 350 %.
    assert [cranking(c).has_pct for c in (27, 0, -18, -29)] == [100, 65, 40, 25]
    assert cranking(-40).beyond_table
    assert cranking(-40).has_pct == 25
    with pytest.raises(OutOfRangeError):
        cranking(float("nan"))


def test_alternators() -> None:
    assert alternator_share(6000) == 1.0
    with pytest.raises(OutOfRangeError):
        alternator_share(500)
    for item in ("setpoint", "variable setpoint", "droop", "idle share", "hot share", "rating at 12 V"):
        found = alternator_default(item)
        assert found.low < found.typical < found.high
    with pytest.raises(UnknownNameError):
        alternator_default("colour")


def test_other_supplies() -> None:
    # Decision (EU) 2017/785: 750 W at 14.3 V is 52.4 A, 350 W 24.5 A.
    assert vehicle_draw(engine_running=True).high == pytest.approx(750 / 14.3, abs=0.1)
    assert vehicle_draw(engine_running=True).low == pytest.approx(350 / 14.3, abs=0.1)
    assert charge_voltage("flooded", "equalise").high_v == 16.0
    assert converter_efficiency("inverter").low < 90
    with pytest.raises(UnknownNameError):
        charge_voltage("lfp", "equalise")
    with pytest.raises(UnknownNameError):
        converter_efficiency("engine")
