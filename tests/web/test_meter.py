"""Measuring on a page: a planted fault is found by what it asks for, and bad readings lose nothing."""

from __future__ import annotations

import html
import re
import time

import httpx
import pytest

from groundstrap.web import meter_tasks
from groundstrap.web.pages.rendering import Look
from groundstrap.web.tasks import Asked
from tests.support.by_hand import PLANTED
from tests.support.jobs import BARGE

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


def sheet_put(api: httpx.Client, job: str, page: str, sheet: str) -> httpx.Response:
    told = {
        **fields(page.partition('id="meter"')[2]),
        "about": "load pump",
        "meter": "handheld",
        "do": "sheet",
    }
    files = {"sheet": ("sheet.csv", sheet.encode(), "text/csv")}
    return api.post(f"/jobs/{job}/meter", data=told, files=files, headers=PAGE)


def test_a_sheet_goes_in_as_a_whole_or_its_wrong_lines_are_named(api: httpx.Client) -> None:
    job = str(api.post("/api/jobs", json={"text": BARGE}).json()["job_id"])
    page = press(api, job, "", "look").text
    refused = sheet_put(api, job, page, "where;read;using\npump;10,2 V;pump\npimp;3 A;pump\n")
    alert = html.unescape(refused.text.partition('role="alert"')[2].partition("</div></div>")[0])
    assert refused.status_code == 422
    assert "sheet.csv, line 2, " in alert
    assert "sheet.csv, line 3, " in alert
    assert fields(refused.text)["text"] == [""]
    lines = "".join(f"{where},{value.replace(',', '.')} V,pump\n" for where, value in BAD_GROUND.items())
    put_in = sheet_put(api, job, page, f"where,read,using\n{lines}").text
    assert "3 readings went in." in put_in
    assert "It is pump return 1" in put_in
    assert "# as it came" in fields(put_in)["text"][0]


def test_what_was_mended_and_fits_again_ends_it(api: httpx.Client) -> None:
    job = str(api.post("/api/jobs", json={"text": BARGE}).json()["job_id"])
    page = press(api, job, "", "look").text
    read = {"o_red": "pump -", "o_when": "resting", "o_using": "pump", "o_unit": "V"}
    for black, shows in (("battery -", "2.05"), ("chassis at rear", "2.03")):
        page = press(api, job, page, "other", **read, o_black=black, o_value=shows).text
    for black in ("battery -", "chassis at rear"):
        assert f">{black}<" in page
    assert 'value="mended pump return 1"' in page
    page = press(api, job, page, "mended pump return 1").text
    assert "mended: pump return 1" in fields(page)["text"][0]
    assert "pump return 1 was mended: read there again." in page
    # What is complained of is on, for whoever reads something else.
    assert 'name="o_using" value="pump" checked' in page
    # By hand: 4 A in 5 m of 2.5 mm2 (7.6 mohm/m) lose 0.04 V with the body; 2.05 were lost.
    page = press(api, job, page, "other", **read, o_black="battery -", o_value="0.04").text
    assert "Mended: pump return 1 fits again." in page
    assert "2 readings of earlier visits, or from before a mend" in page
    # Taken back, the old ones count again, but for the one that was read once more.
    page = press(api, job, page, "unmended").text
    assert "mended" not in fields(page)["text"][0]
    assert "read again since" in page


def test_as_built_is_accepted_and_what_grew_is_told(api: httpx.Client) -> None:
    read = "readings:\n  - {when: resting, using: [pump], meter: handheld, date: DAY, values: [pump: 4.00 A, pump - to chassis at rear: MV mV]}\n"  # noqa: E501
    built = BARGE + read.replace("DAY", "2025-03-01").replace("MV", "9.0")
    job = str(api.post("/api/jobs", json={"text": built}).json()["job_id"])
    page = api.get(f"/jobs/{job}/visits", headers=PAGE).text
    assert "As built on 2025-03-01, not accepted yet" in page
    assert f'href="/jobs/{job}/visits"' in api.get(f"/jobs/{job}/meter", headers=PAGE).text
    told = {"csrf": fields(page)["csrf"][0], "based_on": "1", "note": "handed over"}
    assert api.post(f"/jobs/{job}/visits", data=told, headers=PAGE).status_code in {200, 303}
    kept = api.get(f"/api/jobs/{job}").json()["revision"]
    # Nothing was left to pin: it is the revision that was there.
    assert kept["number"] == 1
    later = kept["text"] + read.partition("\n")[2].replace("DAY", "2026-03-01").replace("MV", "40.0")
    api.put(f"/api/jobs/{job}", json={"text": later, "based_on": 1})
    page = html.unescape(api.get(f"/jobs/{job}/visits", headers=PAGE).text)
    # By hand: 9 and 40 mV at 4 A.
    assert re.search(r"grew from 2\.25\s+mΩ to 10\s+mΩ", page)
    api.post(f"/jobs/{job}/visits", data={**told, "based_on": "2"}, headers=PAGE)
    found = api.get(f"/api/jobs/{job}/visits").json()
    assert [each["day"] for each in found["visits"]] == ["2025-03-01", "2026-03-01"]
    assert found["places"][0]["grown"] is True
    # Forgetting can't be undone, so it is asked first, and does nothing until somebody ticked that.
    asked = api.post(f"/jobs/{job}/visits", data={**told, "forget": "2026-03-01"}, headers=PAGE)
    assert asked.status_code == 422
    assert "Nothing was forgotten" in asked.text
    assert "2026-03-01" in asked.text
    api.post(f"/jobs/{job}/visits", data={**told, "forget": "2026-03-01", "sure": "yes"}, headers=PAGE)
    assert len(api.get(f"/api/jobs/{job}/visits").json()["visits"]) == 1


def test_the_next_reading_takes_a_moment() -> None:
    planted = PLANTED[1]
    typed, text, took = None, planted.text, []
    for _ in range(3):
        about = meter_tasks.Complaint(load=planted.load, meter="handheld")
        asked = meter_tasks.MeterAsked(job=Asked(text=text), about=about, take=typed, base=1)
        begun = time.process_time()
        page = meter_tasks.meter_part(asked, Look(at="/jobs/x"), "token").html
        took.append(time.process_time() - begun)
        told = fields(page)
        text, using = told["text"][0] or text, tuple(told.get("using", ()))
        value, unit = planted.read(told["where"][0], told["when"][0], using).split(" ")
        typed = meter_tasks.Typed(
            where=told["where"][0], value=value, unit=unit, when=told["when"][0], using=using
        )
    # Of a processor: the first lays out what may be wrong, the next ones only weigh it.
    assert min(took[1:]) < 0.3


def test_a_reading_of_a_day_yet_to_come_is_shown_and_can_be_taken_back() -> None:
    """It is more readings that are refused then: they would be hidden by it."""
    text = BARGE + "readings: [{when: resting, using: [pump], date: 2999-01-01, values: [pump: 10.2 V]}]\n"
    about = meter_tasks.Complaint(load="pump", meter="handheld")

    def done(**what: object) -> meter_tasks.MeterPart:
        asked = meter_tasks.MeterAsked(job=Asked(text=text), about=about, base=1, **what)  # type: ignore[arg-type]
        return meter_tasks.meter_part(asked, Look(at="/jobs/x"), "token")

    assert not done().refused
    back = done(back=(0, 0))
    assert not back.refused
    assert "10.2 V" not in fields(back.html)["text"][0]
    more = done(take=meter_tasks.Typed(where="pump", value="10.3", unit="V", when="resting", using=("pump",)))
    assert more.refused
    assert "yet to come" in more.html
