"""A bench and a browser for all tests of the pages; nothing may be asked for outside this machine."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator

import httpx
import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Request, sync_playwright

from tests.support.bench import PICKUP, running, visitor

PHONE = {"width": 390, "height": 844}
LAPTOP = {"width": 1280, "height": 800}
_ARGUMENTS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

Opened = Callable[..., Page]


@pytest.fixture(scope="session")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with running(tmp_path_factory.mktemp("bench")) as address:
        yield address


@pytest.fixture(scope="session")
def api(bench: str) -> Iterator[httpx.Client]:
    with visitor(bench) as client:
        yield client


# For a module, not for the session: while it is open no other test of the process can run a loop of its own.
@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    found = shutil.which("chromium")
    if found is None:
        pytest.skip("chromium is not installed (Debian package chromium): nothing to look with")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=_ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def job(api: httpx.Client) -> str:
    """The id of a job of twelve circuits that nobody else writes at."""
    return str(api.post("/api/jobs", json={"text": PICKUP}).json()["job_id"])


@pytest.fixture
def opened(bench: str, browser: Browser) -> Iterator[Opened]:
    """Opens a page; at the end nothing may have failed in it, or been asked for elsewhere."""
    contexts: list[BrowserContext] = []
    elsewhere: list[str] = []
    failed: list[str] = []

    def watch(request: Request) -> None:
        if not request.url.startswith((bench, "blob:", "data:")):
            elsewhere.append(request.url)

    def open_(address: str, *, phone: bool = False, **given: object) -> Page:
        context = browser.new_context(viewport=PHONE if phone else LAPTOP, has_touch=phone, **given)  # type: ignore[arg-type]
        context.set_default_timeout(20_000)
        context.on("request", watch)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: failed.append(str(error)))
        page.on("console", lambda said: failed.append(said.text) if "Security Policy" in said.text else None)
        page.goto(bench + address)
        return page

    yield open_
    for context in contexts:
        context.close()
    assert not elsewhere, "asked for outside this machine"
    assert not failed, "the page's own script failed, or the policy kept something out"
