"""Writing a job in the browser: first look, forms and text, undo, drafts, saving, two at once."""

from __future__ import annotations

import re
import time

import httpx
import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opened

BOTH = pytest.mark.parametrize("phone", [True, False], ids=["390", "1280"])


def side(page: Page, name: str) -> None:
    page.locator(f"[data-pane={name}]").click()


class TestFirstLook:
    @BOTH
    def test_answers_while_one_types_and_becomes_a_job(self, opened: Opened, *, phone: bool) -> None:
        page = opened("/", phone=phone)
        page.get_by_label("What is it?").fill("light bar")
        page.get_by_label("What does its label say?").fill("180 W")
        page.get_by_label("How far is it?").fill("5 m")
        answer = page.locator("#first-answer")
        expect(answer.locator(".said")).to_contain_text("180 W")
        expect(answer.locator(".big")).to_contain_text("mm²")
        if phone:
            expect(page.locator("#strip")).to_contain_text("mm²")
        answer.get_by_role("button", name="Keep as a job").click()
        expect(page).to_have_url(re.compile("/jobs/[a-z0-9]+$"))
        expect(page.locator("#job-text")).to_have_value(re.compile("180 W"))

    def test_catches_watts_in_the_place_of_amps(self, opened: Opened) -> None:
        page = opened("/", phone=True)
        page.get_by_label("What is it?").fill("reading light")
        page.get_by_label("What does its label say?").fill("60 A")
        expect(page.locator(".slip").first).to_contain_text("60 W")
        page.locator(".slip button").first.click()
        expect(page.get_by_label("What does its label say?")).to_have_value("60 W")

    def test_needs_no_script(self, opened: Opened) -> None:
        page = opened("/?kind=light+bar&label=180+W&distance=5+m", java_script_enabled=False)
        expect(page.locator("#first-answer .big")).to_contain_text("mm²")


