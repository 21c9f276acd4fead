"""The days of a job in the browser: dragged, typed, by keyboard, without a script, written in."""

from __future__ import annotations

import re

import httpx
import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opened
from tests.support.jobs import PARTED, VAN


@pytest.fixture(name="van")
def _van(api: httpx.Client) -> str:
    return str(api.post("/api/jobs", json={"text": VAN}).json()["job_id"])


SLOW_MS = 30_000
"""A run takes a second; on a machine that does other things as well it takes a few."""


def _settled(page: Page) -> None:
    expect(page.locator('#days-answer:not([aria-busy="true"]) .verdict')).to_be_visible(timeout=SLOW_MS)


def _says(page: Page, what: str, text: str | re.Pattern[str]) -> None:
    expect(page.locator(what)).to_contain_text(text, timeout=SLOW_MS)


def _open(page: Page, number: int) -> None:
    page.locator(f"#d-span-{number} > summary").click()


def test_an_end_that_is_dragged_gives_the_next_span_what_it_takes(opened: Opened, van: str) -> None:
    page = opened(f"/jobs/{van}/days")
    _settled(page)
    box = page.locator("#blocks").bounding_box()
    assert box is not None
    edge = page.locator("#blocks .edge").first.bounding_box()
    assert edge is not None
    page.mouse.move(edge["x"], edge["y"] + 20)
    page.mouse.down()
    page.mouse.move(edge["x"] + box["width"] / 4, edge["y"] + 20, steps=4)
    page.mouse.up()
    # A quarter of four hours.
    expect(page.locator("#s-time-0")).to_have_value("2 h")
    expect(page.locator("#s-time-1")).to_have_value("2 h")
    _says(page, "#days-answer", "driving 2 h at")


def test_by_keyboard_and_typed_on_a_phone(opened: Opened, van: str) -> None:
    page = opened(f"/jobs/{van}/days", phone=True)
    _settled(page)
    edge = page.locator("#blocks .edge").first
    edge.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#s-time-0")).to_have_value("70 min")
    expect(page.locator("#blocks .edge").first).to_be_focused()
    expect(page.locator("#blocks .edge").first).to_have_attribute("aria-valuenow", "70")
    # Beneath the bar each span has a row that a thumb can hit, and what runs in it stands there unopened.
    rows = page.locator("#spans summary")
    assert all((box := row.bounding_box()) and box["height"] >= 44 for row in rows.all())
    expect(rows.nth(1)).to_contain_text("fridge")
    _open(page, 1)
    page.locator("#s-time-1").fill("5 h")
    page.locator("#d-cold").fill("-10 C")
    _says(page, "#days-answer", re.compile("resting 5.h at .10.°C"))
    expect(rows.nth(1)).to_contain_text("resting 5 h")
    page.get_by_role("checkbox", name="fridge").last.uncheck()
    expect(rows.nth(1)).to_contain_text("nothing runs")
    # What cannot be run is said in words, the day stays, and the run before is marked as such.
    page.locator("#s-time-1").fill("5 parsecs")
    _says(page, "#day-wrong", "parsecs")
    expect(page.locator("#days-answer.outdated .if-outdated")).to_be_visible()
    expect(page.locator("#day-short")).to_be_empty()
    page.locator("#s-time-1").fill("4 h")
    _says(page, "#days-answer:not(.outdated)", re.compile("resting 4.h"))
    assert page.evaluate("document.documentElement.scrollWidth") == 390


TWO = (
    VAN.replace("loads:", "  second battery: {kind: battery, chemistry: agm, capacity: 95 Ah}\nloads:")
    .replace("fridge: {length", "fridge: {path: [battery, fuse, fridge], length")
    .replace("day:", "  second feed: {path: [battery, fuse, relay, fuse, second battery], length: 4 m}\nday:")
)


def test_two_batteries_stay_within_a_phone(opened: Opened, api: httpx.Client) -> None:
    """What each of them gains or loses stands beneath what a span is, not over it."""
    van = str(api.post("/api/jobs", json={"text": TWO}).json()["job_id"])
    page = opened(f"/jobs/{van}/days", phone=True)
    _settled(page)
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    for row in page.locator("#spans summary").all():
        what, change = row.locator(".what").bounding_box(), row.locator(".change").bounding_box()
        assert what is not None
        assert change is not None
        assert change["y"] >= what["y"] + what["height"] - 1
        assert change["x"] + change["width"] <= 390
        expect(row.locator(".change")).to_contain_text("second battery")
    # The amounts are those of the last of three days, and say so.
    expect(page.locator("#day-form")).to_contain_text("day 3, the last one")


