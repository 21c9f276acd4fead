"""Ratings of feeders that open after the fuses behind them, at the wires that were chosen anyway."""

from __future__ import annotations

import pytest

from groundstrap.assess import Assessment, assess
from groundstrap.design import Design, choose
from groundstrap.job import read_job
from groundstrap.vet import estimates

JOB = """
groundstrap: 1
title: a bench with a feeder
system: 12 V
supplies: {battery: {kind: battery, at: bench, capacity: 80 Ah, cranking: 700 A EN}, alternator: none}
places: {bench: cabin, rack: cabin}
loads:
  iron: {kind: heater, at: rack, claims: {power: 150 W}}
  lamp: {kind: led, at: rack, claims: {power: 90 W}}
  radio: {kind: electronics, at: rack, claims: {current: 3 A}}
gear: {box: {kind: block, at: rack, rating: 100 A}, bar: {kind: block, at: rack, rating: 100 A}}
circuits:
  feed: {path: [battery, length: 15 cm, fuse, box], length: 5 m}
  back: {path: [bar, battery -], length: 5 m}
  iron: {path: [box, fuse, iron], return: bar, length: 1 m}
  lamp: {path: [box, fuse, lamp], return: bar, length: 1 m}
  radio: {path: [box, fuse, radio], return: bar, length: 1 m}
"""


def _planned(job: str) -> tuple[Design, Assessment]:
    installation = read_job(job).installation
    design = choose(installation, estimates(installation))
    return design, assess(design.installation, estimates(installation))


def test_a_feeder_opens_last_where_its_window_has_such_a_rating() -> None:
    design, found = _planned(JOB)
    feeder = found.circuits["feed"].fuses["feed fuse"]
    choice = design.fuses["feed fuse"]
    assert feeder.rating_a == choice.rating_a
    assert feeder.rating_a in feeder.window.ratings
    assert choice.after
    assert feeder.window.least_a is not None
    assert choice.rating_a > feeder.window.least_a
    assert all(pair.ranges == () for pair in found.starting.series["feed fuse"])


def test_no_wire_grows_for_it() -> None:
    """The lower rating written in its place leaves every wire as it is."""
    design, found = _planned(JOB)
    least_a = found.circuits["feed"].fuses["feed fuse"].window.least_a
    family = design.fuses["feed fuse"].family
    other, _ = _planned(
        JOB.replace("15 cm, fuse, box", f"15 cm, {{fuse: {least_a:g} A, family: {family}}}, box")
    )
    assert other.sizes == design.sizes
    assert other.copper_cm3 == pytest.approx(design.copper_cm3)


def test_what_is_written_stays() -> None:
    design, found = _planned(
        JOB.replace("15 cm, fuse, box", "15 cm, {fuse: 40 A, family: regular blade}, box")
    )
    assert "feed fuse" not in design.fuses
    assert found.circuits["feed"].fuses["feed fuse"].rating_a == 40.0
