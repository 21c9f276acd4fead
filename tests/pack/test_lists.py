"""Lists of random jobs, sound, flawed and big: whole, the same as the plan, nothing left out."""

from __future__ import annotations

import csv
import io
import random

import pytest

from groundstrap.model import PartKind, State
from groundstrap.pack.content import Section, Table
from groundstrap.pack.lists.cuts import cut_section, cuts_of
from groundstrap.pack.lists.files import LISTS, list_files
from groundstrap.pack.lists.fuses import fuse_map_section, slots_of
from groundstrap.pack.lists.labels import label_section
from groundstrap.pack.lists.purchase import PROTECTION, purchase_of
from groundstrap.pack.lists.reels import reel_section, reels_of
from groundstrap.pack.lists.shopping import parts_section
from groundstrap.report.figures import Display
from groundstrap.report.parts import Group, items
from groundstrap.report.plan import Plan
from tests.rules.flawed import flawed_job
from tests.rules.sound_jobs import FRAMES, sound_job
from tests.support.big_jobs import big_job
from tests.support.drawn import unjudged


def sound(number: int) -> Plan:
    return unjudged(sound_job(random.Random(number), FRAMES[number % len(FRAMES)]).text)


def flawed(number: int) -> Plan:
    return unjudged(flawed_job(number).text)


def big(number: int) -> Plan:
    return unjudged(big_job(number, 35))


MADE = [(sound, n) for n in range(10)] + [(flawed, n) for n in range(30)] + [(big, 1)]


@pytest.fixture(scope="module", params=MADE, ids=lambda made: f"{made[0].__name__} {made[1]}")
def plan(request: pytest.FixtureRequest) -> Plan:
    make, number = request.param
    found: Plan = make(number)
    return found


def tables(section: Section) -> list[Table]:
    return [block for block in section.blocks if isinstance(block, Table)]


def test_rows_are_as_wide_as_their_tables(plan: Plan) -> None:
    for units in ("metric", "us"):
        shown = Display(units)
        sections = [
            cut_section(plan, shown),
            reel_section(plan, shown),
            parts_section(plan, shown),
            fuse_map_section(plan, shown),
        ]
        for table in (table for section in sections for table in tables(section)):
            assert all(len(row) == len(table.columns) for row in table.rows)
    assert label_section(plan).blocks


def test_the_same_cable_in_every_list(plan: Plan) -> None:
    cuts = cuts_of(plan)
    numbers = [cut.number for cut in cuts]
    new = [
        wire
        for circuit in plan.installation.circuits.values()
        if circuit.state is State.NEW
        for wire in circuit.wires
        if wire.state is State.NEW
    ]
    assert len(numbers) == sum(wire.parallel for wire in new)
    assert len(set(numbers)) == len(numbers)
    assert sorted(
        cut.number for each in reels_of(plan, cuts) for reel in each.reels for cut in reel.cuts
    ) == sorted(numbers)
    laid_m = sum(item.quantity for item in items(plan) if item.group is Group.CABLE)
    assert laid_m == pytest.approx(sum(wire.length_m * wire.parallel for wire in new))


def test_what_is_bought_is_what_the_plan_lists_and_more(plan: Plan) -> None:
    bought = {row.item: row for row in purchase_of(plan).rows if row.group != PROTECTION}
    listed = items(plan)
    assert set(bought) == {item.item for item in listed}
    for item in listed:
        row = bought[item.item]
        assert row.fitted == item.quantity
        assert row.buy + 1e-6 >= row.needed >= row.fitted - 1e-9
    spares = {
        item.fuse: bought[item.item].spare for item in listed if item.item.startswith("fuse ") and item.fuse
    }
    assert all(spare == 1.0 for spare in spares.values())


def test_every_fuse_is_on_the_map(plan: Plan) -> None:
    wanted = [
        part.name for part in plan.installation.parts() if part.kind in {PartKind.FUSE, PartKind.BREAKER}
    ]
    gone = {part.name for part in plan.installation.parts() if part.state is State.REMOVE}
    found = [slot.name for slot in slots_of(plan) if slot.name]
    assert sorted(found) == sorted(set(wanted) - gone)


def test_files_hold_a_row_for_each(plan: Plan) -> None:
    files = list_files(plan)
    for name in LISTS:
        rows = list(csv.DictReader(io.StringIO(files[f"{name}.csv"], newline="")))
        assert all(None not in row and None not in row.values() for row in rows)
    assert files["labels.csv"].count("\r\n") == 1 + 2 * len(cuts_of(plan))
