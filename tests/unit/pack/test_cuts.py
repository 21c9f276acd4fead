"""Cut list: each cable with its number, both ends, the laid and the cut length."""

from __future__ import annotations

from itertools import pairwise

import pytest

from groundstrap import api
from groundstrap.draw.references import references
from groundstrap.pack.content import Table
from groundstrap.pack.lists.cuts import Cut, cut_length_m, cut_section, cuts_of
from groundstrap.report.figures import Display
from groundstrap.report.parts import Group, items
from groundstrap.report.plan import Plan

JOB = """\
groundstrap: 1
title: Bench
system: 12 V
supplies:
  battery: {kind: battery, at: engine bay, stud: M8}
  alternator: none
places: {dash: cabin, boot: cabin}
gear:
  panel: {kind: block, at: dash, ways: 4, rating: 60 A}
loads:
  winch: {kind: motor, at: boot, claims: {current: 90 A}}
  lamp: {kind: lamp, at: boot, claims: {power: 21 W}}
  radio: {kind: electronics, at: dash, claims: {current: 3 A}, state: existing}
circuits:
  panel feed: {path: [battery, length: 15 cm, fuse, panel], length: 2 m}
  winch: {path: [battery, length: 20 cm, fuse, winch], length: 4 m, parallel: 2, label: W7}
  lamp:
    path: [panel 3, fuse, length: 50 cm, switch, {wire: 1.5 mm2, length: 1 m}, {wire: 2.5 mm2}, lamp]
    length: 3 m
    colour: red
  radio: {path: [panel 4, {fuse: 5 A, family: regular blade}, radio], length: 1 m, state: existing}
"""


@pytest.fixture(scope="module")
def plan() -> Plan:
    return api.plan(api.read_job(JOB))


@pytest.fixture(scope="module")
def cuts(plan: Plan) -> tuple[Cut, ...]:
    return cuts_of(plan)


def test_every_new_cable_is_cut_once_and_nothing_that_is_there(plan: Plan, cuts: tuple[Cut, ...]) -> None:
    wanted = {
        number
        for circuit in plan.installation.circuits.values()
        if circuit.name != "radio"
        for wire in circuit.wires
        for number in references(plan.installation).cables(wire.name)
    }
    assert {cut.number for cut in cuts} == wanted
    assert len(cuts) == len(wanted)


def test_parallel_cables_have_a_number_each(cuts: tuple[Cut, ...]) -> None:
    assert [cut.number for cut in cuts if cut.wire == "winch wire 2"] == ["W7.2a", "W7.2b"]


def test_ends_say_place_thing_and_terminal(cuts: tuple[Cut, ...]) -> None:
    feed = next(cut for cut in cuts if cut.wire == "panel feed wire 1")
    assert (feed.start.spot.place, feed.start.spot.thing, feed.start.spot.terminal) == (
        "engine bay",
        "battery",
        "+",
    )
    assert (feed.start.stud, feed.start.assumed) == ("M8", False)
    first = next(cut for cut in cuts if cut.wire == "lamp wire 1")
    # It comes from the slot of the block that its fuse sits in.
    assert first.start.spot.place == "dash"
    assert first.start.spot.thing == "panel 3"
    # DIN 72552: a switch is fed at 30.
    assert first.end.spot.terminal == "30"


def test_a_step_in_size_is_one_splice(cuts: tuple[Cut, ...]) -> None:
    thin, thick = (next(cut for cut in cuts if cut.wire == f"lamp wire {n}") for n in (2, 3))
    assert (thin.end.kind, thick.start.kind) == ("splice", None)
    assert "splice" in thick.start.fitting


def test_an_end_in_a_splice_is_no_terminal_that_nobody_wrote() -> None:
    job = JOB.partition("circuits:")[0].replace("power: 21 W}", "power: 21 W}, stud: M5") + (
        "circuits:\n"
        "  lamp: {path: [battery, {wire: 1.5 mm2, length: 1 m}, {wire: 2.5 mm2}, lamp], length: 3 m}\n"
    )
    said = [
        str(getattr(block, "text", ""))
        for block in cut_section(api.plan(api.read_job(job)), Display()).blocks
    ]
    assert not any("to suit its place" in text for text in said)


def test_the_lists_hold_what_the_plan_holds(plan: Plan, cuts: tuple[Cut, ...]) -> None:
    laid_m = {item.cable: item.quantity for item in items(plan) if item.group is Group.CABLE}
    for cable, metres in laid_m.items():
        assert sum(cut.length_m for cut in cuts if cut.cable == cable) == pytest.approx(metres, rel=1e-12)
    fitted = sum(item.quantity for item in items(plan) if item.group is Group.TERMINAL)
    spliced = sum(cut.start.kind is None and "splice" in cut.start.fitting for cut in cuts)
    assert fitted == 2 * len(cuts) - spliced


def test_cut_lengths_are_never_below_the_laid_ones() -> None:
    lengths = [n / 7 for n in range(1, 300)]
    for area_mm2 in (0.75, 6.0, 6.1, 35.0, 95.0, None):
        found = [cut_length_m(length, area_mm2) for length in lengths]
        assert all(cut >= 1.1 * length + 0.1 - 1e-9 for cut, length in zip(found, lengths, strict=True))
        assert all(one <= other for one, other in pairwise(found))


@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_section_has_a_row_for_each(plan: Plan, cuts: tuple[Cut, ...], units: str) -> None:
    section = cut_section(plan, Display(units))
    table = next(block for block in section.blocks if isinstance(block, Table))
    assert [row[0] for row in table.rows] == [cut.number for cut in cuts]
    assert all(len(row) == len(table.columns) and all(row) for row in table.rows)


def test_a_job_without_new_cable_says_so() -> None:
    job = "\n".join(
        line for line in JOB.splitlines() if "radio" in line or "circuits" in line or line[0] != " "
    )
    job = (
        job.replace("path: [panel 4, ", "path: [battery, ").replace("supplies:\n", "").replace("gear:\n", "")
    )
    job = job.replace("places: {dash: cabin, boot: cabin}\n", "")
    section = cut_section(api.plan(api.read_job(job)), Display())
    assert not any(isinstance(block, Table) for block in section.blocks)


def test_a_return_that_nobody_measured_is_marked_where_it_is_cut() -> None:
    """The lamp's negative ends where the battery is, not where its box is, and no route tells how far."""
    text = (
        "groundstrap: 1\ntitle: Bench lamp\nsystem: 12 V\n"
        "supplies: {battery: {kind: battery, at: engine bay, capacity: 70 Ah}}\n"
        "gear: {box: {kind: block, at: bench}}\n"
        "loads: {lamp: {kind: lamp, at: bench, claims: {power: 60 W}}}\n"
        "circuits:\n"
        "  feed: {path: [battery, fuse, box], length: 3 m}\n"
        "  lamp: {path: [box, fuse, lamp], length: 60 cm}\n"
    )
    lent = api.plan(api.read_job(text))
    assert [(cut.wire, cut.length_m) for cut in cuts_of(lent) if cut.length_assumed] == [
        ("lamp return 1", 0.6)
    ]
    table = next(block for block in cut_section(lent, Display()).blocks if isinstance(block, Table))
    assert [row[6:] for row in table.rows if row[6].startswith("~")] == [("~60 cm", "~76 cm")]
    measured = api.plan(api.read_job(f"{text}routes: [{{from: engine bay, to: bench, length: 2 m}}]\n"))
    back = next(cut for cut in cuts_of(measured) if cut.wire == "lamp return 1")
    assert (back.length_m, back.cut_m, back.length_assumed) == (2.0, 2.3, False)
