"""Choosing: the same for any order of entries; what a thicker wire never makes worse; any unit of copper."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import TypeVar

from hypothesis import given, settings
from hypothesis import strategies as st

from groundstrap.assess import CircuitAssessment, assess
from groundstrap.design import Design, choose
from groundstrap.job import read_job
from groundstrap.model import Element, Installation, Wire
from groundstrap.tables import standard_sizes
from groundstrap.units import ConductorSize, parse_size
from groundstrap.vet import estimates
from tests.support.installations import Builder, Cable, Device
from tests.unit.design.jobs import FUSE, ROOM, random_job, sizes

SIZES = [parse_size(size.label) for size in standard_sizes("metric")]
T = TypeVar("T")
seeds = st.integers(0, 10_000)


def _shuffled(entries: Mapping[str, T], draw: random.Random) -> dict[str, T]:
    names = list(entries)
    draw.shuffle(names)
    return {name: entries[name] for name in names}


@given(seed=seeds, order=seeds)
@settings(max_examples=15)
def test_the_order_of_entries_does_not_matter(seed: int, order: int) -> None:
    job, draw = random_job(seed), random.Random(order)
    plain = job.build()
    shuffled = replace(
        plain,
        circuits=_shuffled(plain.circuits, draw),
        loads=_shuffled(plain.loads, draw),
        gear=_shuffled(plain.gear, draw),
        supplies=_shuffled(plain.supplies, draw),
    )
    one, other = choose(plain, job.estimates), choose(shuffled, _shuffled(job.estimates, draw))
    assert dict(one.sizes) == dict(other.sizes)
    assert dict(one.fuses) == dict(other.fuses)
    assert {n: (b.kind, b.where) for n, b in one.bindings.items()} == {
        n: (b.kind, b.where) for n, b in other.bindings.items()
    }
    assert one.unsolved == other.unsolved


HEAD = """groundstrap: 1
title: Order of entries
system: 12 V
return: bus
supplies:
  battery: {kind: battery, capacity: 80 Ah}
"""
GEAR = ("panel: {kind: block}", "bus: {kind: block}", "main switch: {kind: isolator, rating: 150 A}")
LOADS = (
    "pump: {kind: pump, claims: {power: 90 W}}",
    "lamp: {kind: lamp, claims: {power: 55 W}}",
    "radio: {kind: electronics, claims: {current: 6 A}}",
    "heater: {kind: heater, claims: {power: 150 W}}",
)
CIRCUITS = (
    "feed: {path: [battery, fuse, main switch, panel], length: 3 m}",
    "earth: {path: [bus, battery -], length: 2.5 m}",
    "pump: {path: [panel, fuse, pump], length: 5 m}",
    "lamp: {path: [panel, fuse, switch, lamp], length: 6 m}",
    "radio: {path: [panel, fuse, radio], length: 2 m}",
    "heater: {path: [battery, fuse, heater], length: 4 m}",
)


@given(order=seeds)
@settings(max_examples=10)
def test_the_order_of_lines_in_the_job_file_does_not_matter(order: int) -> None:
    draw = random.Random(order)
    text = HEAD
    for section, lines in (("gear", GEAR), ("loads", LOADS), ("circuits", CIRCUITS)):
        text += f"{section}:\n" + "".join(f"  {line}\n" for line in draw.sample(lines, len(lines)))
    installation = read_job(text).installation
    design = choose(installation, estimates(installation))
    assert not design.unsolved
    assert _answer(design) == _in_written_order()


@cache
def _in_written_order() -> tuple[dict[str, str], dict[str, float]]:
    parts = (("gear", GEAR), ("loads", LOADS), ("circuits", CIRCUITS))
    text = HEAD + "".join(f"{name}:\n" + "".join(f"  {line}\n" for line in lines) for name, lines in parts)
    installation = read_job(text).installation
    return _answer(choose(installation, estimates(installation)))


def _answer(design: Design) -> tuple[dict[str, str], dict[str, float]]:
    return dict(sizes(design)), {name: choice.rating_a for name, choice in design.fuses.items()}


def _with_size(installation: Installation, circuit: str, size: ConductorSize) -> Installation:
    def one(element: Element) -> Element:
        return replace(element, size=size) if isinstance(element, Wire) else element

    old = installation.circuits[circuit]
    circuits = dict(installation.circuits)
    circuits[circuit] = replace(old, path=tuple(map(one, old.path)), back=tuple(map(one, old.back)))
    return replace(installation, circuits=circuits)


def _hottest_c(found: CircuitAssessment) -> float:
    return max(
        float("inf") if wire.conductor_c is None else wire.conductor_c for wire in found.wires.values()
    )


def _margin_a(found: CircuitAssessment) -> float:
    """What the fuses' upper ends lie above their ratings, at the tightest."""
    return min(
        (fuse.window.most_limit_a or 0.0) - (fuse.rating_a or 0.0)
        for fuse in found.fuses.values()
        if fuse.window.most_limit_a is not None
    )


