"""Understanding an answer in the browser: drawing, workings, comparison, papers, revisions, photos."""

from __future__ import annotations

import io
import re

import httpx
import pytest
from PIL import Image
from playwright.sync_api import expect

from groundstrap.pack.document import SECTIONS
from groundstrap.web.pages.explained import PARTS
from tests.browser.conftest import Opened


def test_every_part_of_the_pack_can_be_chosen() -> None:
    assert set(PARTS) == set(SECTIONS)


class TestNumbers:
    def test_each_opens_its_working(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}")
        page.locator('#answer tr[data-circuit="hoist"] [data-part=drop] a.fig').click()
        expect(page.locator("#dialog")).to_contain_text("Rests on")
        expect(page.locator("#dialog")).to_contain_text("ΔU = I × R")
        page.keyboard.press("Escape")
        expect(page.locator("#dialog")).to_be_hidden()

    def test_a_term_is_explained_where_it_stands(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}/answer", phone=True)
        page.locator("#answer thead a.term").first.click()
        expect(page.locator("#dialog")).to_contain_text("One run of cable")

    def test_without_a_script_a_link_leads_there(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}/answer", java_script_enabled=False)
        page.locator('tr[data-circuit="hoist"] [data-part=drop] a.fig').click()
        expect(page).to_have_url(re.compile("/circuit/hoist#w-drop$"))
        expect(page.locator("#w-drop")).to_have_count(1)


class TestPictures:
    @pytest.mark.parametrize("phone", [True, False], ids=["390", "1280"])
    def test_a_circuit_shows_volts_and_curves(self, opened: Opened, job: str, *, phone: bool) -> None:
        page = opened(f"/jobs/{job}", phone=phone)
        page.locator('#answer tr[data-circuit="hoist"] th a').click()
        expect(page.locator("#answer .picture svg")).to_have_count(2)
        page.locator("#answer a.button", has_text="Change it").click()
        expect(page.locator("#e-circuits-hoist")).to_have_attribute("open", "")

    def test_a_load_shows_evidence_against_claim(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}/load/honey warmer", phone=True)
        expect(page.locator(".picture svg")).to_have_count(1)
        expect(page.locator("#answer")).to_contain_text("impossible")

    def test_the_drawing_leads_to_what_is_pressed(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}")
        page.locator("#shown [data-show=drawing]").click()
        part = page.locator('.picture [data-name="syrup pump"]').first
        expect(part).to_have_attribute("tabindex", "0")
        part.focus()
        page.keyboard.press("Enter")
        expect(page.locator("#e-loads-syrup-pump")).to_have_attribute("open", "")

    @pytest.mark.parametrize("key", ["", "Enter"], ids=["pressed", "by key"])
    @pytest.mark.parametrize("phone", [True, False], ids=["390", "1280"])
    def test_on_its_own_page_too(self, opened: Opened, job: str, key: str, *, phone: bool) -> None:
        page = opened(f"/jobs/{job}/drawing", phone=phone)
        # A circuit called hoist and one called hoist control: the wire is of the one with the whole name.
        for name, there in (
            ("hoist control wire 1", "/circuit/hoist%20control"),
            ("bed feed fuse", "/circuit/bed%20feed"),
            ("syrup pump", "/load/syrup%20pump"),
            ("bed isolator", "#e-gear-bed-isolator"),
            ("bed block 1", "#e-gear-bed-block"),
        ):
            part = page.locator(f'.picture [data-name="{name}"]').first
            expect(part).to_have_attribute("role", "link")
            if key:
                part.press(key)
            else:
                part.click()
            expect(page).to_have_url(re.compile(re.escape(there) + "$"))
            page.go_back()

    def test_what_leads_nowhere_is_no_link(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}/drawing", phone=True)
        expect(page.locator('.picture [data-name="hoist"]').first).to_have_attribute("role", "link")
        page.goto(page.url.partition("?")[0] + "?routes=1")
        # The page goes on to the narrow form by itself, and is no wider than the phone then.
        expect(page).to_have_url(re.compile("compact=1"))
        page.wait_for_function(
            "() => { const each = document.querySelector('.picture');"
            " return each.querySelectorAll('svg').length === 1 && each.scrollWidth <= each.clientWidth; }"
        )
        # Where no route is measured there is no form of it.
        expect(page.locator('.picture [data-name="headboard to bed"]')).to_have_attribute("role", "link")
        assert page.locator('.picture [data-name="battery tray, cab floor"][role]').count() == 0
        assert page.locator('.picture [data-name="headboard"]').get_attribute("tabindex") == "0"
        page.locator('.picture [data-name="headboard"]').press("Enter")
        expect(page).to_have_url(re.compile("#e-places-headboard$"))
        expect(page.locator("#e-places-headboard")).to_have_attribute("open", "")

    def test_what_is_pressed_is_named_in_the_language_of_the_page(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}", locale="de-DE")
        page.locator("#shown [data-show=drawing]").click()
        wire = page.locator('.picture [data-kind=wire][data-name="hoist wire 1"]').first
        expect(wire).to_have_attribute("aria-label", "Leitung hoist wire 1")
        page.locator("#answer [data-show=routes]").click()
        page.locator('.picture [data-name="headboard to bed"]').press("Enter")
        expect(page.locator('[data-name="headboard to bed"][data-entry-of]')).to_have_attribute("open", "")

    def test_a_phone_gets_one_column(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}/drawing", phone=True)
        expect(page.locator(".picture svg")).to_have_count(1)
        assert page.locator(".picture svg").bounding_box()["width"] <= 390  # type: ignore[index]


