"""What is proposed where nothing fits does fit, and is never what is there already.

A job is drawn at random, its remedy is written into its text as a person would, and the job chosen anew.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace

import pytest

from groundstrap.assess import ReasonKind
from groundstrap.design import Change, RemedyKind, Unsolved, choose
from groundstrap.job import read_job
from groundstrap.model import Stock, StockItem
from groundstrap.report.choice_words import unsolved_words
from groundstrap.report.figures import Display
from groundstrap.units import parse_size
from groundstrap.vet import estimates


@dataclass(frozen=True)
class Drawn:
    """A lamp or the like behind a block, with some of it written."""

    kind: str
    watts: int
    critical: str
    length_m: float
    feed: str | None
    neg: str | None
    stub: str | None
    fuse: str | None
    switch_ohm: float | None
    switch_a: float | None

    def text(self) -> str:
        """As a job file."""
        fuse = "fuse" if self.fuse is None else f"fuse: {self.fuse}"
        stub = "" if self.stub is None else f"{{wire: {self.stub}, length: 30 cm}}, "
        rating = "" if self.switch_a is None else f": {self.switch_a:g} A"
        ohm = "" if self.switch_ohm is None else f", resistance: {self.switch_ohm * 1000:g} mohm"
        switch = f"{{switch{rating or ': 10 A'}{ohm}}}" if ohm else f"switch{rating}"
        wire = [f", wire: {size}" if size else "" for size in (self.feed, self.neg)]
        return f"""groundstrap: 1
title: drawn
system: 12 V
body: fibreglass
supplies: {{battery: {{kind: battery, at: bay, capacity: 70 Ah}}, alternator: none}}
places: {{bay: cabin, back: cabin}}
gear: {{block: {{kind: block, at: bay}}, bus: {{kind: block, at: bay}}}}
loads: {{lights: {{kind: {self.kind}, at: back, claims: {{power: {self.watts} W}}{self.critical}}}}}
circuits:
  feed: {{path: [battery, fuse, block], length: 1 m{wire[0]}}}
  neg: {{path: [bus, battery -], length: 1 m{wire[1]}}}
  lights: {{path: [block, {stub}{fuse}, {switch}, lights], return: bus, length: {self.length_m:g} m}}
