"""On paper no text stands on another, under a field or a line, or off the page: PDFs of examples, 500 jobs.

Positions are those that a library for reading PDF finds, not those that the typesetter meant.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.pack.content import Document, Section
from groundstrap.pack.document import SECTIONS, Wanted, document
from groundstrap.pack.typeset.pdf import Setting, pdf
from groundstrap.report.figures import Display
from groundstrap.report.language import language
from groundstrap.report.plan import Plan
from tests.rules.sound_jobs import FRAMES, sound_job
from tests.support.big_jobs import big_job
from tests.support.drawn import unjudged
from tests.support.pdf import Page, crossed, overlaps, pages

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.job.yaml"))
JOBS = 500
AT_ONCE = 50
"""Jobs in one PDF, each with one section: reading and setting 500 of them one by one only takes longer."""
SHARED = tuple(key for key in SECTIONS if key not in {"changes"})


@cache
def planned(path: Path) -> Plan:
    return api.plan(api.read_job_file(path))


def wrong(found: Page, number: int) -> Iterator[str]:
    for one, other in overlaps(found):
        yield f"page {number}: {one.text!r} and {other.text!r} at {one.left:.0f}, {one.bottom:.0f}"
    for word, shape in crossed(found):
        yield f"page {number}: {word.text!r} is crossed at {shape.left:.0f}, {shape.top:.0f}"
    for word in found.outside:
        yield f"page {number}: {word.text!r} leaves the page"


def faults(made: bytes) -> list[str]:
    return [told for number, page in enumerate(pages(made), 1) for told in wrong(page, number)]


@pytest.mark.parametrize(
    ("paper", "units", "code"), [("a4", "metric", "en"), ("letter", "us", "en"), ("a4", "metric", "de")]
)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name)
def test_the_pack_of_an_example(path: Path, paper: str, units: str, code: str) -> None:
    plan = planned(path)
    said = language(code)
    wanted = Wanted(shown=Display.of(plan.installation, units), paper=paper, language=said)
    assert not faults(pdf(document(plan, wanted), Setting(paper=paper, language=said)))


def job_text(number: int) -> str:
    rng = random.Random(number)
    if number % 50 == 0:
        return big_job(number, 10 + number % 31)
    return sound_job(rng, FRAMES[number % len(FRAMES)]).text


def some_sections(first: int) -> Iterator[Section]:
    for number in range(first, first + AT_ONCE):
        plan = unjudged(job_text(number))
        wanted = Wanted(shown=Display.of(plan.installation))
        yield from document(plan, wanted, (SHARED[number % len(SHARED)],)).sections


@pytest.mark.parametrize("first", range(0, JOBS, AT_ONCE))
def test_sections_of_random_jobs(first: int) -> None:
    whole = Document(title="Random jobs", fingerprint="0", sections=tuple(some_sections(first)))
    assert not faults(pdf(whole, Setting(cover=False)))
