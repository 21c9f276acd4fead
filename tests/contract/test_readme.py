"""The README shows what the demo really prints, and its first job plans."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from groundstrap.api import endure, endure_text, plan, plan_text, read_job, read_job_file
from groundstrap.tables import BreakingCapacity, breaking_capacity

CURES = "WHAT CURES IT, each run again and judged by every rule with the change in it"


def _block(readme: str, mark: str) -> list[str]:
    found = re.search(rf"<!-- {mark} -->\n```text\n(.*?)\n```", readme, flags=re.S)
    assert found is not None, mark
    return found.group(1).splitlines()


@pytest.mark.parametrize("mark", ["head", "why"])
def test_the_output_shown_is_the_demo_s_own(repository: Path, mark: str) -> None:
    job = read_job_file(repository / "examples" / "hive-pickup.job.yaml")
    printed = [line.rstrip() for line in plan_text(plan(job)).splitlines()]
    shown = _block((repository / "README.md").read_text(encoding="utf-8"), mark)
    first = printed.index(shown[0])
    assert printed[first : first + len(shown)] == shown


def test_the_days_shown_are_the_command_s_own(repository: Path) -> None:
    """But for what cures it, which tests/golden/test_cures.py looks at: each is a run of its own."""
    job = read_job_file(repository / "examples" / "hive-pickup.job.yaml")
    answer = endure(job, days=3, temperature_c=-10.0, with_cures=False)
    printed = [line.rstrip() for line in endure_text(answer).splitlines()]
    shown = _block((repository / "README.md").read_text(encoding="utf-8"), "days")
    answers = shown[: shown.index(CURES) - 1]
    assert printed[: len(answers)] == answers


def test_the_smallest_job_is_sized_and_its_fuse_breaks_what_a_battery_feeds(repository: Path) -> None:
    readme = (repository / "README.md").read_text(encoding="utf-8")
    job = re.search(r"```yaml\n(groundstrap: 1\n.*?)```", readme, flags=re.S)
    assert job is not None
    made = plan(read_job(job.group(1)))
    wires = made.installation.circuits["work light"].wires
    assert all(wire.size is not None for wire in wires)
    stops = [f for f in made.judgement.findings if f.outcome.value == "fail" and f.level.value == "stop"]
    assert not stops
    assert made.exit_status == 0
    fuse = made.assessment.circuits["work light"].fuses["work light fuse"]
    breaks = breaking_capacity(fuse.family or "", 12.0)
    assert isinstance(breaks, BreakingCapacity)
    assert fuse.fault_most_a is not None
    assert fuse.fault_most_a <= breaks.interrupt_a
