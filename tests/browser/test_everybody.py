"""For everybody: WCAG 2.2 AA on every screen, a phone in one hand, light and dark, another language."""

from __future__ import annotations

import asyncio
import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import httpx
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

import groundstrap.web
from groundstrap.web import Settings, create_app
from groundstrap.web.signing import hashed
from tests.browser.conftest import Opened
from tests.support.bench import PASSPHRASE

SCREENS = (
    "/",
    "/?kind=light+bar&label=180+W&distance=12,5+m+there+and+back",
    "/jobs/{job}?open=e-loads-honey-warmer",
    "/jobs/{job}/answer",
    "/jobs/{job}/circuit/hoist",
    "/jobs/{job}/load/honey warmer",
    "/jobs/{job}/drawing",
    "/jobs/{job}/days",
    "/jobs/{job}/meter?about=load+honey+warmer&meter=handheld",
    "/jobs/{job}/compare",
    "/jobs/{job}/print",
    "/jobs/{job}/stock",
    "/jobs/{job}/history",
    "/jobs/{job}/photos",
    "/terms",
    "/rules",
    "/rules/PRT001",
    "/removed",
    "/nosuch",
    "/sign-in",
)
STATIC = Path(groundstrap.web.__file__).parent / "static"
# Only what is broken is worked out in full: the same violations for half the work.
_RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    "resultTypes": ["violations"],
}

_SMALL = """() => [...document.querySelectorAll('button, input, select, summary, a.button, nav.ways a')]
  .filter(each => each.checkVisibility() && !each.closest('.out-of-sight'))
  .map(each => [each.getBoundingClientRect(), each])
  .filter(([box, each]) => box.height > 1 && box.height < 43.5)
  .filter(([, each]) => !['checkbox', 'radio', 'hidden'].includes(each.type))
  .map(([box, each]) => `${each.tagName} ${each.className} ${each.textContent.trim()} ${box.height}`)"""
_OVERLAPS = """() => {
  const typed = 'main input, main select, main textarea, main button, main summary';
  const seen = [...document.querySelectorAll(typed)]
    .filter(each => each.checkVisibility() && each.type !== 'hidden')
    .map(each => [each, each.getBoundingClientRect()]).filter(([, box]) => box.width && box.height);
  const found = [];
  seen.forEach(([one, a], n) => seen.slice(n + 1).forEach(([other, b]) => {
    if (one.contains(other) || other.contains(one)) return;
    if (one.closest('.editor') || other.closest('.editor')) return;
    const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
    const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
    if (across > 2 && down > 2) found.push(`${one.id || one.textContent} / ${other.id || other.textContent}`);
  }));
  return found;
}"""

_BROKEN = """() => {
  const found = [], walk = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT);
  for (let node; (node = walk.nextNode());) {
    const cell = node.parentElement.closest('td, th');
    if (!cell?.checkVisibility() || node.parentElement.closest('.out-of-sight, .named .sign')) continue;
    for (const word of node.data.matchAll(/[^\\s-]+/g)) {
      const range = document.createRange();
      range.setStart(node, word.index);
      range.setEnd(node, word.index + word[0].length);
      const lines = new Set([...range.getClientRects()].map(each => Math.round(each.top)));
      if (lines.size > 1) found.push(word[0]);
    }
  }
  return found;
}"""


@pytest.fixture(scope="module")
def sign_in() -> str:
    """The page of a bench that is shared, with what stands there after a wrong passphrase."""

    async def asked() -> str:
        app = create_app(Settings(secret=bytes(32), shelf="sqlite://", passphrase_hash=hashed(PASSPHRASE)))
        transport = httpx.ASGITransport(app=app)
        async with httpx.AsyncClient(transport=transport, base_url="http://127.0.0.1") as client:
            token = (await client.get("/api/session")).json()["token"]
            given = {"csrf": token, "passphrase": "not this one", "who": "Ada"}
            found = await client.post("/sign-in", data=given, headers={"Accept": "text/html"})
        assert found.status_code == 401
        return found.text

    # The browser has a loop of its own in this thread.
    with ThreadPoolExecutor(1) as beside:
        return beside.submit(lambda: asyncio.run(asked())).result()


