"""A draft of an older revision is never kept over what somebody else has saved since, from whichever page."""

from __future__ import annotations

import re

import httpx

from tests.support.jobs import BARGE
from tests.web.test_meter import PAGE, press

DAY = {"when 0": "resting", "time 0": "8 h", "using 0": "pump", "days": "1"}


def overtaken(api: httpx.Client) -> str:
    """The id of a job of which somebody has saved a second revision, while the first is still edited."""
    job = str(api.post("/api/jobs", json={"text": BARGE}).json()["job_id"])
    theirs = BARGE.replace("fuse: 10 A", "fuse: 15 A")
    assert api.put(f"/api/jobs/{job}", json={"text": theirs, "based_on": 1, "who": "Ada"}).status_code == 200
    return job


def newest(api: httpx.Client, job: str) -> str:
    return str(api.get(f"/api/jobs/{job}").json()["revision"]["text"])


def test_a_day_is_not_written_over_what_came_between(api: httpx.Client) -> None:
    job = overtaken(api)
    mine = {"text": BARGE.replace("length: 5 m}\n", "length: 6 m}\n"), "based_on": "1", **DAY, "do": "write"}
    told = api.post(f"/jobs/{job}/days", data=mine, headers=PAGE)
    assert told.status_code == 409
    assert "Ada" in told.text
    assert "{resting: 8 h, using: [pump]}" in told.text
    assert "fuse: 15 A" in newest(api, job)
    assert "day:" not in newest(api, job)


def test_another_way_of_a_draft_is_not_kept_over_it_either(api: httpx.Client) -> None:
    job = overtaken(api)
    asked = {"text": BARGE, "based_on": "1", "kind": "length", "circuit": "pump", "value": "7 m"}
    shown = api.post(f"/jobs/{job}/compare", data=asked, headers=PAGE).text
    keep = shown[shown.index(f'action="/jobs/{job}/save"') :]
    assert re.findall(r'name="based_on" value="(\d+)"', keep)[0] == "1"


def test_a_minus_holds_for_a_number_that_begins_with_its_point(api: httpx.Client) -> None:
    job = str(api.post("/api/jobs", json={"text": BARGE}).json()["job_id"])
    page = press(api, job, "", "other", o_red="pump -", o_black="battery -", o_value=".31", o_minus="1").text
    assert "pump - to battery -: -0.31 V" in page.replace("&#34;", '"')


def test_a_span_that_is_none_is_said_in_words_and_in_the_language_of_the_page(api: httpx.Client) -> None:
    job = str(api.post("/api/jobs", json={"text": BARGE}).json()["job_id"])
    for language, begins in (("en", "Resting 1: "), ("de", "Ruhe 1: ")):
        for do in ("run", "write"):
            asked = {**DAY, "time 0": "8 parsecs", "do": do}
            page = api.post(f"/jobs/{job}/days", data=asked, headers={**PAGE, "Accept-Language": language})
            told = page.text.partition('id="day-wrong"')[2].partition(">")[2].partition("</p>")[0]
            assert told.startswith(begins)
            assert "8 parsecs" in told
