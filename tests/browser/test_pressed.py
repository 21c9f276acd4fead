"""What is pressed twice is done once: items of a list go by their number."""

from __future__ import annotations

import httpx
from playwright.sync_api import expect

from tests.browser.conftest import Opened

LAMP = """groundstrap: 1
title: Lamp over the ramp
system: 12 V
supplies: {battery: {kind: battery, chemistry: agm, capacity: 80 Ah}}
loads: {lamp: {kind: lamp, claims: {power: 55 W}}}
circuits: {lamp: {path: [battery, fuse, switch, wire: 4 mm2, lamp], length: 4 m}}
"""


def test_a_double_press_takes_one_item_out(opened: Opened, api: httpx.Client) -> None:
    job = str(api.post("/api/jobs", json={"text": LAMP}).json()["job_id"])
    page = opened(f"/jobs/{job}")
    page.locator("#e-circuits-lamp > summary").click()
    page.get_by_role("button", name="Remove 3", exact=True).dblclick()
    text = page.locator("#job-text")
    expect(text).to_have_value(LAMP.replace("switch, ", ""))
    last = page.locator("#e-circuits-lamp").get_by_role("button", name="Remove 5", exact=True)
    expect(last).to_have_count(0)
    expect(text).to_have_value(LAMP.replace("switch, ", ""))
