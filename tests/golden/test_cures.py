"""The examples tell whether they start on the third morning at -10 degC; a cure works when written in."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.assess import wire_up
from groundstrap.endure import endure
from tests.golden.cases import JOBS

CURES = "WHAT CURES IT, each run again and judged by every rule with the change in it"


@pytest.mark.slow  # 22 s of one processor: each change that is tried is a plan and a run of its own
@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.stem)
def test_the_third_cold_morning_and_what_cures_it(job: Path) -> None:
    read = api.read_job_file(job, job.name)
    found = api.endure(read, days=3, temperature_c=-10.0)
    start = found.last_start
    assert start is not None
    assert start.morning_after
    assert start.asks_known
    assert not start.can
    assert start.holds_a < start.asks_a
    if job.stem == "hive-pickup":
        _shown_in_the_readme(found, job.parent.parent / "README.md")
    cure = next(each for each in found.answers.cures if each.holds)
    edits = [api.Edit(path=each.path, value=each.value) for each in cure.edits]
    planned = api.plan(api.read_job(api.edited(read.text, edits)))
    cured = endure(wire_up(planned.installation, planned.estimates), days=3, temperature_c=-10.0)
    assert cured.starts[-1].morning_after
    assert all(each.can for each in cured.starts)


def _shown_in_the_readme(found: api.EnduranceAnswer, readme: Path) -> None:
    """The cures of the README are those of the command: all of them, in its words."""
    block = re.search(r"<!-- days -->\n```text\n(.*?)\n```", readme.read_text(encoding="utf-8"), flags=re.S)
    assert block is not None
    shown = block[1].splitlines()
    shown = shown[shown.index(CURES) :]
    printed = [line.rstrip() for line in api.endure_text(found).splitlines()]
    first = printed.index(shown[0])
    assert printed[first : first + len(shown)] == shown
    assert sum(line.startswith("  - ") for line in shown) == len(found.answers.cures)
