"""Claims: what they come to where nobody measured, and what is left open."""

from __future__ import annotations

from typing import Any

import pytest

from groundstrap.model import Claim, Gear, GearKind, LoadKind, LoadLaw
from groundstrap.vet import Trust, Verdict, vet
from tests.unit.vet.evidence import a_job, a_load, current, flow, power, vetted


def test_an_unmeasured_claim_stands_with_a_wide_interval() -> None:
    load = vetted(LoadKind.ELECTRONICS, claims=(power(60.0),))
    assert load.estimate.power_w is not None
    assert load.estimate.power_w.value == 60.0
    assert load.estimate.power_w.low == pytest.approx(48.0)
    assert load.estimate.power_w.high == pytest.approx(66.0)
    assert load.evidence[0].trust is Trust.WEAK
    assert load.evidence[0].weight == 1.0


def test_how_far_a_label_may_be_off_is_said() -> None:
    vetting = vet(a_job(a_load(claims=(power(60.0),))))
    assert any("own judgement" in item.why for item in vetting.assumptions)


def test_a_label_without_a_voltage_may_mean_12_to_13_8_volts() -> None:
    # A resistance that takes 100 W at 13.8 V takes 100 * (12 / 13.8)^2 = 75.6 W at 12.0 V.
    loose = vetted(claims=(power(100.0),)).estimate.power_w
    written = vetted(claims=(power(100.0, voltage_v=12.0),)).estimate.power_w
    assert loose is not None
    assert written is not None
    assert loose.low == pytest.approx(0.8 * 75.6, rel=1e-3)
    assert written.low == pytest.approx(80.0)


def test_a_claimed_voltage_is_where_the_estimate_stands() -> None:
    load = vetted(LoadKind.ELECTRONICS, claims=(current(7.0, voltage_v=13.8),))
    assert load.estimate.at_v == 13.8
    assert load.estimate.power_w is not None
    assert load.estimate.power_w.value == pytest.approx(96.6)


def test_count_multiplies_a_claim() -> None:
    load = vetted(LoadKind.LED, count=4, claims=(power(27.0),))
    assert load.estimate.power_w is not None
    assert load.estimate.power_w.value == 108.0
    assert "4 x 27 W" in load.claims[0].why


def test_an_inverter_takes_what_it_gives_over_its_efficiency() -> None:
    load = vetted(LoadKind.INVERTER, claims=(power(2000.0, voltage_v=230.0),), efficiency_pct=87.0)
    assert load.estimate.at_v == 12.0
    assert load.estimate.current_a(12.0) == pytest.approx(191.57, abs=0.01)


def test_an_efficiency_that_nobody_wrote_is_assumed_and_widens() -> None:
    vetting = vet(a_job(a_load("inverter", LoadKind.INVERTER, claims=(power(1000.0),))))
    estimate = vetting.loads["inverter"].estimate.power_w
    assert estimate is not None
    assert estimate.value == pytest.approx(1000 / 0.88)
    assert estimate.high == pytest.approx(1.1 * 1000 / 0.85)
    assert any(item.where == "inverter efficiency" for item in vetting.assumptions)


def test_a_claimed_current_of_an_inverter_is_at_its_input() -> None:
    load = vetted(LoadKind.INVERTER, claims=(current(100.0, voltage_v=12.0),))
    assert load.estimate.current_a(12.0) == pytest.approx(100.0)


def test_a_claim_never_counts_against_a_reading() -> None:
    load = vetted(claims=(power(250.0),), measured=(flow(10.0, 12.0),))
    assert load.estimate.power_w is not None
    assert load.estimate.power_w.value == pytest.approx(120.0)
    assert [item.weight for item in load.evidence] == [0.0, 1.0]
    assert load.consistent.degrees == 0


def test_claims_that_agree_are_averaged() -> None:
    load = vetted(LoadKind.ELECTRONICS, claims=(power(60.0, voltage_v=12.0), power(64.0, voltage_v=12.0)))
    assert load.estimate.power_w is not None
    assert load.estimate.power_w.value == pytest.approx(62.0, rel=0.01)
    assert load.consistent.flag


def test_of_claims_that_disagree_the_largest_is_planned_for() -> None:
    load = vetted(LoadKind.ELECTRONICS, claims=(power(60.0, by="label"), power(250.0, by="seller")))
    assert not load.consistent.flag
    assert load.estimate.power_w is not None
    assert load.estimate.power_w.value == 250.0
    assert [item.verdict for item in load.claims] == [Verdict.CONFLICTING] * 2


@pytest.mark.parametrize(
    "what", [{}, {"claims_unknown": True}, {"claims": (Claim(),)}, {"claims": (power(0.0),)}]
)
def test_without_evidence_the_power_is_not_known(what: dict[str, Any]) -> None:
    load = vetted(LoadKind.MOTOR, **what)
    assert not load.estimate.known
    assert load.estimate.power_w is None
    assert load.current_a is None
    assert load.at == ()
    assert load.estimate.why


@pytest.mark.parametrize(
    ("kind", "law", "exponent"),
    [
        (LoadKind.HEATER, LoadLaw.RESISTIVE, 1.0),
        (LoadKind.LAMP, LoadLaw.FILAMENT, 0.55),
        (LoadKind.FAN, LoadLaw.MOTOR, 1.5),
        (LoadKind.PTC_HEATER, LoadLaw.CONSTANT_POWER, -1.0),
        (LoadKind.STARTER, LoadLaw.CONSTANT_CURRENT, 0.0),
    ],
)
def test_each_kind_has_its_law(kind: LoadKind, law: LoadLaw, exponent: float) -> None:
    estimate = vetted(kind, claims=(power(60.0),)).estimate
    assert (estimate.law, estimate.exponent) == (law, exponent)


def test_every_kind_is_known() -> None:
    for kind in LoadKind:
        assert vetted(kind, claims=(power(60.0),)).estimate.known


def test_amps_are_shown_at_resting_and_charging_volts() -> None:
    load = vetted(LoadKind.ELECTRONICS, claims=(power(60.0, voltage_v=13.8),))
    assert [(item.what, item.at_v) for item in load.at] == [
        ("resting", 12.6),
        ("charging", 14.4),
        ("claim", 13.8),
    ]
    assert load.at[0].current_a.value == pytest.approx(60 / 12.6)


def test_a_24_volt_job_runs_at_twice_the_volts() -> None:
    load = vetted(claims=(power(60.0),), system_v=24.0)
    assert [item.at_v for item in load.at] == [25.2, 28.8, 24.0]


def test_a_coil_that_nobody_measured_takes_what_coils_take() -> None:
    small = vet(a_job(a_load("relay coil", LoadKind.COIL, relay="relay")))
    estimate = small.loads["relay coil"].estimate
    # common practice: 0.15 to 0.2 A at 12 V
    assert 0.15 <= estimate.current_a(12.0) <= 0.2
    assert any(item.where == "relay coil" for item in small.assumptions)
    big = Gear(name="solenoid", kind=GearKind.RELAY, place="bay", zone="cabin", rating_a=150.0)
    job = a_job(a_load("solenoid coil", LoadKind.COIL, relay="solenoid"), gear={"solenoid": big})
    assert vet(job).loads["solenoid coil"].estimate.current_a(12.0) > 1.0


def test_a_coil_gets_no_verdict() -> None:
    assert vetted(LoadKind.COIL, claims=(current(0.15),)).claims == ()