class TestForms:
    @BOTH
    def test_a_field_changes_text_and_answer(self, opened: Opened, job: str, *, phone: bool) -> None:
        page = opened(f"/jobs/{job}", phone=phone)
        page.locator("#e-loads-honey-warmer > summary").click()
        page.locator("#i-loads-honey-warmer-claims-power").fill("250 W")
        expect(page.locator("#answer")).to_contain_text("250 W")
        expect(page.locator("#job-text")).to_have_value(re.compile("power: 250 W"))
        expect(page.locator("#state")).to_contain_text("Not saved yet")

    def test_what_would_not_do_is_said_at_the_field(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}")
        page.locator("#e-loads-honey-warmer > summary").click()
        field = page.locator("#i-loads-honey-warmer-claims-power")
        field.fill("250")
        field.blur()
        expect(page.locator("#i-loads-honey-warmer-claims-power-wrong")).to_contain_text("unit")
        expect(field).to_have_attribute("aria-invalid", "true")
        expect(page.locator("#job-text")).to_have_value(re.compile("power: 300 W"))

    def test_an_entry_is_added_filled_and_removed(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}")
        page.locator("#new-loads > summary").click()
        page.locator("#x-loads").fill("cab heater")
        page.locator("#x-loads-kind").select_option("heater")
        page.locator("#new-loads button").click()
        entry = page.locator("#e-loads-cab-heater")
        expect(entry).to_have_attribute("open", "")
        entry.locator("[data-key]").select_option("claims")
        entry.locator("[data-new]").first.fill("power: 80 W")
        entry.locator(".adding button").first.click()
        expect(page.locator("#i-loads-cab-heater-claims-power")).to_have_value("80 W")
        expect(page.locator("#answer")).to_contain_text("80 W")
        entry.locator(".naming").get_by_role("button", name="Remove").click()
        expect(page.locator("#e-loads-cab-heater")).to_have_count(0)

    def test_what_is_added_and_typed_faster_than_it_is_answered_is_not_lost(
        self, opened: Opened, job: str
    ) -> None:
        page = opened(f"/jobs/{job}", phone=True)
        page.route("**/api/edits", lambda route: (time.sleep(0.4), route.continue_()))
        page.locator("#new-places > summary").click()
        for name in ("roof rack", "step well"):
            page.locator("#x-places").fill(name)
            page.locator("#x-places-v").select_option("outside")
            page.locator("#new-places button").click()
        page.locator("#new-loads > summary").click()
        page.locator("#x-loads").fill("step light")
        expect(page.locator("#job-text")).to_have_value(re.compile("roof rack: outside"))
        expect(page.locator("#job-text")).to_have_value(re.compile("step well: outside"))
        expect(page.locator("#e-places-step-well")).to_have_count(1)
        expect(page.locator("#x-loads")).to_have_value("step light")
        expect(page.locator("#x-loads")).to_be_focused()
        expect(page.locator("#x-places")).to_have_value("")

    def test_an_example_stands_where_its_value_goes(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}")
        page.locator("#e-loads-hoist > summary").click()
        page.locator("#a-loads-hoist-key").select_option("measured")
        expect(page.locator("#a-loads-hoist")).to_have_attribute("placeholder", re.compile(r"^\d.* at "))
        expect(page.locator("#a-loads-hoist-hint")).not_to_be_empty()
        assert not page.locator("#a-loads-hoist-claims").get_attribute("placeholder")
        # A fact that is one of a few words is picked from a list of them, each with what it means.
        page.locator("#a-loads-hoist-key").select_option("state")
        page.locator("select#a-loads-hoist").select_option(label="there already, as found")
        page.locator("#e-loads-hoist .adding:has(#a-loads-hoist) button").click()
        expect(page.locator("#i-loads-hoist-state")).to_have_value("existing")

    def test_a_battery_is_asked_what_only_a_battery_has(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}", phone=True)
        page.locator("#new-supplies > summary").click()
        expect(page.locator("#x-supplies-capacity")).to_be_hidden()
        page.locator("#x-supplies-kind").select_option("battery")
        page.locator("#x-supplies").fill("second battery")
        page.locator("#x-supplies-chemistry").select_option(label="lithium iron phosphate (LFP)")
        page.locator("#x-supplies-capacity").fill("100 amp hours")
        page.locator("#x-supplies-cranking").fill("760 CCA")
        expect(page.locator("#x-supplies-rating")).to_be_hidden()
        page.locator("#new-supplies button").click()
        entry = page.locator("#e-supplies-second-battery")
        expect(entry.locator(".said")).to_contain_text("760 A SAE: CCA is the rating of SAE J537")
        expect(page.locator("#i-supplies-second-battery-capacity")).to_have_value("100 Ah")
        entry.locator("summary").first.click()
        expect(entry.locator(".brief")).to_have_text(
            "battery · lithium iron phosphate (LFP) · 100 Ah · 760 A SAE"
        )

    def test_a_list_of_facts_has_each_name_once(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}")
        page.locator("#e-circuits-hoist > summary").click()
        options = page.locator("#a-circuits-hoist-path-key option")
        expect(options.first).to_be_attached()
        names = options.all_text_contents()
        assert "fuse: rating" in names
        assert len(names) == len(set(names))

    @pytest.mark.parametrize("field", ["title", "system"])
    def test_a_press_that_leaves_a_field_is_not_lost(self, opened: Opened, job: str, field: str) -> None:
        page = opened(f"/jobs/{job}")
        page.locator(f"#i-{field}").click()
        expect(page.locator(f"#i-{field}-hint")).to_be_visible()
        button = page.locator("#new-supplies > summary")
        button.scroll_into_view_if_needed()
        box = button.bounding_box()
        assert box is not None
        page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        page.mouse.down()
        page.wait_for_timeout(50)
        page.mouse.up()
        expect(page.locator("#new-supplies")).to_have_attribute("open", "")

    def test_what_is_not_known_has_no_tick(self, opened: Opened, api: httpx.Client) -> None:
        text = "groundstrap: 1\ntitle: Rinsing\nsystem: 12 V\nloads: {water pump: {kind: pump}}\n"
        job = api.post("/api/jobs", json={"text": text}).json()["job_id"]
        page = opened(f"/jobs/{job}", phone=True)
        bar = page.locator("#strip .text")
        expect(bar).to_have_class(re.compile("is-clear"))
        page.locator("#e-loads-water-pump > summary").click()
        page.locator("#i-loads-water-pump-kind").focus()
        expect(bar).to_contain_text("water pump: unknown")
        expect(bar).to_have_class(re.compile("is-open"))
        page.locator("#i-title").focus()
        expect(bar).to_have_class(re.compile("is-clear"))

    def test_it_all_works_without_a_script(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}?open=e-loads-honey-warmer", java_script_enabled=False)
        page.locator("#i-loads-honey-warmer-claims-power").fill("250 W")
        page.locator("#e-loads-honey-warmer").get_by_role("button", name="Keep").click()
        expect(page.locator("#answer")).to_contain_text("250 W")
        expect(page.locator("#state")).to_contain_text("Revision 2")
        page.locator("#job-text").fill(page.locator("#job-text").input_value().replace("250 W", "260 W"))
        page.locator("#keep").get_by_role("button", name="Save").click()
        expect(page.locator("#state")).to_contain_text("Revision 3")


