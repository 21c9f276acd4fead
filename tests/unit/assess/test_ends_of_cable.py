"""Ends of cable and how it is laid: rings, tabs, torques, looms; figures of their tables, worked by hand."""

from __future__ import annotations

import math

import pytest

from groundstrap.assess import WireEnd
from groundstrap.tables import conductor_data
from tests.unit.assess.test_switching import assessed

JOB = """
supplies:
  battery: {{kind: battery, at: cabin, chemistry: agm, capacity: 100 Ah{battery}}}
  alternator: none
loads: {{lamp: {{kind: led, at: cabin, claims: {{power: 60 W}}{load}}}}}
gear:
  panel: {{kind: block, at: cabin, ways: 4{panel}}}
  lamp switch: {{kind: switch, at: cabin, rating: {rating}{switch}}}
circuits:
  feed:
    path: [battery, length: 15 cm, {{fuse: 60 A, family: bolt-down strip 30 mm}}, panel]
    length: 2 m
    wire: 16 mm2
  lamp:
    path: [panel 1, {{fuse: 10 A, family: regular blade}}, lamp switch, {{connector: 15 A}}, lamp]
    length: 5 m
    wire: 2.5 mm2
"""


def ends(wire: str, **keys: str) -> tuple[WireEnd, WireEnd]:
    written = {"battery": "", "load": "", "panel": "", "switch": "", "rating": "16 A"} | keys
    return assessed(JOB.format(**written)).ends[wire]


def test_a_bolted_fuse_has_the_studs_of_its_standard() -> None:
    # ISO 8820-5, type SF 30: M5 bolts; 4 to 5 N m, from memory.
    _, end = ends("feed wire 1")
    assert (end.terminal, end.stud, end.assumed) == ("ring", "M5", True)
    assert end.torque_nm is not None
    assert (end.torque_nm.low, end.torque_nm.high) == (4.0, 5.0)
    # Rings for M5 go up to 10 mm2: 16 mm2 wants M6 at least.
    assert end.takes_most_mm2 == 10.0
    assert end.least_stud == "M6"


def test_a_battery_stud_is_tightened_as_its_maker_says() -> None:
    # Data of makers, sealed battery stud M8: 6.6 to 8.5 N m; a post's clamp 5 to 8.
    start, _ = ends("feed wire 1", battery=", stud: M8")
    assert (start.stud, start.assumed, start.hole_mm) == ("M8", False, 8.4)
    assert start.torque_nm is not None
    assert (start.torque_nm.low, start.torque_nm.high) == (6.6, 8.5)
    start, _ = ends("feed wire 1")
    assert start.stud is None
    assert start.torque_nm is not None
    assert (start.torque_nm.low, start.torque_nm.high) == (5.0, 8.0)


def test_studs_by_the_inch_are_the_metric_ones_that_their_rings_fit() -> None:
    assert ends("feed wire 2", panel=", stud: 5/16 in")[1].stud == "M8"


def test_a_block_says_nothing_of_its_terminals_and_a_small_switch_has_tabs() -> None:
    start, end = ends("lamp wire 1")
    assert (start.terminal, start.stud) == (None, None)
    assert (end.terminal, end.tab_mm, end.takes_most_mm2) == ("tab", 6.3, 6.0)
    # 2.5 mm2 is between red and yellow: the blue crimp, 1.5 to 2.5 mm2.
    assert end.crimp_colours == ("blue",)


def test_what_is_written_goes_before_what_is_usual() -> None:
    _, end = ends("lamp wire 1", switch=", stud: 4.8 mm")
    assert (end.tab_mm, end.assumed, end.takes_most_mm2) == (4.8, False, 2.5)
    _, end = ends("lamp wire 1", rating="100 A", switch=", stud: M6")
    assert (end.terminal, end.stud, end.assumed) == ("ring", "M6", False)
    _, end = ends("lamp wire 2", load=", fitted: {wire: 1.5 mm2, length: 1 m}")
    assert (end.terminal, end.assumed) == ("splice", False)
    assert ends("lamp wire 2")[1].terminal is None


def test_a_cable_brings_its_own_heat_to_the_part() -> None:
    _, end = ends("lamp wire 1")
    assert end.air_c == 60.0
    assert end.conductor_c is not None
    assert 60.0 < end.conductor_c < 70.0


LOOM = """
supplies: {{battery: {{kind: battery, at: a, capacity: 100 Ah}}, alternator: none}}
places: {{a: cabin, b: cabin}}
routes: [{{from: a, to: b, length: 3 m, laid: {laid}, with: 2}}]
loads: {{one: {{kind: led, at: b, claims: {{power: 60 W}}}}}}
circuits:
  one:
    path: [battery, length: 10 cm, {{fuse: 10 A, family: regular blade}}, one]
    return: battery -
    wire: 2.5 mm2
"""


def test_a_loom_is_chosen_by_the_circle_round_its_cables() -> None:
    (bundle,) = assessed(LOOM.format(laid="loom")).bundles
    outer_mm = conductor_data(2.5).thick_outer_d_mm
    assert (bundle.cables, bundle.others) == (2, 2)
    # Two circles that fill 0.7 of the circle round them.
    assert bundle.bundle_mm == pytest.approx(math.sqrt(2 * outer_mm**2 / 0.7))
    assert bundle.bundle_mm is not None
    assert bundle.bore_mm is not None
    assert bundle.bore_mm >= bundle.bundle_mm
    assert bundle.grommet_mm is not None
    assert bundle.grommet_mm > bundle.bundle_mm


def test_a_conduit_is_filled_as_the_code_allows() -> None:
    # NEC chapter 9, table 1: two cables fill 31 % of a conduit.
    (bundle,) = assessed(LOOM.format(laid="conduit")).bundles
    outer_mm = conductor_data(2.5).thick_outer_d_mm
    assert bundle.fill_pct == 31.0
    assert bundle.bore_mm == pytest.approx(math.sqrt(2 * outer_mm**2 / 0.31))


def test_cable_that_lies_free_makes_no_bundle() -> None:
    found = assessed(LOOM.format(laid="free"))
    assert found.bundles == ()
    laying = found.laying["one wire 2"]
    # Common practice, from memory: single wire is bent no tighter than four times its diameter.
    assert laying.bend_mm == pytest.approx(4 * laying.outer_mm)
    assert laying.support_m == 0.3


def test_a_way_out_to_a_switch_and_back_lies_in_the_loom_twice() -> None:
    job = LOOM.format(laid="loom").replace(
        "family: regular blade}, one]", "family: regular blade}, far, one]"
    )
    gear = "gear: {far: {kind: switch, at: b, rating: 10 A}}\n"
    near = job.replace("one: {kind: led, at: b", "one: {kind: led, at: a")
    assert assessed(gear + job).bundles[0].cables == 2
    # Out to the switch and back to the lamp beside the battery, and its return beside it all the way.
    assert assessed(gear + near).bundles[0].cables == 4
