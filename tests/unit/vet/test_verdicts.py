"""Verdicts: the boundaries of `impossible`, and met, short, conflicting and unproven with their reasons."""

from __future__ import annotations

import math
from typing import Any

import pytest

from groundstrap.model import Claim, Duty, Fitted, LoadKind
from groundstrap.units import parse_size
from groundstrap.vet import BoundKind, ClaimVerdict, Verdict
from tests.unit.vet.evidence import CLAMP, current, flow, ohms, power, vetted

FUSE_15 = Fitted(fuse_a=15.0)


def verdict(claim: Claim, kind: LoadKind = LoadKind.HEATER, **what: Any) -> ClaimVerdict:
    return vetted(kind, claims=(claim,), **what).claims[0]


@pytest.mark.parametrize(
    ("watts", "expected", "doubtful"),
    [
        (150.0, Verdict.UNPROVEN, False),
        (189.0, Verdict.UNPROVEN, False),  # 15 A at 12.6 V: on the rating is within it
        (190.0, Verdict.UNPROVEN, True),
        (291.0, Verdict.UNPROVEN, True),
        (291.6, Verdict.UNPROVEN, True),  # 1.35 * 15 A at 14.4 V: on the limit is not above it
        (292.0, Verdict.IMPOSSIBLE, True),
        (500.0, Verdict.IMPOSSIBLE, True),
    ],
)
def test_behind_15_a(watts: float, expected: Verdict, *, doubtful: bool) -> None:
    found = verdict(power(watts), fitted=FUSE_15)
    assert found.verdict is expected
    assert (found.probability is not None) is doubtful


def test_the_chance_falls_from_the_rating_to_where_it_is_sure_to_open() -> None:
    chances = [verdict(power(watts), fitted=FUSE_15).probability for watts in (189.5, 240.0, 291.5)]
    assert all(chance is not None for chance in chances)
    assert chances == sorted(chances, reverse=True)  # type: ignore[type-var]
    assert chances[0] == pytest.approx(1.0, abs=0.01)
    assert chances[2] == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize(
    ("amps", "expected"),
    [(15.0, Verdict.UNPROVEN), (20.25, Verdict.UNPROVEN), (20.3, Verdict.IMPOSSIBLE)],
)
def test_a_claimed_current_behind_15_a(amps: float, expected: Verdict) -> None:
    assert verdict(current(amps), fitted=FUSE_15).verdict is expected


def test_a_claim_for_another_voltage_needs_its_current_there() -> None:
    assert verdict(power(270.0, voltage_v=13.0), fitted=FUSE_15).verdict is Verdict.IMPOSSIBLE  # 20.8 A
    assert verdict(power(270.0, voltage_v=13.8), fitted=FUSE_15).verdict is Verdict.UNPROVEN  # 19.6 A


def test_a_lighter_plug_alone_counts_with_the_20_a_that_some_have() -> None:
    plug = Fitted(plug="lighter")
    assert verdict(power(388.0), fitted=plug).verdict is Verdict.UNPROVEN  # 1.35 * 20 A * 14.4 V = 388.8 W
    assert verdict(power(389.0), fitted=plug).verdict is Verdict.IMPOSSIBLE
    assert verdict(power(189.0), fitted=plug).probability is None
    assert verdict(power(190.0), fitted=plug).probability is not None


def test_more_than_the_lead_melts_at_is_impossible() -> None:
    lead = Fitted(wire=parse_size("0.5 mm2"), length_m=1.0)
    # Preece 1888: 80 * (4 * 0.5 / pi)^(3/4) = 57 A; from memory.
    most_a = vetted(fitted=lead, claims=(power(1.0),)).bounds[0].most_a
    assert most_a == pytest.approx(80.02 * (4 * 0.5 / math.pi) ** 0.75, rel=0.001)
    assert verdict(current(58.0), fitted=lead).verdict is Verdict.IMPOSSIBLE
    assert verdict(current(56.0), fitted=lead).verdict is Verdict.UNPROVEN


def test_a_short_run_may_pass_more_than_a_long_one() -> None:
    brief = Duty(share_pct=1.0, run_s=3.0, every_s=300.0)
    assert verdict(power(300.0), fitted=FUSE_15).verdict is Verdict.IMPOSSIBLE
    assert verdict(power(300.0), fitted=FUSE_15, duty=brief).verdict is Verdict.UNPROVEN
    assert verdict(power(30_000.0), fitted=FUSE_15, duty=brief).verdict is Verdict.IMPOSSIBLE


def test_many_short_runs_heat_as_their_mean_does() -> None:
    busy = Duty(share_pct=100 * 3.0 / 3.1, run_s=3.0, every_s=3.1)
    assert verdict(power(300.0), fitted=FUSE_15, duty=busy).verdict is Verdict.IMPOSSIBLE


def test_impossible_names_the_part_and_the_amps_at_two_voltages() -> None:
    why = verdict(power(300.0), fitted=FUSE_15).why
    for words in ("300 W", "23.8 A at 12.6 V", "20.8 A at 14.4 V", "15 A fuse", "above 20.3 A"):
        assert words in why


def test_a_reading_settles_it() -> None:
    short = verdict(power(250.0, voltage_v=12.0), measured=(flow(12.0, 12.0),))
    met = verdict(power(140.0, voltage_v=12.0), measured=(flow(12.0, 12.0),))
    assert (short.verdict, met.verdict) == (Verdict.SHORT, Verdict.MET)
    assert short.probability is not None
    assert short.probability < 0.05
    assert met.probability is not None
    assert met.probability > 0.95
    assert "144 W (12 A) at 12.0 V" in short.why


