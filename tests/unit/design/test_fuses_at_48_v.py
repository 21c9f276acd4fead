"""No fuse is chosen that is made for less than the volts that charge: its arc would not go out."""

from __future__ import annotations

import pytest

from groundstrap import api
from groundstrap.report.plan import Plan

JOB = """groundstrap: 1
title: Small loads at 48 V
system: 48 V
supplies:
  bank: {kind: battery, at: cabin, chemistry: lfp, capacity: 50 Ah, resistance: 100 mohm}
  alternator: none
  charger: {kind: mains charger, at: cabin, current: 10 A, setpoint: 56.8 V}
loads: {heater: {kind: heater, at: cabin, claims: {power: 300 W}}}
circuits:
  charging: {path: [charger, length: 10 cm, fuse, bank], length: 40 cm}
  charger back: {path: [charger -, bank -], length: 40 cm}
  heater: {path: [bank, length: 10 cm, fuse, heater], return: bank -, length: 2 m}
"""
# By hand: sixteen cells of lithium iron phosphate at 3.55 V are 56.8 V, at 3.65 V 58.4 V. Blades are made for
# 32 and 58 V, strips for 32 V (iso-8820-3, iso-8820-5).


def _plan(text: str) -> Plan:
    return api.plan(api.read_job(text))


def _findings(answer: Plan) -> dict[str, str]:
    found = answer.judgement.of("PRT015")
    return {f.where: f.outcome.value if f.outcome.value != "fail" else f.level.value for f in found}


def test_below_58_v_the_make_for_58_v_is_chosen_and_listed() -> None:
    answer = _plan(JOB)
    assert answer.design is not None
    assert answer.design.fuses["heater fuse"].family == "regular blade"
    assert answer.assessment.circuits["heater"].fuses["heater fuse"].made_for_v == 58.0
    assert _findings(answer) == {}
    assert "regular blade made for 58 V" in api.plan_text(answer)


@pytest.mark.parametrize(
    ("before", "after"),
    [("56.8 V", "58.4 V"), (", setpoint: 56.8 V", ""), ("{kind: mains charger", "{kind: solar charger")],
)
def test_where_the_charge_may_pass_58_v_none_is_chosen(before: str, after: str) -> None:
    text = JOB.replace(before, after)
    if "solar" in after:
        text = text.replace(", setpoint: 56.8 V", "")
    answer = _plan(text)
    assert answer.design is not None
    assert "heater fuse" not in answer.design.fuses
    assert _findings(answer)["heater fuse"] == "stop"
    # The wire is there all the same: a fuse of another make can be written.
    assert "heater - bank to heater fuse" not in answer.design.unsolved


def test_a_stop_says_where_what_is_made_for_the_volts_begins() -> None:
    """Class T for 125 V is tabled from 110 A on (abyc-e11 for its volts; its ratings from memory)."""
    said = " ".join(api.plan_text(_plan(JOB.replace("56.8 V", "58.4 V"))).split())
    assert "the tables know none made for that below 110 A (class T)" in said
    assert "PRT008" not in said


def test_a_make_that_is_written_will_do() -> None:
    text = JOB.replace("56.8 V", "58.4 V").replace("fuse, heater]", "{fuse: 10 A, rated_at: 70 V}, heater]")
    assert "heater fuse" not in _findings(_plan(text))


def test_an_existing_fuse_is_asked_for_its_make() -> None:
    text = JOB.replace("fuse, heater]", "{fuse: 10 A, family: regular blade}, heater]").replace(
        "length: 2 m}", "length: 2 m, wire: 2.5 mm2, state: existing}"
    )
    answer = _plan(text)
    assert _findings(answer)["heater fuse"] == "unknown"
    read = text.replace("family: regular blade", "family: regular blade, rated_at: 58 V")
    assert "heater fuse" not in _findings(_plan(read))


def test_a_strip_for_32_v_is_a_stop() -> None:
    text = JOB.replace("fuse, heater]", "{fuse: 60 A, family: bolt-down strip 51 mm}, heater]")
    assert _findings(_plan(text))["heater fuse"] == "stop"


def test_at_24_v_nothing_changes() -> None:
    # Equalising at 16 V for 12 V makes 32 V (common practice): the usual make holds.
    text = JOB.replace("48 V", "24 V").replace("56.8 V", "32 V").replace("chemistry: lfp, ", "")
    answer = _plan(text)
    assert answer.design is not None
    assert "heater fuse" in answer.design.fuses
    assert _findings(answer) == {}
