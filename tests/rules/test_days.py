"""Rules on a run of days: each fails on a run with one thing wrong, and a plan asks none of them."""

from __future__ import annotations

import pytest

from groundstrap.assess import assess
from groundstrap.checks import FindingOutcome, Judgement, rules, run, run_days
from groundstrap.endure.results import Endurance
from groundstrap.job import read_job
from groundstrap.model import Situation
from groundstrap.records import replace
from groundstrap.vet import vet
from tests.support.endured import JOB, hand_made_run

OF_DAYS = {rule.id for rule in rules() if rule.about.of_days}
CURE = "a larger battery, 110 Ah"


def _judged(days: Endurance, text: str = JOB, cure: str = "") -> Judgement:
    installation = read_job(text).installation
    vetting = vet(installation)
    estimates = {name: load.estimate for name, load in vetting.loads.items()}
    return run_days(installation, vetting, assess(installation, estimates), days, cure)


def _failed(days: Endurance, text: str = JOB) -> set[str]:
    return {f.rule for f in _judged(days, text).findings if f.outcome is FindingOutcome.FAIL}


def _battery(days: Endurance, **changes: object) -> Endurance:
    found = replace(days.supplies["battery"], **changes)
    return replace(days, supplies={"battery": found})


def test_a_plan_asks_none_of_them() -> None:
    installation = read_job(JOB).installation
    vetting = vet(installation)
    estimates = {name: load.estimate for name, load in vetting.loads.items()}
    judged = run(installation, vetting, assess(installation, estimates))
    assert not OF_DAYS & {each.rule for each in judged.findings}


def test_the_third_cold_morning_of_a_short_drive_a_day() -> None:
    assert _failed(hand_made_run()) == {"END001", "END003", "END005", "END009"}


def test_what_was_found_to_cure_it_is_the_remedy() -> None:
    found = _judged(hand_made_run(), cure=CURE).of("END001")[0]
    assert found.advice == CURE
    assert "not stand" not in found.remedy


def test_a_frozen_battery_starts_nothing_whatever_it_would_hold() -> None:
    days = hand_made_run()
    ice = replace(days.supplies["battery"].starts[-1], can=False, frozen=True, holds_a=500.0)
    found = _judged(_battery(days, start=ice, starts=(ice,))).of("END001")
    assert [(f.outcome, f.value) for f in found] == [(FindingOutcome.FAIL, 0.0)]


def test_a_critical_load_that_cuts_off_is_a_stop() -> None:
    found = _judged(hand_made_run(), JOB.replace("works:", "critical: yes, works:"))
    assert [f.level.value for f in found.of("END002")] == ["stop"]
    assert not found.of("END003")


def _cycling(days: Endurance) -> Endurance:
    return replace(days, cut_offs=(replace(days.cut_offs[0], cycles_per_h=14.0, share=0.12),))


def _idling(days: Endurance) -> Endurance:
    *before, drive, rest = days.spans
    short = replace(drive, situation=Situation.IDLING, charging_short_a=22.0)
    return replace(days, spans=(*before, short, rest))


def _cold_lithium(days: Endurance) -> Endurance:
    return _battery(days, chemistry="lfp", freezes_below_c=None, cold_charge_span=2)


@pytest.mark.parametrize(
    ("rule", "days"),
    [
        ("END004", _cycling(hand_made_run())),
        ("END006", _cold_lithium(hand_made_run())),
        ("END007", _battery(hand_made_run(), freezes_below_c=-9.0)),
        ("END008", _idling(hand_made_run())),
    ],
)
def test_each_other_one_fails_on_a_run_of_its_own(rule: str, days: Endurance) -> None:
    assert rule not in _failed(hand_made_run())
    assert rule in _failed(days)


def test_a_waiver_counts_for_a_run_and_is_none_that_a_plan_did_not_use() -> None:
    waived = JOB + "waivers:\n  - {rule: END003, where: fridge, reason: it is empty in winter, by: Ada}\n"
    found = _judged(hand_made_run(), waived).of("END003")[0]
    assert found.waiver is not None
    installation = read_job(waived).installation
    vetting = vet(installation)
    estimates = {name: load.estimate for name, load in vetting.loads.items()}
    assert not run(installation, vetting, assess(installation, estimates)).unused_waivers
