"""Where nothing fits for what is written on the way, it is named, with a size that would do."""

from __future__ import annotations

import re

from groundstrap.assess import ReasonKind
from groundstrap.design import RemedyKind, Unsolved, choose
from groundstrap.job import read_job
from groundstrap.report.choice_words import unsolved_words
from groundstrap.report.figures import Display
from groundstrap.units import ConductorSize
from groundstrap.vet import estimates

THIN = """groundstrap: 1
title: Heater behind a thin feeder
system: 12 V
body: fibreglass
return: minus bar
supplies: {battery: {kind: battery, at: bay, capacity: 70 Ah}, alternator: none}
gear: {block: {kind: block, at: back}, minus bar: {kind: block, at: bay}}
places: {back: cabin, bay: cabin}
loads:
  heater: {kind: heater, at: back, claims: {power: 300 W}}
  lamp: {kind: led, at: back, claims: {power: 20 W}}
circuits:
  feeder: {path: [battery, fuse, block], length: 6 m, wire: 2.5 mm2}
  minus: {path: [minus bar, battery -], length: 20 cm, wire: 35 mm2}
  heater: {path: [block, fuse, heater], length: 3 m}
  lamp: {path: [block, fuse, lamp], length: 3 m}
"""
TWO = """groundstrap: 1
title: Charge line with a new way back
system: 12 V
body: fibreglass
supplies:
  car battery: {kind: battery, at: car, capacity: 80 Ah}
  alternator: {kind: alternator, at: car, rating: 120 A}
  trailer battery: {kind: battery, at: box, capacity: 75 Ah}
loads: {lamp: {kind: led, at: box, claims: {power: 20 W}}}
circuits:
  charge line: {path: [car battery, fuse: 20 A, trailer battery], length: 10 m, state: existing}
  charge return: {path: [trailer battery -, car battery -], length: 10 m}
  lamp: {path: [trailer battery, fuse, lamp], length: 1 m}
"""


def _unsolved(text: str) -> dict[str, Unsolved]:
    installation = read_job(text).installation
    return {lost.circuit: lost for lost in choose(installation, estimates(installation)).unsolved}


def _would_do(found: Unsolved) -> ConductorSize:
    assert found.blame is not None
    (change,) = found.blame.changes
    assert change.would_do is not None
    return change.would_do


def test_the_thin_feeder_is_named_with_one_size_that_would_do_for_all() -> None:
    lost = _unsolved(THIN)
    assert set(lost) == {"heater", "lamp"}
    assert {found.blame.where for found in lost.values() if found.blame is not None} == {("feeder",)}
    (size,) = {_would_do(found) for found in lost.values()}
    # 12 V and 300 W in a heater are 25 A; 6 m of 2.5 mm2 out at 1/58 ohm mm2/m lose 1 V of it before heat.
    volts = 25.0 * 6.0 / (58.0 * 2.5)
    assert all(found.blame is not None and found.blame.drop_v > volts for found in lost.values())
    words = unsolved_words(lost["heater"], Display())
    assert re.match(r"the 2\.5 mm2 in feeder \(6 m\) takes [\d.]+ V of the 0\.60 V allowed", words)
    assert f"{size.text} in feeder would do" in words


def test_the_size_that_is_named_does_do() -> None:
    size = _would_do(_unsolved(THIN)["heater"])
    assert not _unsolved(THIN.replace("wire: 2.5 mm2", f"wire: {size.text}"))


def test_a_small_fuse_that_takes_the_volts_is_named_as_a_part() -> None:
    text = TWO.replace("length: 10 m, state: existing", "length: 10 m").replace("fuse: 20 A", "fuse: 3 A")
    found = _unsolved(text)["charge line"]
    assert found.blame is not None
    (change,) = found.blame.changes
    assert (change.where, change.rating_a) == ("charge line fuse", 3.0)
    assert change.would_do_a is not None
    assert not _unsolved(text.replace("fuse: 3 A", f"fuse: {change.would_do_a:g} A"))


def test_what_hangs_on_a_cable_that_nobody_knows_asks_for_its_size() -> None:
    lost = _unsolved(TWO)
    assert set(lost) == {"charge return"}
    assert lost["charge return"].hangs_on == ("charge line",)
    assert "cable of charge line" in unsolved_words(lost["charge return"], Display())


def test_what_is_too_far_by_itself_blames_nothing() -> None:
    # 25 A through 2 x 400 m of 120 mm2 lose 2.9 V; 0.6 V are allowed.
    text = THIN.replace("wire: 2.5 mm2", "wire: 35 mm2").replace("heater], length: 3", "heater], length: 400")
    found = _unsolved(text)["heater"]
    assert found.kind is ReasonKind.DROP
    assert found.blame is None
    assert found.remedy is not None
    assert found.remedy.kind is RemedyKind.SHORTER
    # 25 A through 2 x 1/(58 x 120) ohm a metre lose 0.6 V in 83 m, with nothing else in the way.
    assert 30.0 < found.remedy.value < 0.6 / (25.0 * 2.0 / (58.0 * 120.0))
    shorter = text.replace("length: 400", f"length: {found.remedy.value:g}")
    assert not _unsolved(shorter)
