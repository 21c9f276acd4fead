"""Fuse map: every slot, every fuse, what is free, and what nobody wrote."""

from __future__ import annotations

from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.model import PartKind
from groundstrap.pack.content import Caution, Table
from groundstrap.pack.lists.fuses import Slot, fuse_map_section, slots_of
from groundstrap.report.figures import Display
from groundstrap.report.plan import Plan

EXAMPLES = sorted((Path(__file__).resolve().parents[3] / "examples").glob("*.job.yaml"))

JOB = """\
groundstrap: 1
title: Bench
system: 12 V
supplies:
  battery: {kind: battery, at: engine bay}
  alternator: none
places: {dash: cabin, boot: cabin}
gear:
  old box: {kind: block, at: dash, ways: [F1, F2], state: existing}
  panel: {kind: block, at: dash, ways: 3, rating: 60 A}
loads:
  lamp: {kind: lamp, at: boot, claims: {power: 21 W}}
  fan: {kind: fan, at: boot, claims: {current: 4 A}}
  radio: {kind: electronics, at: dash, claims: {current: 3 A}, state: existing}
  tracker: {kind: electronics, at: dash, claims: {current: 1 A}}
circuits:
  old feed: {path: [battery, fuse: unknown, old box], length: 2 m, wire: unknown, state: existing}
  panel feed: {path: [battery, length: 15 cm, fuse, panel], length: 2 m}
  lamp: {path: [panel 2, {fuse: 5 A, family: regular blade}, lamp], length: 3 m, wire: 1.5 mm2}
  fan: {path: [panel, {fuse: 7.5 A, family: regular blade}, fan], length: 3 m, wire: 1.5 mm2}
  radio: {path: [old box F2, {fuse: 10 A, family: regular blade}, radio], length: 1 m, state: existing}
  tracker: {path: [radio fuse in, {fuse: 2 A, family: regular blade, holder: tap}, tracker], length: 1 m}
"""


@pytest.fixture(scope="module")
def plan() -> Plan:
    return api.plan(api.read_job(JOB))


@pytest.fixture(scope="module")
def slots(plan: Plan) -> tuple[Slot, ...]:
    return slots_of(plan)


def of(slots: tuple[Slot, ...], block: str) -> list[Slot]:
    return [slot for slot in slots if slot.block == block]


def test_each_way_of_a_block_has_a_row(slots: tuple[Slot, ...]) -> None:
    panel = of(slots, "panel")
    assert [(slot.way, slot.circuit, slot.free) for slot in panel] == [
        ("1", "", False),
        ("2", "lamp", False),
        ("3", "", False),
        ("", "fan", False),
    ]
    lamp = panel[1]
    assert (lamp.rating_a, lamp.family, lamp.feeds) == (5.0, "regular blade", ("lamp",))
    assert lamp.size is not None
    assert lamp.size.text == "1.5 mm2"


def test_slots_are_free_where_every_circuit_has_its_own() -> None:
    # With a circuit whose way nobody wrote, none is free for certain.
    job = JOB.replace("path: [panel, {fuse: 7.5 A", "path: [panel 3, {fuse: 7.5 A")
    panel = of(slots_of(api.plan(api.read_job(job))), "panel")
    assert [(slot.way, slot.circuit, slot.free) for slot in panel] == [
        ("1", "", True),
        ("2", "lamp", False),
        ("3", "fan", False),
    ]


def test_a_bar_for_returns_has_no_slots_to_map() -> None:
    job = JOB.replace("  panel: {", "  negative bar: {kind: block, at: dash, ways: 12}\n  panel: {").replace(
        "loads:", "return: negative bar\nloads:"
    )
    assert not of(slots_of(api.plan(api.read_job(job))), "negative bar")


def test_nobody_says_that_a_slot_of_an_old_block_is_free(slots: tuple[Slot, ...]) -> None:
    old = of(slots, "old box")
    assert [(slot.way, slot.circuit, slot.free, slot.existing) for slot in old] == [
        ("F1", "", False, True),
        ("F2", "radio", False, True),
    ]


def test_fuses_in_the_cable_stand_elsewhere(slots: tuple[Slot, ...]) -> None:
    others = {slot.circuit: slot for slot in slots if not slot.block}
    assert set(others) == {"old feed", "panel feed", "tracker"}
    assert (others["tracker"].holder, others["tracker"].rating_a) == ("tap", 2.0)
    assert (others["old feed"].rating_a, others["old feed"].size) == (None, None)
    assert others["panel feed"].feeds == ("panel",)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_fuse_of_an_example_stands_once(path: Path) -> None:
    plan = api.plan(api.read_job_file(path))
    wanted = [
        part.name for part in plan.installation.parts() if part.kind in {PartKind.FUSE, PartKind.BREAKER}
    ]
    found = [slot.name for slot in slots_of(plan) if slot.name]
    assert sorted(found) == sorted(wanted)
    for slot in slots_of(plan):
        rated = plan.assessment.circuits[slot.circuit].fuses.get(slot.name) if slot.circuit else None
        if rated is not None:
            assert (slot.rating_a, slot.continuous_a) == (rated.rating_a, rated.continuous_a)


def test_the_page_says_never_a_larger_one(plan: Plan) -> None:
    section = fuse_map_section(plan, Display())
    first = section.blocks[0]
    assert isinstance(first, Caution)
    assert "larger fuse" in first.text
    tables = [block for block in section.blocks if isinstance(block, Table)]
    used = [slot for slot in slots_of(plan) if slot.circuit]
    assert sum(bool(row[5]) for table in tables for row in table.rows) == len(used)
    text = " ".join(cell for table in tables for row in table.rows for cell in row)
    assert "not in this job: look what is there" in text
    assert "not known" in text


def test_ways_that_are_free_beside_each_other_share_a_line() -> None:
    job = JOB.replace("ways: 3, rating: 60 A", "ways: 12, rating: 60 A")
    section = fuse_map_section(api.plan(api.read_job(job)), Display())
    ways = [row[0] for block in section.blocks if isinstance(block, Table) for row in block.rows]
    assert ways[:4] == ["1", "2", "3 to 12", "–"]
