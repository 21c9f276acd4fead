"""Whatever the job, nothing on its drawings lies over a text or outside the page."""

from __future__ import annotations

import random

import pytest

from groundstrap.draw.compact import wiring_compact
from groundstrap.draw.routes import route_pages
from groundstrap.draw.wiring import PAPERS, wiring_pages
from tests.rules.sound_jobs import FRAMES, sound_job
from tests.support.big_jobs import big_job
from tests.support.drawn import faults_of, unjudged

JOBS = 480
BIG = 20
TOGETHER = 40


@pytest.mark.parametrize("first", range(0, JOBS, TOGETHER))
def test_drawings_of_random_jobs_are_legible(first: int) -> None:
    for number in range(first, first + TOGETHER):
        draft = sound_job(random.Random(number), FRAMES[number % len(FRAMES)])
        _judge(draft.text, number)


@pytest.mark.parametrize("number", range(BIG))
def test_drawings_of_jobs_with_odd_shapes_are_legible(number: int) -> None:
    _judge(big_job(number + 100, 12 + number % 8), number)


def _judge(text: str, number: int) -> None:
    plan = unjudged(text)
    paper = list(PAPERS)[number % 2]
    pages = (*wiring_pages(plan, paper=paper), wiring_compact(plan), *route_pages(plan, paper=paper))
    found = [(page.key, fault) for page in pages for fault in faults_of(page)]
    assert not found, (number, found[:5])
