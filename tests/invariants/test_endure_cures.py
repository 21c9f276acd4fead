"""A cure is none where a rule stops it, and one that could not be run is not one in vain."""

from __future__ import annotations

import pytest

from groundstrap import api
from groundstrap.api.brought import Known, changed_job
from groundstrap.assess import wire_up
from groundstrap.endure import cures, endure
from groundstrap.endure.changes import ladders_of
from groundstrap.endure.results import Brought, Changed, Edit, Endurance
from groundstrap.endure.run import StartFailsError
from groundstrap.errors import CannotDoError
from groundstrap.records import replace
from groundstrap.report.endurance_words import brought_words
from tests.invariants.test_endure import HEAD, wired
from tests.support.cured import as_changed, written_in

REST = (
    HEAD
    + """
supplies: {battery: {kind: battery, chemistry: agm, capacity: 40 Ah}}
loads: {pump: {kind: motor, claims: {power: 60 W}, duty: {run: 4 min, every: 6 min}, works: 11.5..15 V}}
circuits: {pump: {length: 4 m}}
day:
  - {resting: 14 h, using: [pump]}
"""
)

STOP = Brought(rule="PRT008", level="stop", where=("fuse",), text="it breaks too little", remedy="Another.")


def test_a_load_that_says_how_long_it_runs_runs_less_often() -> None:
    # By hand: 4 min of 6 min are two thirds of the time, and three quarters of that 4 min of 8 min.
    wiring = wired(REST)
    run = endure(wiring)
    loads = [c for each in ladders_of(wiring, run, "battery", starts=False) for c in each.changes]
    told = [change for change in loads if change.kind == "load"]
    every = [change.edits for change in told]
    assert [edits[0].value for edits in every] == ["8 min", "12 min", "24 min", "1 h"]
    assert {edits[0].path for edits in every} == {("loads", "pump", "duty", "every")}
    assert str(told[0].text) == "pump runs 4 min every 8 min in place of 6 min"
    assert (
        str(told[-1].text) == "pump runs 4 min every 1 h in place of 6 min, which leaves hardly any use of it"
    )
    changed = wired(written_in(REST, told[1].edits)).installation.loads["pump"].duty
    assert (changed.run_s, changed.every_s) == (240.0, 720.0)


def _runs(monkeypatch: pytest.MonkeyPatch, run: Endurance, cures_from: dict[str, bool | Exception]) -> None:
    """Let runs come to what is said of the change that is in their wiring, which is but its value here."""

    def made(wiring: str, *, days: int, temperature_c: float | None, quick: bool) -> Endurance:
        del days, temperature_c, quick
        said = cures_from.get(wiring, False)
        if isinstance(said, Exception):
            raise said
        return replace(run, cut_offs=() if said else run.cut_offs)

    monkeypatch.setattr(cures, "endure", made)


def test_what_a_rule_stops_is_passed_over_and_where_all_is_stopped_told_with_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    wiring = wired(REST)
    run = endure(wiring)
    assert run.cut_offs
    _runs(monkeypatch, run, {"50 Ah": True, "60 Ah": True, "80 Ah": True, "120 Ah": True})
    stopped = {"60 Ah"}

    def again(edits: tuple[Edit, ...]) -> Changed:
        value = edits[0].value
        return replace(as_changed(wiring, (STOP,) if value in stopped else ()), wiring=value)  # type: ignore[arg-type]

    def battery() -> cures.Cure:
        return next(each for each in cures.cures_of(wiring, run, again).cures if each.kind == "battery")

    assert (battery().edits[0].value, battery().holds) == ("50 Ah", True)
    stopped.add("50 Ah")
    assert (battery().edits[0].value, battery().holds) == ("80 Ah", True)
    stopped.update(("80 Ah", "120 Ah"))
    assert (battery().edits[0].value, battery().holds) == ("50 Ah", False)
    assert [str(text) for text in brought_words(battery())] == [
        "PRT008 stops it at fuse: it breaks too little. So it also needs: Another."
    ]


