"""What is bought: what the plan lists, with slack, spares, packs, prices and the shop's own numbers."""

from __future__ import annotations

from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.pack.content import Items, Table
from groundstrap.pack.lists.cuts import cuts_of
from groundstrap.pack.lists.purchase import PROTECTION, Bought, purchase_of
from groundstrap.pack.lists.reels import reels_of
from groundstrap.pack.lists.shopping import parts_section
from groundstrap.report.figures import Display
from groundstrap.report.parts import items
from groundstrap.report.plan import Plan

EXAMPLES = sorted((Path(__file__).resolve().parents[3] / "examples").glob("*.job.yaml"))

JOB = """\
groundstrap: 1
title: Bench
stock: shelf.csv
system: 12 V
supplies:
  battery: {kind: battery, at: engine bay, stud: M6}
  alternator: none
routes: [{from: engine bay, to: boot, length: 4 m, laid: loom}]
loads:
  lamp: {kind: lamp, at: boot, claims: {power: 21 W}}
  fan: {kind: fan, at: boot, claims: {current: 4 A}}
circuits:
  lamp: {path: [battery, length: 15 cm, {fuse: 10 A, family: regular blade}, lamp], wire: 1.5 mm2}
  fan: {path: [battery, length: 15 cm, {fuse: 10 A, family: regular blade}, fan], wire: 1.5 mm2}
"""

STOCK = """\
kind,size,rating,family,price,item,part,pack,reel
wire,1.5 mm2,,,0.40,,W15-25,,25 m
wire,1.5 mm2,,,0.50,,W15-10,,10 m
fuse,,10 A,regular blade,0.20,,F10,10,
other,,,,0.03,"ring terminal M6, 1.5 mm2",R6,50,
other,,,,1.10,"split loom, bore 9.5 mm",L9,,
other,,,,0.05,"clips or ties, one every 30 cm",C30,100,
"""


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    (tmp_path / "shelf.csv").write_text(STOCK, encoding="utf-8")
    return api.plan(api.read_job(JOB, folder=tmp_path))


def rows(plan: Plan) -> dict[str, Bought]:
    return {str(row.item): row for row in purchase_of(plan).rows}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_quantities_are_those_of_the_plan(path: Path) -> None:
    plan = api.plan(api.read_job_file(path))
    found = {row.item: row for row in purchase_of(plan).rows if row.group != PROTECTION}
    assert {item.item: item.quantity for item in items(plan)} == {
        name: row.fitted for name, row in found.items()
    }
    assert all(row.buy >= row.needed - 1e-9 and row.needed >= row.fitted for row in found.values())
    # Cable in the list of parts, on the reels and in the cut list is the same cable.
    assert sum(row.needed for row in found.values() if row.unit == "m") == pytest.approx(
        sum(cut.cut_m for cut in cuts_of(plan))
    )
    for each in reels_of(plan):
        assert found[each.item].buy == pytest.approx(each.bought_m)


def test_one_spare_of_each_fuse_and_packs_are_whole(plan: Plan) -> None:
    fuse = rows(plan)["fuse 10 A, regular blade"]
    assert (fuse.fitted, fuse.spare, fuse.needed, fuse.pack, fuse.buy) == (2.0, 1.0, 3.0, 10, 10.0)
    assert (fuse.part, fuse.price) == ("F10", pytest.approx(2.0))
    ring = rows(plan)["ring terminal M6, 1.5 mm2"]
    # A plus and a minus each at the battery for two circuits, and one more in ten.
    assert (ring.fitted, ring.spare, ring.buy, ring.part) == (4.0, 1.0, 50.0, "R6")


def test_cable_is_priced_by_the_reel_it_comes_on(plan: Plan) -> None:
    cables = [row for name, row in rows(plan).items() if name.startswith("cable")]
    # The job names no colour, so plus and minus are two kinds: 9.1 m of each, one reel of 10 m.
    assert [row.item.rpartition(", ")[2] for row in cables] == ["minus", "plus"]
    for cable in cables:
        assert cable.reels == ((10.0, 1),)
        assert (cable.part, cable.price) == ("W15-10", pytest.approx(10 * 0.50))


def test_loom_is_as_long_as_its_route_and_a_tenth_more(plan: Plan) -> None:
    loom = next(row for name, row in rows(plan).items() if name.startswith("split loom"))
    assert loom.needed == pytest.approx(4.4)
    grommet = [row for name, row in rows(plan).items() if name.startswith("grommet")]
    assert [row.buy for row in grommet] == [1.0]


def test_clips_come_in_whole_packs(plan: Plan) -> None:
    clips = rows(plan)["clips or ties, one every 30 cm"]
    # 4 m of route are 14 of them, sold by the hundred.
    assert (clips.needed, clips.pack, clips.buy, clips.part) == (14.0, 100, 100.0, "C30")
    assert clips.price == pytest.approx(5.0)


def test_a_breaker_needs_no_spare() -> None:
    job = JOB.replace("stock: shelf.csv\n", "").replace(
        "{fuse: 10 A, family: regular blade}", "breaker: 10 A"
    )
    found = [row for name, row in rows(api.plan(api.read_job(job))).items() if name.startswith("breaker")]
    assert found
    assert all(row.spare == 0 for row in found)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_section_has_every_line_and_the_tools(plan: Plan, units: str) -> None:
    section = parts_section(plan, Display(units))
    found = [row for block in section.blocks if isinstance(block, Table) for row in block.rows]
    assert len(found) == len(purchase_of(plan).rows)
    tools = section.parts[0].blocks[0]
    assert isinstance(tools, Items)
    said = "; ".join(tools.texts)
    assert "red, blue" in said
    # Both fuses feed less than 10 A: the meter's own range does.
    assert "clamp" not in said
