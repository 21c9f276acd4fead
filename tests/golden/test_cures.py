"""The examples tell whether they start on the third morning at -10 degC; a cure works when written in."""

from __future__ import annotations

from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.assess import wire_up
from groundstrap.endure import endure
from tests.golden.cases import JOBS


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
    cure = next(each for each in found.answers.cures if each.holds)
    edits = [api.Edit(path=each.path, value=each.value) for each in cure.edits]
    planned = api.plan(api.read_job(api.edited(read.text, edits)))
    cured = endure(wire_up(planned.installation, planned.estimates), days=3, temperature_c=-10.0)
    assert cured.starts[-1].morning_after
    assert all(each.can for each in cured.starts)
