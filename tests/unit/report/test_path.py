"""Every part of the path stands in the plan, text and JSON, with what passes it and what is left."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from groundstrap import api
from groundstrap.model import Passage
from groundstrap.report.plan import Plan

EXAMPLES = sorted((Path(__file__).resolve().parents[3] / "examples").glob("*.job.yaml"))
examples = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)


@cache
def plan_of(path: Path) -> Plan:
    return api.plan(api.read_job_file(path))


@cache
def tables_of(path: Path) -> dict[str, list[str]]:
    """Circuit -> the lines of its path, as the text has them."""
    text = api.plan_text(plan_of(path))
    why = text[text.index("WHY, circuit by circuit") : text.index("\nPARTS, ")]
    found = {}
    for block in why.split("\n\n")[1:]:
        lines = block.splitlines()
        head = next((n for n, line in enumerate(lines) if line.startswith("    path, A ")), None)
        name = re.split(r" \(existing\)|: ", lines[0].strip())[0]
        found[name] = [] if head is None else lines[head + 1 :]
    return found


@cache
def circuits_of(path: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(api.plan_json(plan_of(path)))["circuits"]
    return found


@examples
def test_every_wire_and_part_has_its_line(path: Path) -> None:
    plan = plan_of(path)
    for name, lines in tables_of(path).items():
        circuit = plan.installation.circuits[name]
        pieces = [each for each in circuit.path + circuit.back if not isinstance(each, Passage)]
        figures = [line for line in lines if line.endswith(("mV", "?"))]
        assert len(figures) == len(pieces), name
        loads = [line for line in lines if line.startswith("      = ")]
        assert len(loads) == len(circuit.loads), name


@examples
def test_every_block_with_a_rating_has_one_line_in_the_whole_plan(path: Path) -> None:
    plan = plan_of(path)
    every = [line for lines in tables_of(path).values() for line in lines]
    on_paths = {
        each.name
        for circuit in plan.installation.circuits.values()
        for each in circuit.path
        if isinstance(each, Passage) and each.name in plan.assessment.gear
    }
    for name in on_paths:
        rated = plan.installation.gear[name].rating_a
        lines = [line for line in every if rated and line.startswith(f"      {name} {rated:g} A")]
        assert len(lines) == (1 if rated else 0), name


@examples
def test_a_margin_is_what_is_left_of_the_limit(path: Path) -> None:
    seen = 0
    for circuit in circuits_of(path).values():
        for step in circuit["path"] + circuit.get("return", []):
            if "margin_pct" in step:
                left = 100 * (step["limit_a"] - step["through_a"]) / step["limit_a"]
                assert step["margin_pct"] == pytest.approx(left, abs=1e-6)
                seen += 1
            if step["part"] == "wire" and "ampacity_a" in step:
                assert step["limit_a"] == step["ampacity_a"]
            if "start_a" in step:
                assert step["start_a"] >= step["through_a"] * (1 - 1e-9)
    assert seen >= 20


@examples
def test_what_can_not_be_told_is_named(path: Path) -> None:
    for circuit in circuits_of(path).values():
        for step in circuit["path"] + circuit.get("return", []):
            if step["part"] not in {"wire", "fuse", "breaker", "switch", "isolator", "relay", "connector"}:
                continue
            for key in ("through_a", "limit_a", "margin_pct", "start_a"):
                assert (key in step) != (key in step.get("unknown", [])), step


def test_the_volts_along_a_path_add_up_to_the_drop_of_its_circuit() -> None:
    # Kirchhoff: the hoist hangs on the battery's own posts, so nothing else lies between.
    hoist = circuits_of(next(path for path in EXAMPLES if path.stem.startswith("hive")))["hoist"]
    along = sum(step.get("drop_v", 0.0) for step in hoist["path"] + hoist["return"])
    assert along == pytest.approx(hoist["drop_v"], rel=1e-6)


def test_a_written_start_counts_as_it_is_and_a_usual_one_is_marked() -> None:
    # The job has the hoist take 240 A at its start; of the syrup pump nobody wrote one.
    path = next(path for path in EXAMPLES if path.stem.startswith("hive"))
    hoist, pump = (circuits_of(path)[name]["path"] for name in ("hoist", "syrup pump"))
    wires = [step for step in hoist if step["part"] == "wire"]
    assert [step["start_a"] for step in wires] == pytest.approx([240.0] * len(wires))
    assert not [step for step in wires if "start_origin" in step]
    assert {step["start_origin"] for step in pump if step["part"] == "wire"} == {"assumed"}
    assert not [line for line in tables_of(path)["hoist"] if "~" in line]
    assert [line for line in tables_of(path)["syrup pump"] if "~" in line]


def test_what_nobody_knows_shows_as_a_question_mark() -> None:
    text = (EXAMPLES[0].parent / "hive-pickup.job.yaml").read_text(encoding="utf-8")
    checked = api.check(api.read_job(text))
    lines = [line for line in api.plan_text(checked).splitlines() if line.startswith("      wire ?, ")]
    assert lines
    assert all(line.split()[-1] in {"?", "mV"} and " ? " in line for line in lines)
