"""Measuring in the browser: by thumb on a phone, without a script, and kept as a draft like any edit."""

from __future__ import annotations

import httpx
import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opened
from tests.support.by_hand import PLANTED, Planted
from tests.support.jobs import BARGE
from tests.web.test_meter import BAD_GROUND


@pytest.fixture(name="barge")
def _barge(api: httpx.Client) -> str:
    return str(api.post("/api/jobs", json={"text": BARGE}).json()["job_id"])


def _begun(page: Page, load: str = "pump") -> None:
    page.locator("#m-about").select_option(f"load {load}")
    page.locator("#m-meter").select_option("handheld")
    page.get_by_role("button", name="Ask for a reading").click()
    expect(page.locator("#meter-next")).to_be_visible()


def _take(page: Page) -> None:
    where = page.locator("[name=where]").get_attribute("value") or ""
    if " to " not in where:
        page.get_by_role("button", name="Skip this one").click()
        return
    taken = page.locator(".taken > li").count()
    page.locator("#m-value").fill(BAD_GROUND.get(where, "0.02"))
    page.get_by_role("button", name="Take it", exact=True).first.click()
    expect(page.locator(".taken > li")).to_have_count(taken + 1)


def _read(page: Page, planted: Planted) -> None:
    """Take the reading that is asked for, with what the meter shows on the vehicle with the fault in it."""
    hidden = {name: page.locator(f"#meter-next [name={name}]") for name in ("where", "when", "using")}
    using = tuple(each.get_attribute("value") or "" for each in hidden["using"].all())
    where, when = (hidden[name].get_attribute("value") or "" for name in ("where", "when"))
    value, unit = planted.read(where, when, using).split(" ")
    taken = page.locator(".taken > li").count()
    page.locator("#m-value").fill(value.removeprefix("-"))
    page.locator(f"#meter-next .units [value={unit}]").first.check(force=True)
    page.locator("#meter-next [name=minus]").set_checked(value.startswith("-"), force=True)
    page.get_by_role("button", name="Take it", exact=True).first.click()
    expect(page.locator(".taken > li")).to_have_count(taken + 1, timeout=20_000)


def found_on_page(page: Page, planted: Planted) -> int:
    """Take readings as they are asked for until one place stands; return how many."""
    for number in range(9):
        if page.locator("#m-value").count() == 0:
            return number
        _read(page, planted)
    raise AssertionError("nine readings, and no place stands")


def test_a_fault_put_in_by_hand_is_found_on_a_phone(opened: Opened, api: httpx.Client) -> None:
    planted = PLANTED[0]
    job = str(api.post("/api/jobs", json={"text": planted.text}).json()["job_id"])
    page = opened(f"/jobs/{job}/meter", phone=True)
    _begun(page, planted.load)
    # Gloves: what is pressed at each reading is 56 px or more; common practice of rugged screens.
    for what in (".units label", ".next .glove", "#m-value"):
        for each in page.locator(what).all():
            box = each.bounding_box()
            assert box is None or (box["height"] >= 56 and box["width"] >= 56)
    assert found_on_page(page, planted) <= 8
    expect(page.locator(".verdict.is-stop")).to_contain_text(f"It is {planted.place} (")
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    # It is a draft until it is saved: on other parts of the job, and when the page is loaded anew.
    page.reload()
    expect(page.locator(".verdict.is-stop")).to_contain_text(planted.place, timeout=20_000)
    page.get_by_role("button", name="Save").click()
    expect(page.locator("[role=status]").first).to_contain_text("revision 2")
    assert "readings:" in api.get(f"/api/jobs/{job}").json()["revision"]["text"]
    assert page.evaluate(f"localStorage.getItem('draft {job}')") is None


def test_without_a_script_it_is_plain_forms(opened: Opened, barge: str) -> None:
    page = opened(f"/jobs/{barge}/meter", java_script_enabled=False)
    _begun(page)
    page.locator("#m-value").fill("much")
    page.locator("#m-value").press("Enter")
    expect(page.locator("[role=alert]")).to_contain_text("much")
    expect(page.locator("#m-value")).to_have_value("much")
    _take(page)
    page.get_by_role("button", name="Take back").click()
    expect(page.locator(".taken > li")).to_have_count(0)