"""

    def mended(self, change: Change) -> Drawn:
        """With what is said to do in place of what is there."""
        if change.would_do is not None:
            assert change.would_do != change.size
            field = "stub" if change.where == "lights" else change.where
            return replace(self, **{field: change.would_do.text})
        if change.rating_a is not None:
            assert change.would_do_a != change.rating_a
            return replace(self, fuse=f"{change.would_do_a:g} A")
        assert change.would_do_ohm is not None
        assert change.ohm is not None
        assert change.would_do_ohm < change.ohm
        rating_a = change.would_do_a if change.would_do_a is not None else self.switch_a
        return replace(self, switch_ohm=None, switch_a=rating_a)


def _drawn(seed: int) -> Drawn:
    draw = random.Random(seed)
    return Drawn(
        kind=draw.choice(["lamp", "led", "heater", "motor"]),
        watts=draw.choice([20, 55, 110, 200, 300]),
        critical=draw.choice(["", ", critical: yes"]),
        length_m=draw.choice([4, 7, 12, 80]),
        feed=draw.choice([None, "4 mm2", "10 mm2"]),
        neg=draw.choice([None, "6 mm2", "16 mm2"]),
        stub=draw.choice([None, "0.75 mm2", "2.5 mm2", "6 mm2"]),
        fuse=draw.choice([None, "5 A", "15 A", "40 A"]),
        switch_ohm=draw.choice([None, 0.02, 0.05]),
        switch_a=10.0,
    )


def _lost(text: str) -> dict[str, Unsolved]:
    installation = read_job(text).installation
    return {found.circuit: found for found in choose(installation, estimates(installation)).unsolved}


@pytest.mark.parametrize("seed", range(0, 120, 4))
def test_what_is_proposed_does(seed: int) -> None:
    drawn = _drawn(seed)
    before = _lost(drawn.text())
    for name, found in before.items():
        mended = drawn
        if found.blame is not None:
            for change in found.blame.changes:
                mended = mended.mended(change)
        elif found.remedy is not None and found.remedy.kind is RemedyKind.SHORTER and name == "lights":
            mended = replace(drawn, length_m=found.remedy.value + (0.3 if drawn.stub else 0.0))
        else:
            continue
        after = _lost(mended.text())
        assert name not in after, unsolved_words(found, Display())
        assert set(after) <= set(before)


def test_many_of_those_jobs_are_unfit_for_what_is_written() -> None:
    found = [lost for seed in range(0, 120, 4) for lost in _lost(_drawn(seed).text()).values()]
    blamed = [lost for lost in found if lost.blame is not None]
    assert len(blamed) >= 8
    assert len({change.where for lost in blamed if lost.blame for change in lost.blame.changes}) >= 3


STUB = _drawn(0)
LAMPS = replace(
    STUB,
    kind="lamp",
    watts=110,
    critical="",
    length_m=7,
    feed=None,
    neg=None,
    stub=None,
    fuse=None,
    switch_ohm=None,
    switch_a=None,
)


def test_a_thin_piece_before_the_fuse_is_blamed_and_no_part() -> None:
    # 25 A in 30 cm of 0.75 mm2 lose 0.17 V cold and heat it far above what its metal stays cool at.
    found = _lost(replace(LAMPS, kind="heater", watts=300, stub="0.75 mm2").text())["lights"]
    assert found.blame is not None
    (change,) = found.blame.changes
    assert (change.where, change.size) == ("lights", parse_size("0.75 mm2"))


def test_a_worn_switch_is_blamed_with_what_a_sound_one_loses() -> None:
    # 20 W at 12 V are 1.7 A: 300 mohm lose 0.5 V of the 0.36 V that a critical lamp is allowed.
    found = _lost(replace(LAMPS, watts=20, critical=", critical: yes", switch_ohm=0.3).text())["lights"]
    assert found.blame is not None
    (change,) = found.blame.changes
    assert (change.where, change.ohm, change.known) == ("lights switch", 0.3, True)
    assert change.would_do_ohm is not None
    assert change.would_do_ohm < 0.05


def test_a_part_that_carries_too_much_is_blamed_before_cable_that_loses_more() -> None:
    # 25 A through a switch for 10 A; the stub of 2.5 mm2 stands it.
    found = _lost(replace(LAMPS, kind="heater", watts=300, stub="2.5 mm2", switch_a=10.0).text())["lights"]
    assert found.blame is not None
    assert found.blame.changes[0].where == "lights switch"


def test_what_needs_no_change_is_not_called_unfit() -> None:
    assert not _lost(LAMPS.text())


def test_a_written_branch_that_loses_too_much_by_itself_leaves_its_feeder_fit() -> None:
    # 9 A through 12 m of 1.5 mm2 and back lose 2.5 V: no feeder makes up for that.
    text = LAMPS.text().replace("length: 7 m", "length: 12 m, wire: 1.5 mm2, fuse: 15 A")
    assert not _lost(text)


def test_a_written_fuse_above_every_wire_is_taken_back() -> None:
    text = replace(LAMPS, fuse="500 A").text()
    found = _lost(text)["lights"]
    assert found.kind is ReasonKind.FUSE
    assert found.blame is not None
    (change,) = found.blame.changes
    assert (change.where, change.rating_a) == ("lights fuse", 500.0)
    assert change.would_do_a is not None
    assert "lights" not in _lost(text.replace("fuse: 500 A", f"fuse: {change.would_do_a:g} A"))


def test_what_the_shelf_lacks_is_named() -> None:
    text = replace(LAMPS, feed="35 mm2", neg="35 mm2").text()
    installation = read_job(text).installation
    thin = StockItem(kind="wire", size=parse_size("2.5 mm2"))
    short = replace(installation, stock=Stock(file="shelf.csv", items=(thin,)))
    found = {lost.circuit: lost for lost in choose(short, estimates(installation)).unsolved}["lights"]
    assert found.remedy is not None
    assert found.remedy.kind is RemedyKind.SHELF
    assert found.remedy.size is not None
    more = (thin, StockItem(kind="wire", size=found.remedy.size))
    stocked = replace(installation, stock=Stock(file="shelf.csv", items=more))
    assert "lights" not in {lost.circuit for lost in choose(stocked, estimates(installation)).unsolved}


def test_what_no_single_cable_carries_is_laid_side_by_side() -> None:
    text = replace(LAMPS, kind="heater", watts=3000, length_m=1).text().replace("[block, ", "[battery, ")
    found = _lost(text)["lights"]
    assert found.remedy is not None
    assert found.remedy.kind is RemedyKind.PARALLEL
    assert "lights" not in _lost(
        text.replace("length: 1 m}\n", f"length: 1 m, parallel: {found.remedy.value:g}}}\n")
    )


def test_insulation_below_the_air_is_told_with_one_that_suits() -> None:
    hot = "zones: {cabin: {ambient: 5..75 degC}}\n"
    text = LAMPS.text().replace("length: 7 m", "length: 7 m, insulation: 70 degC") + hot
    found = _lost(text)["lights"]
    assert found.remedy is not None
    assert found.remedy.kind is RemedyKind.INSULATION
    assert "lights" not in _lost(text.replace("70 degC", f"{found.remedy.value:g} degC"))


def test_where_parts_alone_lose_more_than_is_allowed_they_are_named() -> None:
    text = LAMPS.text().replace("length: 7 m", "length: 3 m, drop: 0.04 V")
    found = _lost(text)["lights"]
    assert found.blame is None
    assert found.remedy is None
    # 9 A through the few milliohms of a fuse and of a switch for 25 A: more than 0.04 V, whatever the cable.
    assert {loss.where for loss in found.losses} >= {"lights fuse", "lights switch"}
    assert [loss.drop_v for loss in found.losses] == sorted((x.drop_v for x in found.losses), reverse=True)
    assert "lights switch" in unsolved_words(found, Display())


def test_a_way_out_is_shortened_and_a_return_to_elsewhere_is_not() -> None:
    """What is proposed is written as `length`: the return keeps its route of 12 m."""
    text = """groundstrap: 1
title: drawn
system: 12 V
supplies: {battery: {kind: battery, at: bay, capacity: 70 Ah}, alternator: none}
gear: {block: {kind: block, at: bench}}
loads: {lamp: {kind: lamp, at: back, claims: {current: 40 A}}}
circuits:
  feed: {path: [battery, fuse, block], length: 1 m, wire: 95 mm2}
  lamp: {path: [block, fuse, lamp], length: 300 m, drop: 5 %}
routes: [{from: bay, to: back, length: 12 m}]
"""
    remedy = _lost(text)["lamp"].remedy
    assert remedy is not None
    assert remedy.kind is RemedyKind.SHORTER
    assert remedy.value is not None
    assert not _lost(text.replace("300 m", f"{remedy.value:g} m"))
    assert _lost(text.replace("300 m", f"{remedy.value * 1.05:g} m"))
