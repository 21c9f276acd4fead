"""Readings accept no more than fuse and cable stand; small things behind a large fuse are asked about."""

from __future__ import annotations

import pytest

from groundstrap import api
from groundstrap.report.measuring import Expectation, expectations
from groundstrap.report.plan import Plan

HOIST = """groundstrap: 1
title: A hoist and lights
system: 24 V
supplies: {battery: {kind: battery, at: frame, chemistry: agm, capacity: 100 Ah}}
places: {frame: outside, tail: outside}
gear:
  lamp relay: {kind: relay, at: frame, rating: 20 A}
  dash switch: {kind: switch, at: frame, rating: 10 A}
loads:
  hoist: {kind: motor, at: tail, claims: {current: 80 A}, duty: DUTY}
  work lights: {kind: led, at: tail, count: 4, claims: {power: 40 W}}
  pump: {kind: pump, at: tail, claims: {current: 3 A}}
circuits:
  hoist: {path: [battery, {fuse: 100 A}, hoist], return: battery -, length: 2 m, wire: 35 mm2}
  lights: {path: [battery, {fuse: 30 A}, lamp relay, work lights], length: 2 m, wire: 6 mm2}
  control: {path: [battery, {fuse: 30 A}, dash switch, lamp relay coil], length: 2 m, wire: 6 mm2}
  pump: {path: [battery, {fuse: 30 A}, pump], length: 2 m, wire: 6 mm2}
"""


def _answer(duty: str) -> Plan:
    return api.plan(api.read_job(HOIST.replace("DUTY", duty)))


def _amps(plan: Plan, load: str) -> Expectation:
    return next(each for each in expectations(plan) if each.load == load and each.unit == "A")


@pytest.fixture(scope="module")
def short() -> Plan:
    return _answer("{run: 60 s, every: 10 min}")


def test_a_run_of_a_minute_fails_above_what_the_air_leaves_of_its_fuse(short: Plan) -> None:
    found = _amps(short, "hoist")
    fuse = short.assessment.circuits["hoist"].fuses["hoist fuse"]
    assert fuse.carries_pct is not None
    # 100 A times the share that re-rating by temperature leaves (maker-fuse-data).
    assert found.limit == pytest.approx(fuse.carries_pct)
    assert 80.0 < (found.limit or 0.0) < 100.0
    assert found.expected.high == found.limit
    text = " ".join(api.plan_text(short).split())
    assert "hoist fuse stands" in text
    assert "for 60 s at a time" in text
    assert "80 A flow for hours" not in text


def test_what_runs_for_hours_has_a_fifth_less(short: Plan) -> None:
    # Common practice: 80 % of what temperature leaves of the rating, for what runs for hours.
    hours, brief = _amps(_answer("continuous"), "hoist").limit, _amps(short, "hoist").limit
    assert (hours, brief) != (None, None)
    assert (hours or 0.0) == pytest.approx(0.8 * (brief or 0.0))


def test_small_things_behind_thirty_amps_are_asked_about(short: Plan) -> None:
    told = {(each.rule, each.where) for each in short.judgement.findings}
    # 40 W of one lamp of four, a coil of 0.1 A: 30 A is above three times either; own judgement.
    assert {("LOD010", "work lights"), ("LOD010", "lamp relay coil")} <= told
    # The fuse saves the weakest of what it stands before, contacts too: common practice.
    assert {("SWI010", "lamp relay"), ("SWI010", "dash switch")} <= told
    # 3 A blocked take 9 to 21 A (maker-load-data), 30 A surely opens from 40.5 A (iso-8820-3).
    assert ("LOD004", "pump") in told
