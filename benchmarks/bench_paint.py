"""How long after a keystroke the new answer is painted, and what a first load takes, in headless Chromium.

`python benchmarks/bench_paint.py [KEYSTROKES]`: a job of twelve circuits is opened, one number of one load is
changed again and again, each time to another value; the time runs from the input event to the frame after
the answer has been put into the page.
"""

from __future__ import annotations

import re
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from tests.support.bench import PICKUP, running, visitor

ARGUMENTS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]
ONE = """([selector, value]) => new Promise(resolve => {
  const field = document.querySelector(selector), box = document.querySelector('#answer');
  let begun = 0;
  const seen = new MutationObserver(() => {
    if (!box.querySelector('.verdict')) return;
    seen.disconnect();
    requestAnimationFrame(() => setTimeout(() => resolve(performance.now() - begun)));
  });
  seen.observe(box, {childList: true, subtree: true});
  begun = performance.now();
  field.value = value;
  field.dispatchEvent(new Event('input', {bubbles: true}));
})"""


def keystrokes(page: Page, count: int, *, in_text: bool) -> list[float]:
    """Return the milliseconds of each, in the text or in a field of a form."""
    times = []
    text = page.locator("#job-text").input_value()
    for number in range(count + 5):
        watts = (850 if in_text else 760) + number
        value = re.sub(r"power: \d+ W", f"power: {watts} W", text, count=1) if in_text else f"{watts} W"
        selector = "#job-text" if in_text else "#i-loads-hoist-claims-power"
        times.append(page.evaluate(ONE, [selector, value]))
        page.wait_for_timeout(30)
    return times[5:]


def told(what: str, times: list[float]) -> None:
    """Print median and 95th percentile."""
    ordered = sorted(times)
    last = ordered[int(0.95 * (len(ordered) - 1))]
    print(f"{what:38} median {statistics.median(times):6.1f} ms, p95 {last:6.1f} ms, {len(times)} keystrokes")


def main() -> None:
    """Measure, and print what came out."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    with (
        tempfile.TemporaryDirectory() as folder,
        running(Path(folder)) as bench,
        sync_playwright() as playwright,
    ):
        with visitor(bench) as api:
            job = api.post("/api/jobs", json={"text": PICKUP}).json()["job_id"]
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=ARGUMENTS)
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        page.goto(f"{bench}/jobs/{job}")
        page.locator("#e-loads-hoist > summary").click()
        page.locator("#i-loads-hoist-claims-power").wait_for()
        told("12 circuits, a field of a form:", keystrokes(page, count, in_text=False))
        page.locator("[data-pane=text]").click()
        page.wait_for_timeout(800)
        told("12 circuits, the text:", keystrokes(page, count, in_text=True))
        for address in ("/", f"/jobs/{job}"):
            fresh = browser.new_context(viewport={"width": 390, "height": 844}).new_page()
            begun = time.perf_counter()
            fresh.goto(bench + address, wait_until="load")
            took = time.perf_counter() - begun
            sizes = fresh.evaluate("performance.getEntries().map(each => each.transferSize ?? 0)")
            print(f"first load of {address[:6]:8} {took:.2f} s, {sum(sizes) / 1000:.0f} kB")
        browser.close()


if __name__ == "__main__":
    main()
