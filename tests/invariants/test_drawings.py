"""Whatever the job, sound or flawed: nothing on its drawings lies over a text or outside the page."""

from __future__ import annotations

import random
from collections import Counter

import pytest

from groundstrap.draw.compact import wiring_compact
from groundstrap.draw.routes import route_pages
from groundstrap.draw.wiring import PAPERS, wiring_pages
from tests.rules.flawed import flawed_job
from tests.rules.sound_jobs import FRAMES, sound_job
from tests.support.big_jobs import big_job
from tests.support.drawn import faults_of, unjudged

JOBS = 490
BIG = 10
TOGETHER = 35


@pytest.mark.parametrize("first", range(0, JOBS, TOGETHER))
def test_drawings_of_random_jobs_are_legible(first: int) -> None:
    for number in range(first, first + TOGETHER):
        if number % 2:
            _judge(flawed_job(number // 2).text, number)
        else:
            _judge(sound_job(random.Random(number), FRAMES[number // 2 % len(FRAMES)]).text, number)


@pytest.mark.parametrize("number", range(BIG))
def test_drawings_of_jobs_with_odd_shapes_are_legible(number: int) -> None:
    _judge(big_job(number + 100, 12 + number % 8), number)


def _judge(text: str, number: int) -> None:
    plan = unjudged(text)
    paper = list(PAPERS)[number // 2 % 2]
    pages = (*wiring_pages(plan, paper=paper), wiring_compact(plan), *route_pages(plan, paper=paper))
    found = [(page.key, fault) for page in pages for fault in faults_of(page)]
    assert not found, (number, found[:5])
    drawn = Counter(g.name for page in pages for g in page.groups if g.kind in {"wire", "load", "part"})
    circuits = plan.installation.circuits.values()
    names = [each.name for circuit in circuits for each in (*circuit.wires, *circuit.parts)]
    # Once on the sheets and once in the column for a phone.
    assert drawn == Counter(2 * [*names, *plan.installation.loads]), number