def test_within_five_percent_is_met() -> None:
    assert verdict(power(150.0, voltage_v=12.0), measured=(flow(12.2, 12.0),)).verdict is Verdict.MET
    doubtful = verdict(power(152.0, voltage_v=12.0), measured=(flow(12.0, 12.0),))  # 144 against 144.4 W
    assert doubtful.verdict is Verdict.UNPROVEN
    assert doubtful.probability == pytest.approx(0.5, abs=0.2)


def test_a_claim_without_a_voltage_is_weighed_over_what_it_may_mean() -> None:
    # 0.72 ohm: 197 W at 12.0 V, 261 W at 13.8 V; nobody said at which the 250 W were.
    found = verdict(power(250.0), measured=(ohms(0.92, leads=0.2),))
    assert found.verdict is Verdict.UNPROVEN
    assert found.probability == pytest.approx(0.35, abs=0.05)
    assert "12.0 V to 13.8 V" in found.why
    assert verdict(power(300.0), measured=(ohms(0.92, leads=0.2),)).verdict is Verdict.SHORT
    assert verdict(power(190.0), measured=(ohms(0.92, leads=0.2),)).verdict is Verdict.MET


def test_readings_that_disagree_conflict() -> None:
    found = vetted(claims=(power(150.0),), measured=(flow(10.0, 12.5), flow(14.0, 13.5)))
    assert not found.consistent.flag
    assert found.consistent.p < 0.01
    assert found.claims[0].verdict is Verdict.CONFLICTING
    assert found.estimate.power_w is not None
    # The interval holds both: nobody knows which is wrong.
    assert found.estimate.power_w.low < 10 * 12.5 * (13.5 / 12.5) ** 2
    assert found.estimate.power_w.high > 14 * 13.5


def test_a_reading_beyond_what_the_fuse_can_pass_conflicts_with_it() -> None:
    found = verdict(power(400.0, voltage_v=14.0), fitted=FUSE_15, measured=(flow(30.0, 14.0, meter=CLAMP),))
    assert found.verdict is Verdict.CONFLICTING
    assert "15 A fuse" in found.why


def test_an_impossible_claim_does_not_stand_in_for_a_power() -> None:
    load = vetted(LoadKind.PTC_HEATER, claims=(power(500.0),), fitted=FUSE_15)
    assert load.estimate.power_w is not None
    assert load.estimate.power_w.value == pytest.approx(15 * 12.0)
    assert load.estimate.power_w.high == pytest.approx(20.25 * 12.0)
    assert "can't be" in load.estimate.why


def test_a_possible_claim_counts_beside_an_impossible_one() -> None:
    load = vetted(LoadKind.PTC_HEATER, claims=(power(500.0), power(150.0)), fitted=FUSE_15)
    assert load.estimate.power_w is not None
    assert load.estimate.power_w.value == pytest.approx(150.0)
    assert [item.verdict for item in load.claims] == [Verdict.IMPOSSIBLE, Verdict.UNPROVEN]


def test_an_unmeasured_claim_says_what_to_measure() -> None:
    assert "its ohms, leads nulled" in verdict(power(60.0)).why
    assert "volts at its leads while it runs" in verdict(power(60.0), LoadKind.LAMP).why


def test_an_inverter_is_not_short_because_little_was_asked_of_it() -> None:
    found = verdict(power(1000.0), LoadKind.INVERTER, measured=(flow(20.0, 12.5),))
    assert found.verdict is Verdict.UNPROVEN
    assert "asked" in found.why


def test_the_socket_is_overloaded_by_the_hour_above_its_spring_contact() -> None:
    load = vetted(claims=(power(150.0, voltage_v=12.0),), fitted=Fitted(plug="lighter"))
    assert [(item.bound, item.limit_a) for item in load.overloads] == [(BoundKind.PLUG, 10.0)]
    brief = vetted(
        claims=(power(150.0, voltage_v=12.0),),
        fitted=Fitted(plug="lighter"),
        duty=Duty(share_pct=5, run_s=60),
    )
    assert brief.overloads == ()


def test_nothing_is_overloaded_on_its_limit() -> None:
    load = vetted(LoadKind.STARTER, claims=(current(15.0),), fitted=FUSE_15)
    assert load.overloads == ()


def test_a_reading_of_all_lamps_written_for_each_is_never_met() -> None:
    """5.1 A at 12.4 V is 63.2 W, 3.5 times the 18 W of one lamp: by hand. A clamp round the one cable of all
    is common practice; the 1.3 times above is own judgement."""
    found = verdict(power(18.0), LoadKind.LED, count=4, measured=(flow(5.1, 12.4, last_digit=0.1),))
    assert found.verdict is Verdict.CONFLICTING
    assert found.draws_more
    assert "3.5 times" in found.why
    assert "write 4 times less" in found.why


@pytest.mark.parametrize(
    ("amps", "expected"),
    [
        (1.45, Verdict.MET),  # 18 W at 12.4 V
        (1.74, Verdict.MET),  # 1.2 times, more than labels are off: still within 1.3
        (2.5, Verdict.CONFLICTING),  # 1.72 times
    ],
)
def test_more_than_claimed_is_said(amps: float, expected: Verdict) -> None:
    found = verdict(power(18.0), LoadKind.LED, measured=(flow(amps, 12.4),))
    assert found.verdict is expected
    assert found.draws_more is (expected is Verdict.CONFLICTING)
    assert "together" not in found.why
