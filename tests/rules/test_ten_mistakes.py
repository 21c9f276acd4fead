"""Whole jobs of our own: ten mistakes show as ten findings with what follows beneath, a clean job shows none.

The jobs are written by hand and judged as they stand. Each mistake is one that the trade reports (common
practice); in the files a numbered comment stands at each.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.checks import FindingOutcome, Judgement, Worst, trees, worst

JOBS = Path(__file__).parent / "jobs"

VAN = {
    ("PRT012", "charger out"),
    ("PRT006", "clock"),
    ("RET001", "tool charger - to return bar"),
    ("PRT001", "rear light fuse"),
    ("THM001", "iron fuse out to iron +"),
    ("VDP001", "fridge"),
    ("SWI001", "blower switch"),
    ("LOD003", "glue pot"),
    ("MAT001", "radio fuse out to radio +"),
    ("EXI001", "camera"),
}
BOAT = {
    ("BOA003", "main switch"),
    ("PLU003", "bow plug"),
    ("BOA002", "bilge pump"),
    ("PRT012", "engine"),
    ("BOA001", "mast light"),
    ("PRT005", "panel feed"),
    ("VDP003", "radio"),
    ("LOD004", "blower"),
    ("TRM003", "wash pump fuse out to wash switch in"),
    ("PRT003", "stereo"),
}


def _judged(name: str) -> Judgement:
    return api.check(api.read_job_file(JOBS / f"{name}.job.yaml")).judgement


@pytest.mark.parametrize(("name", "mistakes"), [("ten-van", VAN), ("ten-boat", BOAT)])
def test_ten_mistakes_are_ten_findings_and_all_else_follows_from_them(
    name: str, mistakes: set[tuple[str, str]]
) -> None:
    judgement = _judged(name)
    found = trees(judgement.findings)
    assert {(tree.root.rule, tree.root.where) for tree in found} == mistakes
    assert len(found) == 10
    assert all(f.outcome is FindingOutcome.FAIL for f in judgement.findings)
    assert sum(1 + len(tree.consequences) for tree in found) == judgement.counts.failed
    assert worst(judgement) is Worst.STOP


def test_each_mistake_has_its_own_consequences_beneath_it() -> None:
    beneath = {
        tree.root.rule: {(f.rule, f.circuit) for f in tree.consequences}
        for tree in trees(_judged("ten-van").findings)
    }
    assert ("PRT013", "clock") in beneath["PRT006"]
    assert ("PRT001", "tool charger") in beneath["RET001"]
    assert {("PRT001", "iron"), ("VDP001", "iron")} <= beneath["THM001"]
    # The same 30 A are too much for the own lead that nobody wrote.
    assert beneath["PRT001"] == {("LOD010", "rear light")}


def test_the_verdict_at_a_glance_counts_the_ten() -> None:
    text = api.plan_text(api.check(api.read_job_file(JOBS / "ten-van.job.yaml")))
    assert "Do not build it like this: 6 stops, 4 cautions." in text


@pytest.mark.parametrize("name", ["clean-lamp", "clean-van"])
def test_a_clean_job_shows_no_finding_of_any_kind(name: str) -> None:
    judgement = _judged(name)
    assert not judgement.findings
    assert judgement.counts.passed > 10
    assert worst(judgement) is Worst.CLEAR


def test_the_larger_clean_job_has_twelve_circuits_with_two_wires_each_and_their_negatives() -> None:
    installation = api.read_job_file(JOBS / "clean-van.job.yaml").installation
    assert len(installation.circuits) == 14
    assert sum(bool(circuit.loads) for circuit in installation.circuits.values()) == 10