class TestTwoWays:
    def test_what_is_on_the_shelf_beside_what_was_chosen(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}/compare", phone=True)
        page.locator("#v-circuit").select_option("work lights")
        page.get_by_label("With").fill("4 AWG")
        page.locator("main").get_by_role("button", name="Compare", exact=True).click()
        expect(page.locator("#h-both")).to_be_visible()
        expect(page.locator("main")).to_contain_text("4 AWG")
        page.get_by_role("button", name="Save the other way").click()
        expect(page.locator("#job-text")).to_have_value(re.compile("4 AWG"))

    def test_a_value_that_would_not_do_is_refused_in_words(self, opened: Opened, job: str) -> None:
        page = opened(f"/jobs/{job}/compare", java_script_enabled=False)
        page.locator("#v-circuit").select_option("work lights")
        page.get_by_label("With").fill("a bit thicker")
        page.locator("main").get_by_role("button", name="Compare", exact=True).click()
        expect(page.locator(".faults")).to_be_visible()


def test_papers_are_made_with_progress_and_open(opened: Opened, job: str, bench: str) -> None:
    page = opened(f"/jobs/{job}/print", phone=True)
    page.get_by_label("Fuse map for the lid").check()
    page.get_by_role("button", name="Make the papers").click()
    expect(page.locator("#pack")).to_contain_text("Ready", timeout=60_000)
    links = page.locator("#pack a")
    addresses = [links.nth(number).get_attribute("href") for number in range(links.count())]
    assert any(each and each.endswith(".pdf") for each in addresses)
    for each in addresses:
        assert page.request.get(f"{bench}{each}").ok


def test_history_shows_and_restores(opened: Opened, job: str, api: httpx.Client) -> None:
    text = str(api.get(f"/api/jobs/{job}").json()["revision"]["text"])
    api.put(f"/api/jobs/{job}", json={"text": text.replace("900 W", "700 W"), "based_on": 1, "who": "Ada"})
    page = opened(f"/jobs/{job}/history")
    expect(page.locator(".diff ins").first).to_contain_text("700 W")
    page.locator(".jobs a", has_text="Revision 1").click()
    page.get_by_role("button", name="Bring revision 1 back").click()
    expect(page.locator("#job-text")).to_have_value(text)


def test_photos_come_and_go(opened: Opened, job: str) -> None:
    data = io.BytesIO()
    Image.new("RGB", (64, 48), "teal").save(data, "JPEG")
    page = opened(f"/jobs/{job}/photos", phone=True)
    page.locator("#photo").set_input_files(
        {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": data.getvalue()}
    )
    page.get_by_label("What it shows").fill("fuse box before")
    page.get_by_role("button", name="Add").click()
    image = page.locator(".photos img")
    expect(image).to_have_attribute("alt", "fuse box before")
    assert image.evaluate("each => each.decode().then(() => each.naturalWidth)") == 64
    page.get_by_role("button", name="Remove").click()
    expect(page.locator(".photos")).to_have_count(0)


def test_what_is_on_the_shelf_is_put_on_a_list(opened: Opened, job: str, api: httpx.Client) -> None:
    page = opened(f"/jobs/{job}/stock", phone=True)
    page.get_by_label("Put on the list").fill("4 AWG red 10 m")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.locator("tbody tr")).to_have_count(1)
    kept = api.get(f"/api/jobs/{job}").json()["revision"]
    assert "stock: stock.csv" in kept["text"]
    assert "4 AWG" in kept["files"]["stock.csv"]


def test_search_finds_by_vehicle(opened: Opened, job: str) -> None:
    page = opened("/?q=two-door+pickup")
    expect(page.locator(f'a[href="/jobs/{job}"]')).to_be_visible()
    page.goto(page.url.split("?")[0] + "?q=no+such+vehicle")
    expect(page.locator(".shelf")).to_contain_text("No job has all of these words")