def test_a_span_more_and_one_less(opened: Opened, van: str) -> None:
    page = opened(f"/jobs/{van}/days")
    _settled(page)
    _open(page, 1)
    page.locator("#spans > .span").nth(1).get_by_role("button", name="Once more").click()
    expect(page.locator("#spans > .span")).to_have_count(3, timeout=SLOW_MS)
    expect(page.locator("#blocks > div")).to_have_count(3)
    _open(page, 0)
    page.locator("#spans > .span").nth(0).get_by_role("button", name="Remove").click()
    expect(page.locator("#spans > .span")).to_have_count(2, timeout=SLOW_MS)


def test_without_a_script_the_form_does_it_and_writes_it_in(
    opened: Opened, van: str, api: httpx.Client
) -> None:
    page = opened(f"/jobs/{van}/days", java_script_enabled=False)
    _open(page, 1)
    page.locator("#s-time-1").fill("6 h")
    page.get_by_role("button", name="Run it").click()
    _says(page, "#days-answer", "resting 6 h at")
    page.get_by_role("button", name="Write the day into the job").click()
    _says(page, ".slip[role=status]", "revision 2")
    text = str(api.get(f"/api/jobs/{van}").json()["revision"]["text"])
    assert "{resting: 6 h, using: [fridge]}  # the night" in text
    assert "{driving: 1 h, using: [fridge]}" in text


def test_what_cures_it_is_written_in_with_one_press(opened: Opened, van: str, api: httpx.Client) -> None:
    page = opened(f"/jobs/{van}/days")
    _settled(page)
    page.locator("#d-days").fill("1")
    _open(page, 1)
    page.locator("#s-time-1").fill("60 h")
    cure = page.get_by_role("button", name="Write it in").first
    cure.wait_for(timeout=SLOW_MS)
    _says(page, "#days-answer", "fridge at 10.50 V")
    cure.click(timeout=SLOW_MS)
    _says(page, ".slip[role=status]", "revision 2")
    # With what else it changes in the plan: here the battery that is bought.
    _says(page, ".slip[role=status] li", re.compile("80.Ah.*240.Ah"))
    # It is the revision that stands on the page, run as before, and in it nothing fails any more.
    expect(page.locator("#d-days")).to_have_value("1")
    _says(page, "#days-answer", "none in the day")
    expect(page.get_by_role("button", name="Write it in")).to_have_count(0)
    text = str(api.get(f"/api/jobs/{van}").json()["revision"]["text"])
    assert "60 h" in text
    assert text != VAN.replace("3 h", "60 h")


def test_a_draft_shows_its_own_day_and_is_gone_once_written(
    opened: Opened, van: str, api: httpx.Client
) -> None:
    page = opened(f"/jobs/{van}/days")
    kept = {"base": 1, "text": VAN.replace("3 h", "4 h").replace("80 Ah", "70 Ah")}
    page.evaluate("([key, kept]) => localStorage.setItem(key, JSON.stringify(kept))", [f"draft {van}", kept])
    page.reload()
    expect(page.locator("#s-time-1")).to_have_value("4 h", timeout=SLOW_MS)
    page.get_by_role("button", name="Write the day into the job").click()
    _says(page, ".slip[role=status]", "revision 2")
    assert page.evaluate(f"localStorage.getItem('draft {van}')") is None
    expect(page.locator("[name=text]")).to_have_value("")
    text = str(api.get(f"/api/jobs/{van}").json()["revision"]["text"])
    assert text == kept["text"]


def test_what_stands_against_the_days_stands_in_the_answer(opened: Opened, api: httpx.Client) -> None:
    job = api.post("/api/jobs", json={"text": PARTED}).json()["job_id"]
    page = opened(f"/jobs/{job}", phone=True)
    _says(page, "#answer .verdict", "Do not build it like this")
    _says(page, "#strip", "Do not build it like this")
    expect(page.locator("#answer .against")).to_contain_text("it is critical and cuts off")
    expect(page.locator("#answer [data-days]")).to_have_count(0)
    # What has been changed since is not what was run: it is said so, and never that nothing stops it.
    page.get_by_role("button", name="Text", exact=True).click()
    area = page.locator("#job-text")
    area.fill(area.input_value().replace("45 W", "44 W"))
    _says(page, "#answer .verdict", "whose days are not run here")
