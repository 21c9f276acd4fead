"""The list of parts: each thing once, fuses with what they sit in, terminals by stud and size."""

from __future__ import annotations

from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.report.parts import Group, Item, items

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
  plug: {kind: connector, at: dash, ways: 4, rating: 10 A}
loads:
  lamp: {kind: lamp, at: boot, claims: {power: 21 W}}
  fan: {kind: fan, at: boot, claims: {current: 4 A}}
circuits:
  panel feed:
    path: [battery, length: 15 cm, {fuse: 40 A, family: bolt-down strip 30 mm}, panel]
    length: 2 m
    wire: 10 mm2
  lamp: {path: [panel 1, {fuse: 5 A, family: regular blade}, plug 1, joint, lamp], length: 3 m, wire: 1.5 mm2}
  fan: {path: [panel 2, {fuse: 7.5 A, family: regular blade}, plug 2, fan], length: 3 m, wire: 1.5 mm2}
"""


def found(job: str = JOB, folder: Path | None = None) -> dict[str, Item]:
    return {item.item: item for item in items(api.plan(api.read_job(job, folder=folder)))}


def test_a_part_with_several_ways_is_bought_once() -> None:
    plugs = [item for name, item in found().items() if name.startswith("connector 10 A")]
    assert [(item.quantity, item.circuits) for item in plugs] == [(1.0, ["lamp", "fan"])]


def test_a_fuse_in_a_block_needs_no_holder_and_one_in_the_cable_does() -> None:
    holders = {name: item.quantity for name, item in found().items() if item.group is Group.HOLDER}
    assert holders == {"fuse holder, bolt-down strip 30 mm": 1.0}


def test_a_joint_is_one_splice_and_no_part() -> None:
    every = found()
    assert every["splice, 1.5 mm2"].quantity == 1.0
    assert not [name for name in every if name.startswith("joint")]


def test_rings_stand_by_their_stud() -> None:
    # The strip fuse is bolted down with M5 (ISO 8820-5), the battery has what is written.
    every = found()
    assert every["ring terminal M8, 10 mm2"].quantity == 1.0
    assert every["ring terminal M5, 10 mm2"].quantity == 2.0


def test_a_new_block_is_bought_and_one_that_is_there_is_not() -> None:
    assert found()["block 60 A, 4 ways (panel)"].group is Group.BLOCK
    there = JOB.replace("rating: 60 A}", "rating: 60 A, state: existing}")
    assert not [name for name in found(there) if name.startswith("block")]


STOCK = """\
kind,size,rating,family,colour,price,item,part
wire,1.5 mm2,,,,0.40,,W15
wire,1.5 mm2,,,green,0.10,,W15G
fuse,,5 A,regular blade,,0.20,,F5
other,,,,,0.05,"Ring terminal M5, 10 mm2",R5
"""


def test_the_shelf_gives_price_and_number(tmp_path: Path) -> None:
    (tmp_path / "shelf.csv").write_text(STOCK, encoding="utf-8")
    job = JOB.replace("title: Bench", "title: Bench\nstock: shelf.csv").replace(
        "wire: 1.5 mm2}", "wire: 1.5 mm2, colour: red}"
    )
    every = found(job, tmp_path)
    cable = next(item for name, item in every.items() if name.startswith("cable 1.5"))
    assert cable.price == pytest.approx(0.40 * cable.quantity)
    assert [row.part for row in cable.stock] == ["W15"]
    assert every["fuse 5 A, regular blade"].price == pytest.approx(0.20)
    assert [row.part for row in every["ring terminal M5, 10 mm2"].stock] == ["R5"]
    assert every["ring terminal M8, 10 mm2"].price is None


def test_a_terminal_that_is_not_made_says_so() -> None:
    # A push-on terminal of 6.3 mm takes up to 6 mm2: common practice.
    job = JOB.replace("plug 2, fan]", "switch: 10 A, {wire: 10 mm2}, fan]")
    assert found(job)["push-on terminal 6.3 mm (hardly made for this cable), 10 mm2"].quantity == 1.0


def test_a_bolted_fuse_at_a_bar_without_slots_has_a_holder() -> None:
    job = JOB.replace(
        "{kind: block, at: dash, ways: 4, rating: 60 A}", "{kind: block, at: dash, rating: 60 A}"
    )
    bar = job.replace(
        "panel 1, {fuse: 5 A, family: regular blade}", "panel, {fuse: 30 A, family: class T}"
    ).replace("panel 2,", "panel,")
    holders = [name for name, item in found(bar).items() if item.group is Group.HOLDER]
    assert "fuse holder, class T" in holders
    assert not [name for name in holders if "regular blade" in name]
