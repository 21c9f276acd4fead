"""Fuses beside the way of a fault: in a negative, past a strap, at the end that only a charger feeds."""

from __future__ import annotations

import pytest

from groundstrap.assess import ReasonKind
from tests.rules.judged import assessed

BATTERIES = ("A: {kind: battery, cranking: 640 A EN}", "B: {kind: battery, capacity: 100 Ah}")
PAIR = """
supplies: {%s, %s, alternator: none}
loads: {lamp: {kind: lamp, claims: {power: 55 W, voltage: 12 V}}}
circuits:
  strap: {path: [A, B], length: 20 cm, wire: 35 mm2}
  link: {path: [A, length: 5 cm, fuse: 60 A, B], length: 4 m, wire: 16 mm2}
  lamp: {path: [B, fuse: 10 A, lamp], length: 1 m, wire: 1 mm2, return: B -}
"""


@pytest.mark.parametrize("batteries", [BATTERIES, BATTERIES[::-1]])
def test_the_fuse_of_a_circuit_guards_its_way_back_whatever_else_stands_as_near(
    batteries: tuple[str, str],
) -> None:
    circuits = assessed(PAIR % batteries).circuits
    # The link's fuse is passed by the strap: nothing behind it hangs on it.
    assert not set(circuits["lamp"].wires) & set(circuits["link"].fuses["link fuse"].protects)
    assert set(circuits["lamp"].wires) <= set(circuits["lamp"].fuses["lamp fuse"].protects)


NEGATIVE = """
supplies: {battery: {kind: battery, resistance: 5 mohm, rested: 12.6 V}, alternator: none}
gear: {bus: {kind: block}}
loads: {lamp: {kind: lamp, claims: {power: 55 W, voltage: 12 V}}}
circuits:
  lamp: {path: [battery, fuse: 10 A, lamp], return: [bus], length: 1 m, wire: 2.5 mm2}
  negative: {path: [bus, fuse: 20 A, battery -], length: 20 cm, wire: 35 mm2}
"""


def test_a_fuse_in_a_negative_may_have_to_break_what_the_battery_gives() -> None:
    fuse = assessed(NEGATIVE).circuits["negative"].fuses["negative fuse"]
    # By hand: 12.6 V or more behind 5 mohm; 20 cm of 35 mm2 and its two ends are less than a fifth of that.
    assert fuse.fault_most_a is not None
    assert 12.6 / 0.006 < fuse.fault_most_a < 13.0 / 0.005


CHARGER = """
supplies:
  house: {kind: battery, chemistry: agm, capacity: 100 Ah}
  alternator: none
  charger: {kind: mains charger, current: 30 A, setpoint: 14.4 V}
gear: {bus: {kind: block, rating: 60 A}}
loads: {lamp: {kind: lamp, claims: {power: 55 W, voltage: 12 V}}}
circuits:
  out: {path: [charger, fuse, bus], length: 1 m, wire: 10 mm2}
  in: {path: [house, fuse: 50 A, bus], length: 1 m, wire: 10 mm2}
  lamp: {path: [bus, fuse: 10 A, lamp], length: 1 m, wire: 2.5 mm2, return: house -}
"""


def test_a_fuse_with_no_cable_behind_it_is_ended_by_what_is_made_alone() -> None:
    fuse = assessed(CHARGER).circuits["out"].fuses["out fuse"]
    # The cable lies behind the battery's fuse; a charger that limits itself opens none.
    assert fuse.protects == ()
    assert fuse.window.known
    assert fuse.window.most_reason.kind is ReasonKind.FAMILY
    # By hand: 30 A for hours in a cabin at 60 degC want 40 A at least.
    assert fuse.window.least_a is not None
    assert fuse.window.least_a >= 40.0
    assert fuse.window.ratings[0] == fuse.window.least_a