class TestText:
    @BOTH
    def test_a_fault_stands_at_its_line(self, opened: Opened, job: str, *, phone: bool) -> None:
        page = opened(f"/jobs/{job}", phone=phone)
        side(page, "text")
        area = page.locator("#job-text")
        area.fill(area.input_value().replace("power: 300 W", "power: 300"))
        fault = page.locator("#faults")
        expect(fault).to_contain_text("honey warmer", ignore_case=True)
        # What is too long for a phone is wrapped, and each number stands where its line begins.
        assert area.evaluate("each => each.scrollWidth - each.clientWidth") <= 0
        high = "each => each.scrollHeight"
        assert page.locator(".lines").evaluate(high) == area.evaluate(high)
        line = page.locator("#faults [data-line]").first.get_attribute("data-line")
        expect(page.locator(".lines b")).to_have_text([str(line)])
        page.locator("#faults [data-line]").first.click()
        begin = area.evaluate("each => each.value.slice(0, each.selectionStart).split('\\n').length")
        assert str(begin) == line
        area.fill(area.input_value().replace("power: 300,", "power: 310 W,"))
        expect(page.locator(".lines b")).to_have_count(0)
        expect(page.locator("#answer")).to_contain_text("310 W")

    def test_text_and_forms_follow_each_other(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}")
        page.locator("#e-loads-hoist > summary").click()
        expect(page.locator("#i-loads-hoist-claims-power")).to_have_value("900 W")
        side(page, "text")
        area = page.locator("#job-text")
        area.fill(area.input_value().replace("power: 900 W", "power: 950 W"))
        side(page, "forms")
        expect(page.locator("#i-loads-hoist-claims-power")).to_have_value("950 W")


def test_an_edit_asks_once_and_only_what_differs_is_put_in(opened: Opened, job: str) -> None:
    page = opened(f"/jobs/{job}")
    page.locator("#e-loads-hoist > summary").click()
    power = page.locator("#i-loads-hoist-claims-power")
    expect(power).to_be_visible()
    page.evaluate("document.querySelectorAll('#answer tr').forEach(each => { each.before = true; })")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url.rpartition("/")[2]))
    power.fill("930 W")
    expect(page.locator("#answer")).to_contain_text("930 W")
    assert asked == ["edits"]
    stayed = page.evaluate("[...document.querySelectorAll('#answer tr')].map(each => each.before === true)")
    assert sum(stayed) > len(stayed) / 2


class TestUndo:
    def test_by_button_and_by_key_and_after_a_reload(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}")
        side(page, "text")
        area = page.locator("#job-text")
        first = area.input_value()
        area.fill(first.replace("900 W", "910 W"))
        expect(page.locator("#answer")).to_contain_text("910 W")
        page.keyboard.press("Control+z")
        expect(area).to_have_value(first)
        page.keyboard.press("Control+y")
        expect(area).to_have_value(re.compile("910 W"))
        page.reload()
        expect(area).to_have_value(re.compile("910 W"))
        expect(page.locator("#state")).to_contain_text("is back")
        page.get_by_role("button", name="Undo").click()
        expect(area).to_have_value(first)
        expect(page.locator("#answer")).to_contain_text("900 W")


