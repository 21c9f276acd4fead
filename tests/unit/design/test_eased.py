"""What makes a cable far thicker than it need be is told, with the size that is chosen without it."""

from __future__ import annotations

import json

import pytest

from groundstrap import api
from groundstrap.design import Binding, Design, choose
from groundstrap.job import read_job
from groundstrap.report.choice_words import eased_words
from groundstrap.report.figures import Display
from groundstrap.vet import estimates

BARS = """groundstrap: 1
title: A small charger on a large bar
system: 12 V
body: fibreglass
supplies:
  battery: {kind: battery, at: bay, chemistry: agm, capacity: 200 Ah}
  charger: {kind: mains charger, at: bay, current: 15 A}
  alternator: none
places: {bay: cabin}
gear: {plus bar: {kind: block, at: bay}, minus bar: {kind: block, at: bay}}
loads: {inverter: {kind: inverter, at: bay, claims: {power: 2 kW}}}
circuits:
  main: {path: [battery, fuse, plus bar], length: 60 cm}
  neg: {path: [minus bar, battery -], length: 60 cm}
  inverter: {path: [plus bar, inverter], return: minus bar, length: 60 cm}
  charger: {path: PATH}
  charger neg: {path: [charger -, minus bar], length: 1 m}
"""
LAMP = """groundstrap: 1
title: A critical lamp behind a lossy switch
system: 12 V
body: fibreglass
supplies: {battery: {kind: battery, at: bay, capacity: 70 Ah}, alternator: none}
places: {bay: cabin, mast: cabin}
loads: {lamp: {kind: lamp, at: mast, critical: yes, claims: {power: 100 W}}}
circuits:
  lamp: {path: [battery, fuse, SWITCH, lamp], return: battery -, length: 7 m}
"""


def _chosen(text: str) -> Design:
    installation = read_job(text).installation
    return choose(installation, estimates(installation))


def _area_mm2(design: Design, circuit: str) -> float:
    wires = design.installation.circuits[circuit].wires
    return max(wire.area_mm2 or 0.0 for wire in wires if wire.name in design.sizes)


def _words(binding: Binding) -> str:
    return eased_words(binding, Display())


@pytest.mark.parametrize(
    "path",
    [
        "[charger, fuse, plus bar], length: 1 m",
        "[charger, {length: 80 cm}, fuse, length: 20 cm, plus bar]",
    ],
)
def test_a_charger_s_fuse_away_from_the_bar_is_told_with_what_one_at_the_bar_saves(path: str) -> None:
    found = _chosen(BARS.replace("PATH", path))
    binding = found.bindings["charger"]
    # What lies between the bar and the charger's own fuse stands behind the main fuse of 200 A and more.
    assert binding.where == "main fuse"
    assert binding.eased is not None
    assert binding.eased.gives is not None
    assert "charger fuse right at plus bar" in _words(binding)
    at_bar = _chosen(BARS.replace("PATH", "[charger, length: 1 m, fuse, plus bar]"))
    assert binding.eased.gives.area_mm2 == _area_mm2(at_bar, "charger")
    assert binding.eased.gives.area_mm2 < 0.1 * _area_mm2(found, "charger")
    assert at_bar.bindings["charger"].eased is None


def test_what_has_no_fuse_of_its_own_behind_a_large_one_is_told_of_one() -> None:
    lamp = "loads: {lamp: {kind: led, at: bay, claims: {power: 60 W}}, "
    text = BARS.replace("loads: {", lamp).replace("PATH", "[charger, length: 1 m, fuse, plus bar]")
    found = _chosen(f"{text}  lamp: {{path: [plus bar, lamp], return: minus bar, length: 3 m}}\n")
    binding = found.bindings["lamp"]
    assert "a fuse of its own at plus bar" in _words(binding)
    own = _chosen(f"{text}  lamp: {{path: [plus bar, fuse, lamp], return: minus bar, length: 3 m}}\n")
    assert binding.eased is not None
    assert binding.eased.gives is not None
    assert binding.eased.gives.area_mm2 == _area_mm2(own, "lamp")
    # The inverter fills the fuse before it, and gains nothing by one of its own.
    assert found.bindings["inverter"].eased is None


def test_a_lossy_switch_is_told_with_what_a_better_one_saves() -> None:
    found = _chosen(LAMP.replace("SWITCH", "{switch: 10 A, resistance: 25 mohm}"))
    binding = found.bindings["lamp"]
    assert binding.eased is not None
    # 100 W of filament at 12 V are 8.3 A at least: 25 mohm take 0.21 V of the 0.36 V that 3 % allow.
    assert binding.eased.drop_v > 0.2
    (change,) = binding.eased.changes
    assert change.would_do_ohm is not None
    better = f"{{switch: {change.would_do_a or 10:g} A, resistance: {change.would_do_ohm * 1000:g} mohm}}"
    assert binding.eased.gives is not None
    assert binding.eased.gives.area_mm2 == _area_mm2(_chosen(LAMP.replace("SWITCH", better)), "lamp")
    assert binding.eased.gives.area_mm2 < 0.7 * _area_mm2(found, "lamp")
    assert "of the 0.36 V allowed" in _words(binding)


def test_a_thin_lead_at_the_end_is_told_with_the_size_that_would_do() -> None:
    lead = "{switch: 60 A, resistance: 1 mohm}, {wire: 1 mm2, length: 80 cm}"
    text = LAMP.replace("return: battery -", "return: [{length: 7 m}, battery -]")
    found = _chosen(text.replace("SWITCH", lead))
    binding = found.bindings["lamp"]
    assert binding.eased is not None
    assert binding.eased.gives is not None
    assert binding.eased.gives.area_mm2 < _area_mm2(found, "lamp")
    # 8.3 A through 80 cm of 1 mm2 (14 mohm) lose 0.11 V and more of the 0.36 V.
    assert binding.eased.drop_v > 0.11
    assert [change.where for change in binding.eased.changes] == ["lamp"]


def test_a_circuit_with_no_better_part_says_nothing() -> None:
    found = _chosen(LAMP.replace("SWITCH", "{switch: 60 A, resistance: 1 mohm}"))
    assert found.bindings["lamp"].eased is None
    assert _words(found.bindings["lamp"]) == ""


def test_json_tells_what_would_be_thinner_and_what_would_fit() -> None:
    answer = api.plan(api.read_job(BARS.replace("PATH", "[charger, fuse, plus bar], length: 1 m")))
    told = json.loads(api.plan_json(answer))["circuits"]["charger"]["thinner"]
    assert told["area_mm2"] == 4.0
    assert "right at plus bar" in told["why"]
    lossy = api.plan(api.read_job(LAMP.replace("SWITCH", "{switch: 10 A, resistance: 80 mohm}")))
    (lost,) = json.loads(api.plan_json(lossy))["unsolved"]
    assert "lamp switch" in lost["why"]


@pytest.mark.filterwarnings("error")
def test_a_wire_that_melts_beside_the_way_counts_for_nothing_there() -> None:
    """125 A through half a square millimetre heat without end, and the lamp's way has none of it."""
    heater = "heater: {kind: heater, at: bay, claims: {power: 1500 W}}"
    melts = "heater: {path: [battery, {wire: 0.5 mm2, length: 3 m}, heater], return: battery -, length: 3 m}"
    alone = LAMP.replace("SWITCH", "switch")
    both = alone.replace("loads: {", f"loads: {{{heater}, ")
    beside = both.replace("circuits:\n", f"circuits:\n  {melts}\n")
    assert _words(_chosen(beside).bindings["lamp"]) == _words(_chosen(alone).bindings["lamp"]) != ""
