"""The text for a terminal: it fits, says both limits, and loses nothing without colour."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.report.plan import Plan

EXAMPLES = sorted((Path(__file__).resolve().parents[3] / "examples").glob("*.job.yaml"))
examples = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)


@cache
def plan_of(path: Path) -> Plan:
    return api.plan(api.read_job_file(path))


@examples
@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_line_fits_80_columns(path: Path, units: str) -> None:
    texts = (
        api.plan_text(plan_of(path), units=units),
        api.vet_text(api.vet(api.read_job_file(path))),
        api.plan_text(api.check(api.read_job_file(path)), units=units),
    )
    for text in texts:
        assert [line for line in text.splitlines() if len(line) > 80] == []


@examples
def test_no_word_of_the_machine_stands_in_the_text(path: Path) -> None:
    text = api.plan_text(plan_of(path)) + api.vet_text(api.vet(api.read_job_file(path)))
    assert re.findall(r"\bNone\b|\bnan\b|\binf\b|<|>|\d\.\d{6,}|\.\. ", text) == []


@examples
def test_colour_is_only_an_extra(path: Path) -> None:
    plain, coloured = (api.plan_text(plan_of(path), colour=colour) for colour in (False, True))
    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain


@examples
def test_the_answer_stands_before_its_reasons(path: Path) -> None:
    text = api.plan_text(plan_of(path))
    order = [
        text.index(title) for title in ("CIRCUITS:", "LOADS:", "WHY, circuit", "ORDER OF WORK", "ASSUMED")
    ]
    assert order == sorted(order)
    assert text.startswith(plan_of(path).installation.title)


@examples
def test_every_circuit_tells_both_limits_and_its_window(path: Path) -> None:
    plan = plan_of(path)
    text = " ".join(api.plan_text(plan).split())
    explained = text[text.index("WHY, circuit by circuit") : text.index("PARTS, as laid")]
    for name, found in plan.assessment.circuits.items():
        assert f" {name}" in explained
        if found.drop.limit_v is not None and found.drop.drop_v is not None:
            assert f"{found.drop.drop_v:.2f} V" in explained
        for fuse in found.fuses.values():
            if fuse.rating_a is not None:
                assert f"fuse {fuse.rating_a:g} A" in explained


@examples
def test_every_finding_is_told(path: Path) -> None:
    plan = plan_of(path)
    text = api.plan_text(plan)
    untold = [f.rule for f in plan.judgement.findings if f.rule not in text and f.slug != "claim-not-met"]
    assert not untold


@examples
def test_every_assumption_is_told(path: Path) -> None:
    text = " ".join(api.plan_text(plan_of(path)).split())
    assert not [each for each in plan_of(path).assumptions if each.where not in text]


def test_sizes_are_shown_in_both_ways() -> None:
    metric, us = (api.plan_text(plan_of(EXAMPLES[0]), units=units) for units in ("metric", "us"))
    assert re.search(r"\d mm2 \(~\d+(/0)? AWG\)", metric)
    assert re.search(r"\d+ ft of", us)
    assert "degF" in us
    assert "degF" not in metric


def test_a_table_is_never_cut() -> None:
    for name in api.tables():
        assert "~" not in "".join(re.findall(r"\S~$", api.table_text(api.table(name)), flags=re.MULTILINE))