class TestSaving:
    def test_a_revision_is_kept(self, opened: Opened, job: str, api: httpx.Client) -> None:
        page = opened(f"/jobs/{job}")
        side(page, "text")
        area = page.locator("#job-text")
        area.fill(area.input_value().replace("900 W", "920 W"))
        page.get_by_placeholder("What changed").fill("other hoist")
        page.keyboard.press("Control+s")
        expect(page.locator("#state")).to_contain_text("revision 2")
        kept = api.get(f"/api/jobs/{job}/revisions/2").json()
        assert "920 W" in kept["text"]
        assert kept["note"] == "other hoist"
        page.reload()
        expect(page.locator("#state")).to_contain_text("evision 2")

    @BOTH
    def test_two_at_once_see_both(self, opened: Opened, job: str, api: httpx.Client, *, phone: bool) -> None:
        page = opened(f"/jobs/{job}", phone=phone)
        side(page, "text")
        area = page.locator("#job-text")
        text = area.input_value()
        theirs = text.replace("power: 900 W", "power: 800 W").replace("current: 9 A", "current: 8 A")
        saved = api.put(f"/api/jobs/{job}", json={"text": theirs, "based_on": 1, "who": "Ada"})
        assert saved.status_code == 200
        area.fill(text.replace("power: 900 W", "power: 950 W").replace("power: 27 W", "power: 28 W"))
        page.locator("#keep").get_by_role("button", name="Save").click()
        expect(page.get_by_role("heading", level=1)).to_contain_text("Somebody else saved")
        expect(page.locator("main")).to_contain_text("Ada")
        page.locator(".choice").get_by_text("Yours").click()
        page.get_by_role("button", name="Save both together").click()
        expect(page.locator("#state")).to_contain_text("evision 3")
        both = str(api.get(f"/api/jobs/{job}").json()["revision"]["text"])
        assert "power: 950 W" in both
        assert "current: 8 A" in both
        assert "power: 28 W" in both
        page.reload()
        expect(area).to_have_value(both)


def test_from_nothing_to_papers_on_a_phone(opened: Opened) -> None:
    """A cool box and a water pump in a camper, by one thumb: first look, a second load, saved, printed."""
    page = opened("/", phone=True)
    page.get_by_label("What is it?").fill("cool box")
    page.get_by_label("What does its label say?").fill("45W")
    page.get_by_label("How far is it?").fill("4,5 m")
    page.get_by_role("button", name="Keep as a job").click()
    page.locator("#new-loads > summary").click()
    page.locator("#x-loads").fill("water pump")
    page.locator("#x-loads-kind").select_option("pump")
    page.locator("#new-loads button").click()
    page.locator("#e-loads-water-pump [data-key]").select_option("claims")
    page.locator("#e-loads-water-pump [data-new]").first.fill("current: 4 A")
    page.locator("#e-loads-water-pump .adding button").first.click()
    expect(page.locator("#i-loads-water-pump-claims-current")).to_have_value("4 A")
    page.locator("#new-circuits > summary").click()
    page.locator("#x-circuits").fill("water pump")
    page.locator("#x-circuits-length").fill("3 m")
    page.locator("#new-circuits button").click()
    expect(page.locator('#answer tr[data-circuit="water pump"] [data-part=wire]')).to_contain_text("mm²")
    page.locator("#keep").get_by_role("button", name="Save").click()
    expect(page.locator("#state")).to_contain_text("revision 2")
    page.locator("nav.ways").get_by_role("link", name="Print").click()
    page.get_by_role("button", name="Make the papers").click()
    expect(page.locator("#pack")).to_contain_text("Ready", timeout=90_000)
    expect(page.locator('#pack a[href$="pack.pdf"]')).to_be_visible()
