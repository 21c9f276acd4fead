"""A usual day takes a written run and its period for how often a load runs, and says so where that drains."""

from __future__ import annotations

import pytest

from groundstrap.api import endure
from groundstrap.job import read_job
from groundstrap.report.endurance_words import answer_rows
from groundstrap.report.figures import Display

WINDLASS = """groundstrap: 1
title: windlass
system: 12 V
supplies: {battery: {kind: battery, chemistry: agm, capacity: 200 Ah}, alternator: none}
loads: {windlass: {kind: motor, claims: {power: 1000 W}, duty: {run: 3 min, every: 1 h}}}
circuits: {windlass: {path: [battery, fuse, windlass], length: 2 m}}
"""
OWN_DAY = "day:\n  - {resting: 9 h, using: [windlass]}\n"


@pytest.mark.parametrize(("day", "times"), [("", 1), (OWN_DAY, 0)])
def test_what_a_duty_drains_at_rest_is_told(day: str, times: int) -> None:
    # Own judgement: a run and a period may be meant for heat alone, so what they cost at rest is said.
    answer = endure(read_job(WINDLASS + day), days=1, with_cures=False)
    rows = [row.told for row in answer_rows(answer, Display()) if row.key == "by_duty windlass"]
    assert [" Ah, as its `duty` says day and night" in row for row in rows] == [True] * times
    assumed = [one.value for one in answer.assumptions if one.where == "windlass: runs at rest"]
    assert assumed == ["3 min of every 60 min"] * times
