"""Days over the API and on their page: the same as the command line; a run that takes too long is said so."""

from __future__ import annotations

import html
import json
import re
from typing import Any

import httpx
import pytest

from groundstrap import api as front_door
from groundstrap.web.workers import PLAN_LATE, Crew
from tests.support.jobs import PARTED, VAN

PAGE = {"Accept": "text/html"}


def test_the_days_are_those_of_the_command_line(api: httpx.Client) -> None:
    found = api.post("/api/endurance", json={"text": VAN, "days": 2, "temperature_c": -10, "cures": False})
    assert found.status_code == 200
    job = front_door.read_job(VAN)
    answer = front_door.endure(job, days=2, temperature_c=-10.0, with_cures=False)
    assert found.text == front_door.endure_json(answer)
    assert "chances" not in found.json()


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"text": VAN.replace("[fridge]}  #", "[frige]}  #")}, "fridge"),
        ({"text": VAN.replace("resting: 3 h", "resting: 0 h")}, "0 h"),
        ({"text": VAN.replace("resting: 3 h", "resting: -3 h")}, "never below zero"),
        ({"text": VAN.replace("resting: 3 h", "resting: 3 h, sun: 5 h")}, "sun"),
        ({"text": VAN.replace("resting: 3 h", "resting: 3 h, sun: 2 h")}, "solar charger"),
        ({"text": VAN.replace("resting: 3 h", "mains: 3 h")}, "mains charger"),
        ({"text": VAN, "days": 0}, "days"),
        ({"text": VAN, "temperature_c": -273}, "temperature_c"),
    ],
)
def test_days_that_make_no_sense_are_refused_with_what_would_do(
    api: httpx.Client, given: dict[str, object], says: str
) -> None:
    found = api.post("/api/endurance", json=given)
    assert found.status_code == 422
    assert says in found.text
    assert found.json()["next_step"]


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"using 1": "frige"}, "fridge"),
        ({"time 1": "0 h"}, "0 h"),
        ({"time 1": "-3 h"}, "never below zero"),
        ({"time 1": "soon"}, "soon"),
        ({"sun 1": "5 h"}, "more full sun than it is long"),
        ({"sun 1": "2 h"}, "makes current of it"),
        ({"temperature 1": "-80 C"}, "air that cold"),
        ({"when 1": "mains"}, "nothing charges then"),
        ({"days": "0"}, "1 to 60"),
        ({"cold": "cold"}, "no number"),
    ],
)
def test_on_the_page_they_are_said_in_words_and_the_day_stays(
    api: httpx.Client, kept: str, typed: dict[str, str], says: str
) -> None:
    day = {"when 0": "driving", "time 0": "1 h", "when 1": "resting", "time 1": "3 h", "using 1": "fridge"}
    data = {**day, **typed, "do": "run", "quick": "1"}
    found = api.post(f"/jobs/{kept}/days", data=data, headers=PAGE)
    wrong = re.search(r'<p id="day-wrong"[^>]*>(.*?)</p>', found.text)
    assert wrong is not None
    assert says in html.unescape(wrong[1])
    assert 'name="time 0" value="1 h"' in found.text


@pytest.fixture(name="kept", scope="module")
def _kept(api: httpx.Client) -> str:
    return str(api.post("/api/jobs", json={"text": VAN}).json()["job_id"])


def test_an_answer_has_the_days_in_its_verdict_where_they_are_asked_for(api: httpx.Client) -> None:
    without = api.post("/api/answers", json={"text": PARTED}).json()
    assert "endurance" not in without
    assert "END002" not in {each["rule"] for each in without["findings"]}
    found = api.post("/api/answers", json={"text": PARTED, "endurance": True}).json()
    assert found["endurance"]["days"] == 3
    assert found["endurance"]["cut_offs"][0]["load"] == "fridge"
    assert ("END002", "stop") in {(each["rule"], each["level"]) for each in found["findings"]}
    part = api.post("/api/answers", json={"text": PARTED}, headers=PAGE).text
    assert "whose days are not run here" in part
    part = api.post("/api/answers", json={"text": PARTED, "endurance": True}, headers=PAGE).text
    assert "Do not build it like this" in part


@pytest.fixture(name="hurried")
def _hurried(monkeypatch: pytest.MonkeyPatch, api: httpx.Client) -> httpx.Client:
    """The bench, which runs in this process, gives days no time at all, and everything else its own."""
    do = Crew.do

    async def hastily(crew: Crew, *given: Any, seconds: float, late: str = PLAN_LATE, **more: Any) -> Any:
        seconds = seconds if late == PLAN_LATE else 0.02
        return await do(crew, *given, seconds=seconds, late=late, **more)

    monkeypatch.setattr(Crew, "do", hastily)
    return api


def test_a_run_that_takes_too_long_is_ended_and_says_what_would_do(hurried: httpx.Client) -> None:
    found = hurried.post("/api/endurance", json={"text": VAN, "days": 5})
    assert found.status_code == 503
    told = found.json()
    assert "longer than 0.02 s" in told["detail"]
    assert "fewer days" in told["next_step"]


def test_the_days_of_a_whole_answer_have_the_time_of_days(hurried: httpx.Client) -> None:
    job = hurried.post("/api/jobs", json={"text": PARTED}).json()["job_id"]
    assert hurried.get(f"/jobs/{job}/answer", headers=PAGE).status_code == 200
    found = hurried.get(f"/jobs/{job}/answer?days", headers=PAGE)
    assert found.status_code == 503
    assert "fewer days" in found.text


def test_a_page_keeps_the_day_that_takes_too_long_and_says_it_in_words(hurried: httpx.Client) -> None:
    job = hurried.post("/api/jobs", json={"text": VAN}).json()["job_id"]
    found = hurried.get(f"/jobs/{job}/days", headers=PAGE)
    assert found.status_code == 422
    assert "fewer days" in found.text
    assert re.search(r'name="time 1" value="3 h"', found.text)
    with pytest.raises(json.JSONDecodeError):
        found.json()