def settled(page: Page) -> None:
    """Wait until no answer is under way."""
    expect(page.locator('[aria-busy="true"]')).to_have_count(0)
    page.wait_for_load_state("networkidle")


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize(
    ("scheme", "phone"), [("light", True), ("dark", False)], ids=["light 390", "dark 1280"]
)
def test_a_screen(
    opened: Opened, job: str, bench: str, sign_in: str, screen: str, scheme: str, *, phone: bool
) -> None:
    page = opened(screen.format(job=job), phone=phone, color_scheme=scheme)
    if screen == "/sign-in":
        page.route(f"{bench}/sign-in", lambda route: route.fulfill(body=sign_in, content_type="text/html"))
        page.goto(f"{bench}/sign-in")
        expect(page.locator("#s-pass")).to_be_visible()
    settled(page)
    found = Axe().run(page, options=_RULES)
    assert not found.response["violations"], found.generate_report()
    width = page.viewport_size["width"]  # type: ignore[index]
    assert page.evaluate("document.documentElement.scrollWidth") == width
    assert page.evaluate(_OVERLAPS) == []
    if phone:
        assert page.evaluate(_SMALL) == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_contrast_in_the_other_width(opened: Opened, job: str, scheme: str) -> None:
    page = opened(f"/jobs/{job}", phone=scheme == "dark", color_scheme=scheme)
    settled(page)
    page.locator("[data-pane=text]").click()
    area = page.locator("#job-text")
    area.fill(area.input_value().replace("900 W", "900"))
    expect(page.locator("#faults .faults")).to_be_visible()
    settled(page)
    found = Axe().run(page, options=_RULES)
    assert not found.response["violations"], found.generate_report()


def test_the_bar_has_the_state_without_a_script(opened: Opened, job: str) -> None:
    page = opened(f"/jobs/{job}", phone=True, java_script_enabled=False)
    expect(page.locator("#strip .text.is-clear")).to_contain_text("Nothing stops")


def test_light_or_dark_is_chosen_without_a_script(opened: Opened) -> None:
    page = opened("/", java_script_enabled=False, color_scheme="light")
    page.locator("header .menu summary").click()
    page.get_by_label("Light or dark", exact=True).select_option("dark")
    page.get_by_role("button", name="Set").click()
    expect(page.locator("html")).to_have_attribute("data-theme", "dark")
    assert (
        page.locator("body").evaluate("each => getComputedStyle(each).backgroundColor") == "rgb(22, 25, 27)"
    )


def test_the_keyboard_alone_is_enough(opened: Opened, job: str) -> None:
    page = opened(f"/jobs/{job}")
    page.keyboard.press("Tab")
    expect(page.locator(".skip")).to_be_focused()
    page.keyboard.press("Enter")
    page.locator("#e-loads-hoist > summary").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#i-loads-hoist-claims-power")).to_be_visible()
    ring = page.locator("#e-loads-hoist > summary").evaluate("each => getComputedStyle(each).outlineWidth")
    assert ring == "3px"


def test_german_by_the_browsers_word(opened: Opened, job: str) -> None:
    page = opened(f"/jobs/{job}/answer", phone=True, locale="de-DE")
    expect(page.locator("html")).to_have_attribute("lang", "de")
    expect(page.locator("#answer")).to_contain_text(re.compile(r"\d,\d\s%"))
    assert page.evaluate("document.documentElement.scrollWidth") == 390


@pytest.mark.parametrize("locale", ["en-GB", "de-DE"])
@pytest.mark.parametrize("screen", ["answer", "circuit/hoist", "load/honey warmer", "compare"])
def test_no_word_of_a_table_is_broken(opened: Opened, job: str, locale: str, screen: str) -> None:
    page = opened(f"/jobs/{job}/{screen}", phone=True, locale=locale)
    if screen == "compare":
        page.locator("#v-circuit").select_option("work lights")
        page.locator("#v-value").fill("4 AWG")
        page.locator("main button.main").click()
    settled(page)
    page.evaluate("document.querySelectorAll('main details').forEach(each => { each.open = true; })")
    expect(page.locator("main table").first).to_be_visible()
    assert page.evaluate(_BROKEN) == []
    assert page.evaluate("document.documentElement.scrollWidth") == 390


def test_on_paper_only_the_sheet_is_left(opened: Opened, job: str) -> None:
    page = opened(f"/jobs/{job}/answer", color_scheme="dark")
    page.emulate_media(media="print")
    expect(page.locator("nav.ways")).to_be_hidden()
    assert (
        page.locator("body").evaluate("each => getComputedStyle(each).backgroundColor")
        == "rgb(255, 255, 255)"
    )


def test_a_first_load_is_small(opened: Opened, job: str) -> None:
    page = opened(f"/jobs/{job}")
    settled(page)
    sizes = page.evaluate(
        "performance.getEntries().filter(each => each.transferSize)"
        ".map(each => [each.name, each.transferSize])"
    )
    assert sum(size for _, size in sizes) < 300_000, sizes
    assert (STATIC / "bench.js").stat().st_size <= 25_600
    assert (STATIC / "bench.css").stat().st_size <= 25_600
    assert (STATIC / "meter.js").stat().st_size <= 6_144
