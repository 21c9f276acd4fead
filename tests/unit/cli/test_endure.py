"""The command that runs the days: exit statuses of the contract, one object with --json, calls in words."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from groundstrap.cli import main

JOB = """groundstrap: 1
title: Van that sleeps outside
system: 12 V
supplies:
  battery: {kind: battery, chemistry: agm, capacity: 80 Ah, cranking: 760 A EN}
loads:
  fridge: {kind: compressor, claims: {power: 45 W}, works: 10.5..15 V}
  starter: {kind: starter, claims: {current: 170 A, temperature: 20 degC}, state: existing}
circuits:
  fridge: {length: 4 m}
  starter: {path: [battery, starter], return: [battery -], length: 1 m, wire: 50 mm2, state: existing}
day:
  - {driving: 1 h, using: [fridge]}
  - {resting: 3 h, using: [fridge]}  # the night
"""


def run(*args: str, job: str = JOB) -> Result:
    return CliRunner().invoke(main, ["endure", "-", *args], input=job)


def test_it_says_whether_it_starts_and_draws_the_course(tmp_path: Path) -> None:
    drawing = tmp_path / "days.svg"
    found = run("--svg", str(drawing))
    assert found.exit_code == 0, found.output
    assert "start on morning 1" in found.stdout
    assert "D driving; - resting" in found.stdout
    assert max(map(len, found.stdout.splitlines())) <= 80
    assert drawing.read_text(encoding="utf-8").startswith("<svg")


def test_json_is_one_object_of_the_contract() -> None:
    found = json.loads(run("--json").stdout)
    assert found["schema"] == "groundstrap.endure/1"
    assert {"timeline", "supplies", "unserved_wh", "energy_wh", "cures", "findings"} <= found.keys()
    assert found["supplies"]["battery"]["starts"]["can"] is True
    energy = found["energy_wh"]
    came, went = sum(energy["from"].values()), sum(energy["to"].values())
    stored, lost = sum(energy["stored"].values()), sum(energy["lost"].values())
    # The contract wants the sum to hold; a millionth of what passed is what the run promises.
    assert came == pytest.approx(went + stored + lost, rel=2e-6)


@pytest.mark.parametrize(
    ("args", "job", "says"),
    [
        (("--days", "0"), JOB, "1 to"),
        (("--temperature", "14"), JOB, "degC"),
        (("--temperature", "-70 degC"), JOB, "air that cold"),
        ((), JOB.replace("resting: 3 h", "mains: 3 h"), "mains charger"),
        ((), JOB.replace("resting: 3 h, using", "resting: 3 h, sun: 5 h, using"), "sun"),
        ((), JOB.replace("resting: 3 h, using: [fridge]", "resting: 3 h, using: [frige]"), "fridge"),
        ((), JOB.replace("resting: 3 h", "resting: 0 h"), "more than 0 h"),
        ((), JOB.replace("resting: 3 h", "resting: -3 h"), "never below zero"),
        ((), JOB.replace("resting: 3 h", "resting: 3 h, sun: 2 h"), "solar charger"),
        ((), JOB.replace("supplies:", "supplies:\n  alternator: none"), "nothing charges then"),
    ],
)
def test_days_that_make_no_sense_are_2_with_what_would_do(args: tuple[str, ...], job: str, says: str) -> None:
    found = run(*args, job=job)
    assert found.exit_code == 2
    assert says in found.stderr
    assert not found.stdout
