"""The netlist of a pack, run in ngspice, gives the volts of the pack to a millivolt."""

from __future__ import annotations

import random
import re
import subprocess
from pathlib import Path

from groundstrap import api
from groundstrap.pack.lists.netlist import netlist
from groundstrap.report.plan import Plan
from tests.rules.sound_jobs import FRAMES, sound_job

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.job.yaml"))
SAMPLES = sorted((Path(__file__).resolve().parents[1] / "data" / "jobs").glob("*.job.yaml"))
ROOM_V = 1e-3
"""What the pack is held to; the simulator itself stops at 1e-10 V."""

_VALUE = re.compile(r"^v\((\S+?)\) = ([-+0-9.eE]+)$", re.MULTILINE)
_NODE = re.compile(r"^\* (\S+) = (.+)$", re.MULTILINE)
_MARK = "groundstrap-netlist"


def simulated(ngspice: str, folder: Path, netlists: list[str]) -> list[dict[str, float]]:
    """Volts of each netlist's nodes, by the simulator's own operating point from the netlist's own start."""
    script = ["* all of them", ".control", "set numdgt=15"]
    for number, text in enumerate(netlists):
        (folder / f"case{number}.cir").write_text(text, encoding="ascii")
        nodes = sorted(set(re.findall(r"^\.nodeset v\((\S+)\)=", text, re.MULTILINE)))
        script += [f"source case{number}.cir", "destroy all", f"echo {_MARK} {number}", "op"]
        script += [*(f"print v({node})" for node in nodes), "remcirc"]
    (folder / "all.cir").write_text("\n".join([*script, "quit", ".endc", ".end", ""]), encoding="ascii")
    done = subprocess.run(
        [ngspice, "-b", "all.cir"], cwd=folder, capture_output=True, text=True, timeout=120, check=False
    )
    parts = re.split(rf"^{_MARK} \d+$", done.stdout, flags=re.MULTILINE)[1:]
    return [{node: float(value) for node, value in _VALUE.findall(part)} for part in parts]


def expected(plan: Plan, text: str) -> dict[str, float]:
    """Volts of the pack at the points that the netlist's comments name, by the netlist's nodes."""
    volts = {str(name): each.volts_v for name, each in plan.assessment.situations.items()}
    found = {}
    for node, points in _NODE.findall(text):
        known = volts.get(node.partition("_")[0], {})
        # What an isolated converter feeds has no volts against the battery, in the pack neither.
        if points.split(", ")[0] in known:
            found[node] = known[points.split(", ")[0]]
    return found


def compared(ngspice: str, folder: Path, plans: list[Plan]) -> int:
    texts = [netlist(plan) for plan in plans]
    answers = simulated(ngspice, folder, texts)
    assert len(answers) == len(texts)
    for plan, text, answer in zip(plans, texts, answers, strict=True):
        wanted = expected(plan, text)
        assert set(answer) >= set(wanted)
        assert len(wanted) > 4
        off = {
            node: answer[node] - volts for node, volts in wanted.items() if abs(answer[node] - volts) > ROOM_V
        }
        assert not off, plan.installation.title
    return sum(len(answer) for answer in answers)


def test_the_examples_and_the_smaller_samples(ngspice: str, tmp_path: Path) -> None:
    # Two of the samples take seconds to plan; they agreed too when this was written.
    quick = [path for path in SAMPLES if not path.stem.startswith(("boat", "extras"))]
    plans = [api.plan(api.read_job_file(path)) for path in (*EXAMPLES, *quick)]
    solved = [each for plan in plans for each in plan.assessment.situations.values() if each.volts_v]
    assert len(solved) > 20
    assert compared(ngspice, tmp_path, plans) > 300


def test_twenty_random_jobs(ngspice: str, tmp_path: Path) -> None:
    made = random.Random(12)
    plans = []
    for number in range(20):
        job = sound_job(made, FRAMES[number % len(FRAMES)])
        plans.append(api.plan(api.read_job(job.text)))
    assert compared(ngspice, tmp_path, plans) > 300


def test_what_an_isolated_converter_feeds_is_in_it(ngspice: str, tmp_path: Path) -> None:
    path = next(path for path in SAMPLES if path.stem.startswith("cart-48v"))
    plan = api.plan(api.read_job_file(path))
    answer = simulated(ngspice, tmp_path, [netlist(plan)])[0]
    across = answer["driving_radio_plus"] - answer["driving_radio_minus"]
    driving = next(each for name, each in plan.assessment.situations.items() if str(name) == "driving")
    assert abs(across - driving.loads_v["radio"]) < ROOM_V


def test_every_solved_situation_stands_in_it() -> None:
    plan = api.plan(api.read_job_file(EXAMPLES[0]))
    text = netlist(plan)
    assert text.isascii()
    for name, each in plan.assessment.situations.items():
        assert f"* {name}: {each.outcome}" in text
        nodes = re.findall(rf"^\.nodeset v\(({name}_\S+)\)=", text, re.MULTILINE)
        assert len(nodes) == len(set(nodes)) > 0
    # Neither the clock nor the order of anything: the same text again.
    assert netlist(api.plan(api.read_job_file(EXAMPLES[0]))) == text


def test_names_of_any_script_become_nodes_of_their_own() -> None:
    job = """\
groundstrap: 1
title: Скамья
system: 12 V
loads:
  лампа: {kind: lamp, at: boot, claims: {power: 21 W}}
  фара: {kind: lamp, at: boot, claims: {power: 21 W}}
circuits: {лампа: {length: 3 m}, фара: {length: 3 m}}
"""
    text = netlist(api.plan(api.read_job(job)))
    assert text.isascii()
    nodes = re.findall(r"^\.nodeset v\((\S+)\)=", text, re.MULTILINE)
    assert len(nodes) == len(set(nodes)) > 6
