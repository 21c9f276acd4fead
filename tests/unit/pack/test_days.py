"""The page of the pack on days: what people ask, the drawing, cures, cautions; its files for programs."""

from __future__ import annotations

import csv
import io
import json

import pytest

from groundstrap import api
from groundstrap.errors import CallError
from groundstrap.pack.document import Wanted, alone, section_of, without_sections
from groundstrap.pack.lists.days import day_files
from groundstrap.pack.making import pack_files
from groundstrap.pack.texts.phrases import Telling
from groundstrap.pack.typeset.html import html
from groundstrap.pack.typeset.pdf import Setting, pdf
from groundstrap.report.figures import Display
from groundstrap.report.language import language
from tests.support.endured import JOB, hand_made_answer
from tests.support.pdf import pages

ANSWER = hand_made_answer()


@pytest.mark.parametrize("code", ["en", "de"])
def test_the_section_is_one_page_with_everything_on_it(code: str) -> None:
    wanted = Wanted(shown=Display(), language=language(code), days=ANSWER)
    telling = Telling(ANSWER.plan, Display())
    section = section_of("days", telling, wanted)
    assert section is not None
    whole = alone(without_sections(telling), section)
    told = html(whole, wanted.language)
    assert "<svg" in told
    for words in {"en": ("morning 3", "110 Ah", "hydrogen"), "de": ("Morgen 3", "110 Ah", "Wasserstoff")}[
        code
    ]:
        assert words in told
    assert "supplies.battery.capacity" in told
    assert len(pages(pdf(whole, Setting(language=wanted.language, cover=False)))) == 1


def test_without_a_run_there_is_no_such_section() -> None:
    assert section_of("days", Telling(ANSWER.plan, Display()), Wanted(shown=Display())) is None
    with pytest.raises(CallError, match="run of its days"):
        pack_files(ANSWER.plan, Wanted(shown=Display()), only=("days",))


def test_a_day_that_cannot_be_run_holds_nothing_up_and_is_told() -> None:
    job = api.read_job(JOB.replace("resting:", "mains:"))
    days = api.endured_for_pack(job)
    assert isinstance(days, api.DaysNotRun)
    files = api.pack(api.plan(job), only=("days",), days=days)
    assert set(files) == {"pack.pdf", "pack.html"}
    told = files["pack.html"].decode()
    assert "was not run" in told
    assert "nothing charges then" in told
    with pytest.raises(CallError, match="nothing charges then"):
        api.endured_for_pack(job, ("days",))


def test_what_stops_the_days_stands_on_the_cover_and_in_the_status() -> None:
    text = JOB.replace("works: 10.5..15 V", "works: 11.5..15 V, critical: yes")
    assert text != JOB
    job = api.read_job(text)
    plan = api.plan(job)
    assert plan.exit_status == 0
    files = api.pack(plan, only=("cover",), days=(days := api.endured_for_pack(job, ("cover",))))
    told = files["pack.html"].decode()
    assert "Do not build it like this" in told
    assert "it is critical and cuts off" in told
    assert "Nothing stops" not in told
    assert api.judged_with(plan, days).exit_status == 1
    # A plan alone does not know it, and does not say that nothing stops the job.
    assert "Nothing stops this job" not in api.plan_text(plan)


def test_days_that_cannot_be_run_leave_the_job_open() -> None:
    job = api.read_job(JOB.replace("resting:", "mains:"))
    plan = api.plan(job)
    days = api.endured_for_pack(job, ("cover",))
    told = api.pack(plan, only=("cover",), days=days)["pack.html"].decode()
    assert "Its days could not be run" in told
    assert "Nothing stops" not in told
    assert api.judged_with(plan, days).exit_status == 4
    endurance = json.loads(api.whole_json(plan, days))["endurance"]
    assert list(endurance) == ["not_run"]


def test_the_course_is_there_for_other_programs() -> None:
    files = day_files(ANSWER)
    rows = list(csv.DictReader(io.StringIO(files["days.csv"])))
    assert len(rows) == len(ANSWER.run.course.times_s)
    assert rows[-1]["supply"] == "battery"
    assert float(rows[-1]["charge_pct"]) == 40.0
    assert json.loads(files["days.json"])["schema"] == "groundstrap.endure/1"
