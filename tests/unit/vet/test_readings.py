"""Readings: what each is trusted for, its power, its uncertainty, and what it shares with others."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from groundstrap.errors import CannotDoError
from groundstrap.model import LoadKind, Measurement, MeterSpec, Reading, ReadingSet, Situation
from groundstrap.vet import EvidenceKind, Trust, VettedLoad, vet
from groundstrap.vet.accuracy import accuracy_of
from tests.unit.vet.evidence import BASIC, BENCH, CLAMP, HANDHELD, a_job, a_load, flow, ohms, power, vetted

HOT = 1.015  # middle of 1.00 to 1.03, heater_alloys and load_kinds
HOT_DOUBT = 0.015 / math.sqrt(3)


def power_of(load: VettedLoad) -> float:
    assert load.estimate.power_w is not None
    return load.estimate.power_w.value


def half_width(load: VettedLoad) -> float:
    assert load.estimate.power_w is not None
    return (load.estimate.power_w.high - load.estimate.power_w.low) / 2


def test_given_leads_are_taken_off() -> None:
    load = vetted(measured=(ohms(0.92, leads=0.2),))
    assert power_of(load) == pytest.approx(144 / (0.72 * HOT))
    assert load.resistance_ohm is not None
    assert load.resistance_ohm.value == pytest.approx(0.72 * HOT)
    assert "0.72 ohm" in load.evidence[0].remark


def test_uncertainty_of_ohms_by_hand() -> None:
    # basic: 0.8 % and 2 digits. The gain is that of the difference, the digits count for reading and leads;
    # digits of the reading are what its whole bound leaves beside the gain.
    load = vetted(measured=(ohms(0.92, leads=0.2),))
    gain = 0.008 * 0.92 / math.sqrt(3)
    whole = (0.008 * 0.92 + 0.02) / math.sqrt(3)
    lead_gain = 0.008 * 0.2 / math.sqrt(3)
    lead_whole = (0.008 * 0.2 + 0.02) / math.sqrt(3)
    own = math.sqrt(whole**2 - gain**2 + lead_whole**2 - lead_gain**2)
    relative = math.sqrt((gain * 0.72 / 0.92 / 0.72) ** 2 + (own / 0.72) ** 2 + (HOT_DOUBT / HOT) ** 2)
    assert half_width(load) == pytest.approx(1.95996 * relative * power_of(load), rel=1e-4)


def test_leads_that_nobody_nulled_are_a_one_sided_interval() -> None:
    load = vetted(measured=(ohms(2.0, leads=None),))
    # 0.2 to 0.5 ohm of leads (common practice): the middle is 1.65 ohm, and never more than 1.8.
    assert power_of(load) == pytest.approx(144 / (1.65 * HOT))
    assert "not nulled nor given" in load.evidence[0].remark
    assert half_width(load) > 2 * half_width(vetted(measured=(ohms(2.0),)))


def test_leads_that_may_be_most_of_the_reading_leave_no_power() -> None:
    load = vetted(measured=(ohms(0.55, leads=None),))
    assert load.estimate.power_w is None
    assert not load.estimate.known
    assert load.evidence[0].trust is Trust.NONE
    assert "null the leads" in load.evidence[0].remark


def test_a_reading_below_its_leads_is_no_power_and_no_error() -> None:
    assert vetted(measured=(ohms(0.1, leads=None),)).estimate.power_w is None
    assert vetted(measured=(ohms(0.3, leads=0.4),)).estimate.power_w is None


def test_four_wire_bench_meter_has_no_leads() -> None:
    load = vetted(measured=(ohms(2.0, leads=None, meter=BENCH, last_digit=0.001),))
    assert power_of(load) == pytest.approx(144 / (2.0 * HOT))
    assert half_width(load) < 0.02 * power_of(load)


@pytest.mark.parametrize(
    "kind",
    [kind for kind in LoadKind if kind not in {LoadKind.HEATER, LoadKind.COIL}],
)
def test_ohms_give_no_power_of(kind: LoadKind) -> None:
    load = vetted(kind, measured=(ohms(0.3),), claims=(power(50.0),))
    reading = next(item for item in load.evidence if item.kind is EvidenceKind.MEASURED)
    assert reading.trust is Trust.NONE
    assert reading.power_w is None
    assert reading.weight == 0.0
    assert reading.remark


def test_ohms_on_a_lamp_say_why_they_do_not_count() -> None:
    load = vetted(LoadKind.LAMP, measured=(ohms(0.3),))
    assert "filament" in load.evidence[0].remark
    assert "none of the readings tells it" in load.estimate.why


def test_current_and_volts_make_a_power_at_those_volts() -> None:
    load = vetted(measured=(flow(14.0, 13.5),))
    assert load.estimate.at_v == 13.5
    assert power_of(load) == pytest.approx(189.0)
    # handheld: 1 % + 3 digits of current; power at fixed volts moves by -1 with those read.
    current_bound = (0.01 * 14 + 0.03) / 14 / math.sqrt(3)
    volts_bound = (0.005 * 13.5 + 0.02) / 13.5 / math.sqrt(3)
    assert half_width(load) / 189 == pytest.approx(1.95996 * math.hypot(current_bound, volts_bound), rel=1e-4)


def test_volts_do_not_matter_to_a_constant_current() -> None:
    sure = vetted(LoadKind.STARTER, measured=(flow(150.0, 10.5, meter=CLAMP, last_digit=0.1),))
    # 3 % + 5 digits of 0.1 A; the exponent is not in it at the voltage it was read at.
    assert half_width(sure) / power_of(sure) == pytest.approx(
        1.95996 * (4.5 + 0.5) / 150 / math.sqrt(3), rel=1e-3
    )


def test_a_power_reading_moves_with_the_square_of_volts_on_a_resistance() -> None:
    read = Measurement(power_w=200.0, voltage_v=13.0, last_digit=1.0, voltage_last_digit=0.01, meter=CLAMP)
    load = vetted(measured=(read,))
    assert load.estimate.current_a(13.0) == pytest.approx(200 / 13)
    assert load.estimate.current_a(12.0) == pytest.approx(200 / 13 * 12 / 13)


def test_volts_that_nobody_read_are_assumed_and_said() -> None:
    vetting = vet(a_job(a_load(measured=(flow(14.0, None),))))
    load = vetting.loads["warmer"]
    assert any("nobody read the volts" in item.why for item in vetting.assumptions)
    assert half_width(load) > 4 * half_width(vetted(measured=(flow(14.0, 13.3),)))


def test_a_meter_that_nobody_named_is_assumed_and_said() -> None:
    vetting = vet(a_job(a_load(measured=(flow(14.0, 13.3, meter=None),))))
    assert ("warmer current meter", "clamp") in {(item.where, item.value) for item in vetting.assumptions}


def test_what_is_written_behind_a_reading_counts_where_it_is_wider() -> None:
    plain = vetted(measured=(ohms(0.92, leads=0.2),))
    tight = vetted(measured=(ohms(0.92, leads=0.2, half_width=0.001),))
    wide = vetted(measured=(ohms(0.92, leads=0.2, half_width=0.08),))
    assert half_width(tight) == pytest.approx(half_width(plain))
    assert half_width(wide) > 1.5 * half_width(plain)


def test_what_is_written_behind_the_volts_counts_as_well() -> None:
    # A constant current does not move with volts: its power does, one to one.
    plain = vetted(LoadKind.LED, measured=(flow(2.0, 12.5),))
    tight = vetted(LoadKind.LED, measured=(flow(2.0, 12.5, voltage_half_width=0.001),))
    wide = vetted(LoadKind.LED, measured=(flow(2.0, 12.5, voltage_half_width=1.25),))
    assert half_width(tight) == half_width(plain)
    assert half_width(wide) > 2 * half_width(plain)


def test_a_reading_lost_in_its_digits_is_not_trusted() -> None:
    load = vetted(measured=(flow(0.4, 12.6, meter=CLAMP, last_digit=0.1),))
    assert load.evidence[0].trust is Trust.NONE
    assert "finer range" in load.evidence[0].remark


def test_nothing_flowing_says_nothing_of_the_running_load() -> None:
    assert vetted(measured=(flow(0.0, 12.6),)).estimate.power_w is None


def test_readings_of_one_meter_share_its_gain() -> None:
    twice = vetted(measured=(flow(14.0, 13.5), flow(14.0, 13.5)))
    other = vetted(measured=(flow(14.0, 13.5), flow(14.0, 13.5, meter=CLAMP.__class__(
        text="another", name="handheld"))))  # fmt: skip
    assert half_width(other) < half_width(twice) < half_width(vetted(measured=(flow(14.0, 13.5),)))
    # All that is left of the shared part is the gain itself: no number of readings averages it away.
    many = vetted(measured=(flow(14.0, 13.5),) * 50)
    gain = math.hypot(0.01, 0.005) / math.sqrt(3)
    assert half_width(many) / power_of(many) == pytest.approx(1.95996 * gain, rel=0.03)


def test_unnulled_leads_are_shared_too() -> None:
    many = vetted(measured=(ohms(2.0, leads=None),) * 20)
    leads = 0.15 / math.sqrt(3) / 1.65
    assert half_width(many) / power_of(many) > 1.95996 * leads


def test_a_load_that_takes_what_is_asked_keeps_its_claim() -> None:
    load = vetted(
        LoadKind.INVERTER, claims=(power(2000.0),), measured=(flow(40.0, 12.4),), efficiency_pct=90.0
    )
    assert power_of(load) == pytest.approx(2000 / 0.9)
    reading = next(item for item in load.evidence if item.kind is EvidenceKind.MEASURED)
    assert reading.trust is Trust.WEAK
    assert reading.weight == 0.0


def test_a_load_seen_to_take_more_than_its_claim_counts_as_seen() -> None:
    load = vetted(LoadKind.CHARGER, claims=(power(30.0),), measured=(flow(4.0, 12.5),))
    assert power_of(load) == pytest.approx(50.0)


def test_readings_of_a_load_that_takes_what_is_asked_do_not_disagree() -> None:
    read = (flow(4.0, 12.5), flow(1.0, 12.5))
    alone = vetted(LoadKind.CHARGER, measured=read)
    assert alone.consistent.flag
    assert power_of(alone) == pytest.approx(50.0)
    assert [item.weight for item in alone.evidence] == [1.0, 0.0]
    claimed = vetted(LoadKind.CHARGER, claims=(power(60.0),), measured=read)
    assert claimed.consistent.flag
    assert power_of(claimed) == pytest.approx(60.0)


def test_count_multiplies_what_was_read_at_one_piece() -> None:
    load = vetted(LoadKind.LED, count=4, measured=(flow(2.0, 12.5),))
    assert power_of(load) == pytest.approx(4 * 25.0)


def _readings(*values: Reading, using: frozenset[str] = frozenset({"warmer"})) -> tuple[ReadingSet, ...]:
    return (ReadingSet(when=Situation.DRIVING, using=using, meter=HANDHELD, values=values),)


VOLTS = Reading(kind="voltage", value=13.35, last_digit=0.01, red="warmer +", black="warmer -")
AMPS = Reading(kind="current", value=18.4, last_digit=0.1, through="warmer", meter=CLAMP)


def test_readings_on_the_job_are_evidence_too() -> None:
    load = vet(a_job(a_load(count=2), readings=_readings(VOLTS, AMPS))).loads["warmer"]
    assert load.estimate.at_v == 13.35
    assert power_of(load) == pytest.approx(18.4 * 13.35)  # through both pieces together


def test_volts_read_with_the_leads_swapped_are_the_same_volts() -> None:
    swapped = replace(VOLTS, value=-13.35, red="warmer -", black="warmer +")
    load = vet(a_job(a_load(), readings=_readings(swapped, AMPS))).loads["warmer"]
    assert load.estimate.at_v == 13.35
    assert power_of(load) == pytest.approx(18.4 * 13.35)


def test_what_is_written_behind_a_reading_on_the_job_counts() -> None:
    plain = vet(a_job(a_load(), readings=_readings(VOLTS, AMPS))).loads["warmer"]
    wide = vet(a_job(a_load(), readings=_readings(VOLTS, replace(AMPS, half_width=3.0)))).loads["warmer"]
    assert half_width(wide) > 1.5 * half_width(plain)


def test_a_current_read_while_the_load_was_off_is_not() -> None:
    load = vet(a_job(a_load(), readings=_readings(VOLTS, AMPS, using=frozenset()))).loads["warmer"]
    assert not load.evidence
    assert not load.estimate.known


def test_a_set_without_volts_uses_those_of_its_situation() -> None:
    load = vet(a_job(a_load(), readings=_readings(AMPS))).loads["warmer"]
    assert power_of(load) == pytest.approx(18.4 * 13.9 * (12 / 13.9) ** 2)


def test_ohms_and_amps_that_fit_are_one_power() -> None:
    warmer = a_load(measured=(ohms(0.92, leads=0.2, meter=BASIC),))
    load = vet(a_job(warmer, readings=_readings(VOLTS, AMPS))).loads["warmer"]
    assert load.consistent.flag
    assert load.consistent.degrees == 1
    assert sum(item.weight for item in load.evidence) == pytest.approx(1.0)
    assert power_of(load) == pytest.approx(13.35**2 / 0.73, rel=0.01)


def test_a_load_that_nothing_is_known_of_has_no_current() -> None:
    load = vetted()
    assert not load.estimate.known
    with pytest.raises(CannotDoError, match="nothing says what warmer takes; measure it"):
        load.estimate.current_a(12.0)


@pytest.mark.parametrize(
    ("amps", "last_digit", "limit_a", "rounded_a"),
    [
        # leaflet of the clamp: 3 % + 10 digits of 0.1 A; "11 A" was rounded to whole amps, by up to 0.5 A
        (11.0, 1.0, 0.33 + 1.0, 0.5),
        (11.0, 0.1, 0.33 + 1.0, 0.0),
        # 4000 counts of 0.1 A end at 400 A: the next range shows whole amps
        (450.0, 1.0, 13.5 + 10.0, 0.0),
    ],
)
def test_digits_are_those_the_meter_shows(
    amps: float, last_digit: float, limit_a: float, rounded_a: float
) -> None:
    """JCGM 100, 4.3.7 (bounds are rectangular) and F.2.2.1 (what was rounded off is half its last digit)."""
    clamp = MeterSpec(text="clamp", name="clamp")
    found = accuracy_of("current", amps, clamp, last_digit=last_digit).standard
    assert found == pytest.approx(math.hypot(limit_a, rounded_a) / math.sqrt(3))


def test_a_whole_amp_on_a_clamp_counts() -> None:
    """11 A at 12.2 V is 134 W, by hand: a reading beside a label of 180 W is not thrown away."""
    found = vetted(
        LoadKind.COMPRESSOR, claims=(power(180.0),), measured=(flow(11.0, 12.2, meter=None, last_digit=1.0),)
    )
    assert found.estimate.power_w is not None
    assert found.estimate.power_w.value == pytest.approx(134.2)


def test_a_reading_that_counts_for_nothing_is_told_with_the_claim() -> None:
    found = vetted(
        LoadKind.LED, claims=(power(12.0),), measured=(flow(1.0, 12.2, meter=CLAMP, last_digit=1.0),)
    )
    assert "what was read does not count" in found.claims[0].why.lower()
    assert "nobody measured" not in found.claims[0].why.lower()
