"""Reels: every cable on one, the shop's lengths where it has some."""

from __future__ import annotations

from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.pack.content import Table
from groundstrap.pack.lists.cuts import cuts_of
from groundstrap.pack.lists.reels import CableReels, SoldBy, reel_section, reels_of
from groundstrap.report.figures import Display
from groundstrap.report.plan import Plan

JOB = """\
groundstrap: 1
title: Bench
stock: shelf.csv
system: 12 V
supplies:
  battery: {kind: battery, at: engine bay, stud: M8}
  alternator: none
loads:
  winch: {kind: motor, at: front, claims: {current: 90 A}}
  lamp: {kind: lamp, at: boot, claims: {power: 21 W}}
  fan: {kind: fan, at: boot, claims: {current: 4 A}}
circuits:
  winch: {path: [battery, length: 20 cm, fuse, winch], length: 4 m, wire: 35 mm2}
  lamp: {length: 5 m, wire: 1.5 mm2}
  fan: {length: 3 m, wire: 2.5 mm2}
"""

STOCK = """\
kind,size,price,part,reel
wire,1.5 mm2,0.40,W15-10,10 m
wire,1.5 mm2,0.35,W15-25,25 m
wire,2.5 mm2,0.60,W25,
wire,35 mm2,6.10,W35,2 m
"""


def planned(tmp_path: Path, stock: str = STOCK, job: str = JOB) -> Plan:
    (tmp_path / "shelf.csv").write_text(stock, encoding="utf-8")
    return api.plan(api.read_job(job, folder=tmp_path))


def by_size(plan: Plan) -> dict[str, CableReels]:
    return {each.cable.size.text: each for each in reels_of(plan) if each.cable.size is not None}


def test_every_cable_is_cut_from_one_reel(tmp_path: Path) -> None:
    plan = planned(tmp_path)
    found = [cut.number for each in reels_of(plan) for reel in each.reels for cut in reel.cuts]
    assert sorted(found) == sorted(cut.number for cut in cuts_of(plan))
    for each in reels_of(plan):
        assert each.bought_m == pytest.approx(sum(reel.length_m for reel in each.reels))
        assert each.cut_m == pytest.approx(sum(cut.cut_m for reel in each.reels for cut in reel.cuts))
        assert all(reel.left_m >= 0 for reel in each.reels)


def test_the_shop_s_reels_are_taken(tmp_path: Path) -> None:
    found = by_size(planned(tmp_path))
    thin = found["1.5 mm2"]
    # 5 m out and 5 m back, each cut to 5.6 m: no colour is named, so each is a kind with its reel of 10 m.
    assert thin.sold_by is SoldBy.STOCK
    assert [reel.length_m for reel in thin.reels] == [10.0]
    assert thin.proved
    colours = planned(tmp_path, job=JOB.replace("lamp: {length: 5 m,", "lamp: {length: 5 m, colour: red,"))
    # Of one colour they are one kind: two reels of 10 m come to less than one of 25 m.
    assert [reel.length_m for reel in by_size(colours)["1.5 mm2"].reels] == [10.0, 10.0]


def test_a_piece_longer_than_every_reel_is_told(tmp_path: Path) -> None:
    section = reel_section(planned(tmp_path), Display())
    told = [str(block.text) for block in section.blocks if hasattr(block, "text")]
    assert any("longer than any reel" in text for text in told)


def test_metres_of_each_kind_stand_before_the_reels(tmp_path: Path) -> None:
    plan = planned(tmp_path)
    first, second = [b for b in reel_section(plan, Display()).blocks if isinstance(b, Table)]
    assert len(first.rows) == len(reels_of(plan))
    assert len(second.rows) == sum(len(each.reels) for each in reels_of(plan))


def test_usual_reels_are_those_of_the_units_that_are_shown(tmp_path: Path) -> None:
    plan = planned(tmp_path, job=JOB.replace("stock: shelf.csv\n", ""))
    feet = {reel.length_m for each in reels_of(plan, us=True) if each.sold_by is SoldBy.USUAL
            for reel in each.reels}  # fmt: skip
    assert feet <= {7.62, 15.24, 30.48}
    assert feet


def test_a_shop_without_a_reel_cuts_off(tmp_path: Path) -> None:
    found = by_size(planned(tmp_path))
    assert (found["2.5 mm2"].sold_by, len(found["2.5 mm2"].reels)) == (SoldBy.METRE, 1)
    # A piece of 4.4 m is on no reel of 2 m.
    assert found["35 mm2"].sold_by is SoldBy.METRE


def test_without_a_shop_lengths_are_usual_ones(tmp_path: Path) -> None:
    job = JOB.replace("stock: shelf.csv\n", "")
    found = by_size(planned(tmp_path, job=job))
    assert {size: each.sold_by for size, each in found.items()} == {
        "1.5 mm2": SoldBy.USUAL,
        "2.5 mm2": SoldBy.USUAL,
        "35 mm2": SoldBy.METRE,
    }
    sizes = {"1.5 mm2": "16 AWG", "2.5 mm2": "14 AWG", "35 mm2": "2 AWG"}
    for metric, gauge in sizes.items():
        job = job.replace(metric, gauge)
    us = by_size(planned(tmp_path, job="units: us\n" + job))
    # 25 ft are 7.62 m.
    assert us["16 AWG"].reels[0].length_m == pytest.approx(7.62)
    assert us["2 AWG"].bought_m / 0.3048 == pytest.approx(round(us["2 AWG"].bought_m / 0.3048))


@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_section_has_a_row_for_each_reel(tmp_path: Path, units: str) -> None:
    plan = planned(tmp_path)
    section = reel_section(plan, Display(units))
    table = [block for block in section.blocks if isinstance(block, Table)][-1]
    assert len(table.rows) == sum(len(each.reels) for each in reels_of(plan))
    text = " ".join(cell for row in table.rows for cell in row)
    assert all(cut.number in text for cut in cuts_of(plan))
