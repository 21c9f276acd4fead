"""Facts of the trade and accepted answers, asked of `vet`; common practice where no other source is named."""

from __future__ import annotations

import pytest

from groundstrap.model import Duty, Fitted, LoadKind
from groundstrap.vet import Trust, Verdict
from tests.unit.vet.evidence import BENCH, current, flow, ohms, power, vetted


def test_two_ohms_give_79_4_w_at_12_6_v() -> None:
    # Cold: 12.6^2 / 2.0. Hot its ohms are up to 3 % more, so its power lies between that and 3 % less.
    load = vetted(measured=(ohms(2.0, leads=None, meter=BENCH, last_digit=0.001),))
    resting = next(item for item in load.at if item.what == "resting")
    assert resting.at_v == 12.6
    assert resting.power_w.low < 79.38 / 1.03
    assert resting.power_w.value == pytest.approx(79.38 / 1.015, rel=1e-6)
    assert 79.38 < resting.power_w.high < 79.38 * 1.01


def test_an_accessory_socket_is_within_its_rating_up_to_189_w() -> None:
    # 15 A behind it, some 20 A: 15 A * 12.6 V.
    socket = Fitted(plug="lighter")
    assert vetted(claims=(power(189.0),), fitted=socket).claims[0].probability is None
    assert vetted(claims=(power(189.1),), fitted=socket).claims[0].probability is not None


def test_a_plug_in_heater_of_500_w_can_not_be() -> None:
    # 500 W would be 42 A at 12 V, from a socket of 10 to 15 A.
    found = vetted(LoadKind.PTC_HEATER, claims=(power(500.0),), fitted=Fitted(plug="lighter", fuse_a=15.0))
    assert found.claims[0].verdict is Verdict.IMPOSSIBLE
    assert found.estimate.power_w is not None
    assert found.estimate.power_w.value <= 15 * 12.6


def test_150_w_asks_12_5_a_of_a_contact_good_for_10() -> None:
    # Lighter plugs melt and faults follow: 150 W is 12.5 A at 12 V against about 10 A by the hour.
    found = vetted(LoadKind.ELECTRONICS, claims=(power(150.0),), fitted=Fitted(plug="lighter"))
    assert found.estimate.current_a(12.0) == pytest.approx(12.5)
    assert [item.limit_a for item in found.overloads] == [10.0]


def test_30_w_at_6_v_is_5_a_and_1_2_ohm() -> None:
    # An exercise of a service manual: printed 1.20 ohm and 5.00 A.
    load = vetted(claims=(power(30.0, voltage_v=6.0),), system_v=6.0)
    assert load.current_a is not None
    assert load.resistance_ohm is not None
    assert load.current_a.value == pytest.approx(5.00)
    assert load.resistance_ohm.value == pytest.approx(1.20)


def test_4_a_at_14_v_on_the_same_ohms_is_3_43_a_at_12_v() -> None:
    # The same exercises: printed 3.42 A, which is 3.43 when rounded; within 1 %.
    load = vetted(measured=(flow(4.0, 14.0),))
    assert load.estimate.current_a(12.0) == pytest.approx(3.42, rel=0.01)


def test_a_led_bar_of_75_w_takes_6_a_at_12_v_and_5_4_a_at_13_8_v() -> None:
    # The accepted answer to a tractor owner: about 75 W, 6 A at 12 V, 5.4 A at 13.8 V, whatever its fuse.
    load = vetted(LoadKind.LED, claims=(power(75.0),))
    assert load.estimate.current_a(12.0) == pytest.approx(6.25)
    assert load.estimate.current_a(13.8) == pytest.approx(5.43, abs=0.005)
    for fuse_a in (10.0, 20.0):
        fused = vetted(LoadKind.LED, claims=(power(75.0),), fitted=Fitted(fuse_a=fuse_a))
        assert fused.estimate.current_a(12.0) == load.estimate.current_a(12.0)


def test_an_inverter_of_2000_w_takes_more_than_its_watts_over_12() -> None:
    # Watts over 12 V would be 167 A. By energy: 192 A at 87 % and 12.0 V; 205 A at 85 % and 11.5 V.
    good = vetted(LoadKind.INVERTER, claims=(power(2000.0),), efficiency_pct=87.0)
    worse = vetted(LoadKind.INVERTER, claims=(power(2000.0),), efficiency_pct=85.0)
    assert good.estimate.current_a(12.0) == pytest.approx(192, abs=0.5)
    assert worse.estimate.current_a(11.5) == pytest.approx(205, abs=0.5)


def test_cold_ohms_would_make_a_lamp_ten_times_its_power() -> None:
    # A 55 W lamp of 12 V: 2.6 ohm lit, just over 0.2 ohm cold, which taken for its resistance were 720 W.
    load = vetted(LoadKind.LAMP, claims=(power(55.0),), measured=(ohms(0.2, meter=BENCH),))
    reading = next(item for item in load.evidence if item.trust is Trust.NONE)
    assert reading.power_w is None
    assert load.estimate.power_w is not None
    assert load.estimate.power_w.value == pytest.approx(55.0)


def test_a_headlamp_of_55_w_at_13_2_v_takes_3_95_a_at_12_v() -> None:
    # UN R37 (from memory) tests 12 V lamps at 13.2 V; I ~ V^0.55 by a handbook of electrical engineers. By
    # its exponent of power, 1.6, that is 47.2 W; by 1 + 0.55 it is 47.4 W: the two differ by 0.05 in print.
    load = vetted(LoadKind.LAMP, claims=(power(55.0, voltage_v=13.2),))
    assert load.estimate.current_a(12.0) == pytest.approx(3.95, abs=0.01)
    assert load.estimate.current_a(12.0) * 12 == pytest.approx(47.2, rel=0.006)


def test_a_heater_of_150_w_has_0_96_ohm() -> None:
    load = vetted(claims=(power(150.0, voltage_v=12.0),))
    assert load.resistance_ohm is not None
    assert load.resistance_ohm.value == pytest.approx(0.96)


def test_what_a_fuse_lets_pass_for_seconds_is_no_proof_against_a_claim() -> None:
    # A blade opens within 5 s at twice its rating, within 10 min at 1.35 times: ISO 8820-3.
    brief = Duty(share_pct=1.0, run_s=5.0, every_s=500.0)
    fuse = Fitted(fuse_a=15.0)
    assert (
        vetted(LoadKind.MOTOR, claims=(current(30.0),), fitted=fuse).claims[0].verdict is Verdict.IMPOSSIBLE
    )
    assert (
        vetted(LoadKind.MOTOR, claims=(current(30.0),), fitted=fuse, duty=brief).claims[0].verdict
        is Verdict.UNPROVEN
    )
