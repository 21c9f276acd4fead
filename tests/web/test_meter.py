"""Measuring on a page: a planted fault is found by what it asks for, and bad readings lose nothing."""

from __future__ import annotations

import html
import re

import httpx
import pytest

BARGE = """\
groundstrap: 1
title: Pump on a barge
system: 12 V
supplies: {battery: {kind: battery, at: bay, chemistry: flooded, capacity: 90 Ah}, alternator: none}
loads: {pump: {kind: pump, at: rear, claims: {power: 48 W, voltage: 12 V, by: manual}}}
places: {bay: engine bay, rear: outside}
routes: [{from: bay, to: rear, length: 5 m}]
circuits:
  earth: {path: [battery -, wire: 16 mm2, chassis at bay], length: 50 cm}  # as it came
  pump: {path: [battery, fuse: 10 A, switch, pump], return: chassis at rear, wire: 2.5 mm2, length: 5 m}
"""
PAGE = {"Accept": "text/html"}
# By hand: a pump of 48 W at 12 V is 3 ohm; 0.7 ohm more at its ground takes about 2 V of 12.5.
BAD_GROUND = {"pump - to battery -": "2.05", "pump - to chassis at rear": "1.98", "pump + to pump -": "10,2"}


@pytest.fixture(name="job", scope="module")
def _job(api: httpx.Client) -> str:
    return str(api.post("/api/jobs", json={"text": BARGE}).json()["job_id"])


def fields(page: str) -> dict[str, list[str]]:
    """What a browser sends of the form: hidden fields."""
    found: dict[str, list[str]] = {}
    for name, value in re.findall(
        r'<input type="hidden" name="([^"]*)"(?: data-draft)? value="([^"]*)">', page
    ):
        found.setdefault(name, []).append(html.unescape(value))
    return found


def press(api: httpx.Client, job: str, page: str, do: str, **more: str) -> httpx.Response:
    told = {**fields(page.partition('id="meter"')[2]), "about": "load pump", "meter": "handheld", "do": do}
    return api.post(f"/jobs/{job}/meter", data={**told, **more}, headers=PAGE)


def test_it_asks_and_finds_the_planted_ground(api: httpx.Client, job: str) -> None:
    page = api.get(f"/jobs/{job}/meter", headers=PAGE).text
    assert "Red lead on" not in page
    page = press(api, job, page, "look").text
    for _ in range(6):
        where = fields(page).get("where")
        if where is None:
            break
        value = BAD_GROUND.get(where[0], "0.02")
        unit = "A" if "to" not in where[0] else "V"
        page = press(api, job, page, "take", value="3.4" if unit == "A" else value, unit=unit).text
    verdict = re.sub("<[^>]*>", "", page.partition('class="verdict is-')[2])
    assert verdict.startswith('stop">It is ')
    assert "chassis at rear" in verdict[:300]
    # Kept by the usual save, with what stood beside it.
    text = fields(page)["text"][0]
    assert "# as it came" in text
    assert press(api, job, page, "save").headers["location"].endswith("saved=2")
    assert api.get(f"/api/jobs/{job}").json()["revision"]["text"] == text


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"value": "10.2", "unit": "ohm"}, "ohm is a unit of resistance"),
        ({"value": "1.234,5", "unit": "V"}, "1.234,5"),
        ({"value": "", "unit": "V"}, "nothing was typed"),
        ({"where": "pmup - to battery -", "value": "1", "unit": "V"}, "pmup"),
        ({"where": "pump - to battery -", "value": "3", "unit": "A"}, "volts between two points"),
    ],
)
def test_a_bad_reading_is_answered_and_loses_nothing(
    api: httpx.Client, given: dict[str, str], says: str
) -> None:
    job = str(api.post("/api/jobs", json={"text": BARGE}).json()["job_id"])
    page = press(api, job, "", "look").text
    page = press(api, job, page, "take", where="pump - to battery -", value="310", unit="mV").text
    before = fields(page)["text"]
    assert "pump - to battery -: 310 mV" in before[0]
    refused = press(api, job, page, "take", **given)
    alert = html.unescape(refused.text.partition('role="alert"')[2].partition("</div></div>")[0])
    assert (refused.status_code, says in alert) == (422, True), alert
    assert fields(refused.text)["text"] == before
    assert "310 mV" not in fields(press(api, job, page, "back 0 0").text)["text"]


def test_a_program_asks_the_same(api: httpx.Client) -> None:
    put = {"text": BARGE, "reading": "pump - to battery -: 2.05 V", "using": ["pump"]}
    text = api.post("/api/readings", json=put).json()["text"]
    assert "values: [pump - to battery -: 2.05 V]" in text
    found = api.post("/api/locations", json={"text": text, "load": "pump"}).json()
    assert found["schema"] == "groundstrap.locate/1"
    assert found["readings"][0]["agrees"] is False
    bad = api.post("/api/readings", json={**put, "reading": "pmup: 3 A"})
    assert (bad.status_code, bad.json()["faults"][0]["nearest"]) == (422, "pump")
    assert api.post("/api/locations", json={"text": text, "load": "pmup"}).status_code == 422


def test_files_beside_a_job_stay_beside_it(api: httpx.Client) -> None:
    text = BARGE.replace("system: 12 V", "system: 12 V\nstock: stock.csv")
    files = {"stock.csv": "kind,size,rating\nwire,2.5 mm2,\n"}
    put = {"text": text, "files": files, "reading": "battery + to battery -: 12.6 V"}
    found = api.post("/api/readings", json=put)
    # With nothing on, no load is named.
    assert found.json()["text"].endswith("- {when: resting, values: [battery + to battery -: 12.6 V]}\n")