@given(seed=seeds, step=st.integers(1, 4))
@settings(max_examples=20)
def test_a_thicker_wire_at_the_end_is_never_worse_for_its_own_circuit(seed: int, step: int) -> None:
    job = random_job(seed)
    design = choose(job.build(), job.estimates)
    chosen = sizes(design)
    name = sorted(n for n in chosen if n.startswith("load"))[seed % 2]
    at = SIZES.index(parse_size(chosen[name]))
    thicker = _with_size(design.installation, name, SIZES[min(at + step, len(SIZES) - 1)])
    before = assess(design.installation, job.estimates).circuits[name]
    after = assess(thicker, job.estimates).circuits[name]
    assert before.drop is not None
    assert after.drop is not None
    assert before.drop.drop_v is not None
    assert after.drop.drop_v is not None
    assert after.drop.drop_v <= before.drop.drop_v + 1e-9
    assert _hottest_c(after) <= _hottest_c(before) + 1e-9
    assert _margin_a(after) >= _margin_a(before) - 1e-9


def _lamp_with(size: ConductorSize) -> tuple[Installation, Builder]:
    job = Builder()
    job.battery()
    job.load("lamp", 60.0)
    cable = Cable(5.0, "4 mm2", zone=ROOM)
    fuse = Device("fuse", 10.0, "regular blade", zone=ROOM)
    job.circuit("lamp", ["battery +", fuse, cable, "lamp +"], ["lamp -", cable, "battery -"])
    return _with_size(job.build(), "lamp", size), job


def test_the_same_copper_gives_the_same_answer_however_it_is_written() -> None:
    # 56 strands of 0.30 mm are 3.958 mm2; so much written as an area is the same wire.
    strands = parse_size("56 x 0.30 mm")
    area = parse_size(f"{strands.area_mm2!r} mm2")
    found = []
    for size in (strands, area):
        installation, job = _lamp_with(size)
        circuit = assess(installation, job.estimates).circuits["lamp"]
        assert circuit.drop is not None
        found.append((circuit.drop.drop_v, _hottest_c(circuit), _margin_a(circuit)))
    assert found[0] == found[1]


@given(metres=st.floats(0.5, 12.0), watts=st.floats(5.0, 300.0))
@settings(max_examples=20)
def test_pinning_what_was_chosen_changes_nothing(metres: float, watts: float) -> None:
    job = Builder()
    job.battery()
    job.load("lamp", watts)
    cable = Cable(metres, zone=ROOM)
    job.circuit("lamp", ["battery +", FUSE, cable, "lamp +"], ["lamp -", cable, "battery -"])
    first = choose(job.build(), job.estimates)
    again = choose(first.installation, job.estimates)
    assert not again.sizes
    assert again.installation.circuits == first.installation.circuits