def test_what_could_not_be_solved_is_not_told_as_in_vain(monkeypatch: pytest.MonkeyPatch) -> None:
    wiring = wired(REST)
    run = endure(wiring)
    unsolved, fails = CannotDoError("no days", next_step="look"), StartFailsError("none", next_step="look")
    _runs(monkeypatch, run, dict.fromkeys(("50 Ah", "60 Ah", "80 Ah", "120 Ah"), unsolved) | {"1 h": fails})

    def again(edits: tuple[Edit, ...]) -> Changed:
        return replace(as_changed(wiring), wiring=edits[0].value)  # type: ignore[arg-type]

    found = cures.cures_of(wiring, run, again)
    assert [str(text) for text in found.not_run] == ["battery of 120 Ah in place of 40 Ah"]
    assert [str(text).partition(",")[0] for text in found.in_vain] == [
        "pump runs 4 min every 1 h in place of 6 min"
    ]
    # What is smaller than what can't be solved is tried all the same.
    _runs(monkeypatch, run, {"60 Ah": True, "80 Ah": True, "120 Ah": unsolved})
    assert cures.cures_of(wiring, run, again).cures[0].edits[0].value == "60 Ah"


TWO = """groundstrap: 1
title: Van with two batteries
system: 12 V
supplies:
  battery: {kind: battery, capacity: 60 Ah, cranking: 540 A EN}
  alternator: {kind: alternator, rating: 90 A}
  charger: {kind: dc-dc, current: 25 A, setpoint: 14.4 V, when: engine}
  house: {kind: battery, chemistry: agm, capacity: 90 Ah}
loads:
  starter: {kind: starter, claims: {current: 150 A, temperature: 20 degC}}
  heater fan: {kind: fan, claims: {power: 50 W}}
circuits:
  starter: {path: [battery, starter], length: 1.5 m<state>}
  charger in: {path: [battery, fuse, charger], length: 3 m}
  charger out: {path: [charger, fuse, house], length: 1 m}
  heater fan: {path: [battery, fuse, heater fan], length: 3 m<laid>}
day:
  - {driving: 60 min, using: [heater fan]}
  - {resting: 14 h, using: [heater fan], temperature: 0 degC}
"""


def test_a_load_of_the_battery_that_starts_is_fed_from_the_other_one() -> None:
    # By hand: 50 W for 14 h are 57 Ah; 60 Ah do not start after that, 90 Ah of the other one hold it.
    job = api.read_job(TWO.replace("<state>", "").replace("<laid>", ""))
    answer = api.endure(job, with_cures=False)
    assert not answer.run.starts_all
    wiring = wire_up(answer.installation, answer.plan.estimates)
    ladders = ladders_of(wiring, answer.run, "battery", starts=True)
    (feed,) = (change for each in ladders for change in each.changes if change.kind == "feed")
    assert feed.edits == (Edit(("circuits", "heater fan", "path", 0), "house"),)
    written = api.read_job(written_in(job.text, feed.edits))
    moved = api.endure(written, with_cures=False)
    assert moved.run.starts_all
    # What rules say of it anew is told with it, and nothing else: here it is counted out of both answers.
    known = Known.of(answer.plan.judgement, answer.judgement)
    brings = changed_job(written.installation, known).brings(moved.run)
    both = {
        (f.rule, f.where, f.level, f.outcome)
        for f in (*answer.plan.judgement.findings, *answer.judgement.findings)
    }
    fails = {
        (f.rule, f.where)
        for f in (*moved.plan.judgement.findings, *moved.judgement.findings)
        if f.outcome.value == "fail"
        and f.level.value != "note"
        and (f.rule, f.where, f.level, f.outcome) not in both
    }
    assert {(each.rule, where) for each in brings for where in each.where} == fails


def test_cable_that_is_laid_is_not_fed_from_elsewhere() -> None:
    wiring = wired(TWO.replace("<state>", "").replace("<laid>", ", wire: 4 mm2, state: existing"))
    run = endure(wiring)
    kinds = {c.kind for each in ladders_of(wiring, run, "battery", starts=True) for c in each.changes}
    assert "battery" in kinds
    assert "feed" not in kinds
