"""Single failures in networks that are worked by hand, and what is told of them.

Source of the currents: Kirchhoff by hand, from the written inner resistance of the battery, loads as
resistances (volts over amps as claimed) and copper of 1/58 ohm mm2/m at 20 degC (IEC 60028). What the hand
leaves out are crimps, joints and the strands' lay: together a few per cent of these loops.
"""

from __future__ import annotations

import math

import pytest

from groundstrap.assess import Assessment, FailureAssessment, FailureKind, VictimKind
from groundstrap.model import Situation
from tests.rules.judged import assessed

HAND = 0.08
"""Crimps, joints and lay that the sums by hand leave out: up to 3 mohm in 90, and a lay of 2 to 3 %."""

ENGINE = """
supplies:
  battery: {kind: battery, at: cabin, capacity: 70 Ah, resistance: 8 mohm, rested: 12.6 V}
  alternator: none
gear: {engine block: {kind: block, at: cabin, state: existing}}
loads:
  starter: {kind: starter, at: cabin, claims: {current: 150 A, voltage: 12 V}, state: existing}
  heater: {kind: heater, at: cabin, claims: {power: 360 W, voltage: 12 V}, runs: [resting]}
circuits:
  starter:
    path: [battery, starter]
    return: [engine block]
    length: 1 m
    wire: 35 mm2
    insulation: 105 degC
    state: existing
  engine strap: {path: [engine block, {wire: 35 mm2, length: 40 cm}, battery -]}
  heater:
    path: [battery, length: 10 cm, {fuse: 40 A, family: high-current blade}, heater]
    return: [engine block]
    length: 2 m
    wire: 6 mm2
"""
THIN = "  pump earth: {path: [engine block, {wire: 1.5 mm2, length: 2 m}, battery -]}\n"


def copper_ohm(length_m: float, area_mm2: float, temp_c: float) -> float:
    """Copper, out alone. [ohm]"""
    return length_m / 58.0 / area_mm2 * (1 + 0.00393 * (temp_c - 20.0))


def only(found: Assessment, **wanted: object) -> FailureAssessment:
    """The one failure with these values."""
    chosen = [f for f in found.failures if all(getattr(f, key) == value for key, value in wanted.items())]
    assert len(chosen) == 1, found.failures
    return chosen[0]


def test_without_its_strap_the_starter_cranks_through_the_thin_earth() -> None:
    found = only(assessed(ENGINE + THIN), situation=Situation.CRANKING)
    assert (found.kind, found.place, found.victim) == (FailureKind.OPENS, "engine strap", "pump earth wire 1")
    cabin_c = 60.0  # hottest air of the cabin
    loop_ohm = 0.008 + 12.0 / 150.0 + copper_ohm(1.0, 35.0, cabin_c) + copper_ohm(2.0, 1.5, cabin_c)
    assert found.current_a == pytest.approx(12.6 / loop_ohm, rel=HAND)
    assert found.before_a is not None
    assert found.before_a < 5.0  # the strap has 0.2 mohm of copper, the thin earth 27
    assert found.overheats
    assert found.sure
    assert not found.rests_on


def test_the_heater_goes_the_same_way_at_rest() -> None:
    found = only(assessed(ENGINE + THIN), situation=Situation.RESTING, victim_kind=VictimKind.WIRE)
    loop_ohm = 0.008 + 0.4 + copper_ohm(4.0, 6.0, 60.0) + copper_ohm(2.0, 1.5, 60.0)
    assert found.current_a == pytest.approx(12.6 / loop_ohm, rel=HAND)
    assert found.limit_a is not None
    assert found.current_a is not None
    assert found.limit_a < found.current_a


@pytest.mark.parametrize("more", ["", THIN.replace("1.5 mm2", "35 mm2")])
def test_nothing_is_told_of_one_way_alone_and_of_two_that_carry_it(more: str) -> None:
    assert assessed(ENGINE + more).failures == ()


def test_a_fuse_in_the_thin_way_ends_it() -> None:
    fused = THIN.replace("engine block,", "engine block, {fuse: 10 A, family: regular blade},")
    found = only(assessed(ENGINE + fused), situation=Situation.CRANKING)
    assert found.opened_by == "pump earth fuse"
    assert not found.overheats
    assert found.opened_s is not None
    assert found.after_s is not None
    assert found.opened_s < found.after_s


LINKED = """
supplies:
  battery: {kind: battery, at: cabin, capacity: 70 Ah, resistance: 10 mohm, rested: 12.6 V}
  leisure: {kind: battery, at: cabin, capacity: 70 Ah, resistance: 10 mohm, rested: 12.6 V}
  alternator: none
gear:
  link: {kind: relay, at: cabin, rating: 30 A, closes: 13.3 V, opens: 12.8 V}
  minus: {kind: block, at: cabin}
return: minus
loads: {starter: {kind: starter, at: cabin, claims: {current: 240 A, voltage: 12 V}, state: existing}}
circuits:
  starter: {path: [battery, starter], length: 50 cm, wire: 70 mm2, insulation: 105 degC, state: existing}
  split: {path: [battery, link, leisure], length: 8 m, wire: 6 mm2}
  first minus: {path: [minus, battery -], length: 20 cm, wire: 70 mm2}
  second minus: {path: [minus, leisure -], length: 20 cm, wire: 70 mm2}
"""


def test_a_link_that_stays_closed_shares_the_start_by_its_resistance() -> None:
    found = only(assessed(LINKED), victim="link")
    assert (found.kind, found.victim_kind) == (FailureKind.CLOSED_IN_CRANKING, VictimKind.PART)
    # Two equal EMFs on the starter: the second one has 8 m of 6 mm2 more in its way, and the contact.
    own_ohm = 0.010 + copper_ohm(0.2, 70.0, 60.0)
    contact_ohm = 0.005  # a small relay, common practice
    link_ohm = 0.010 + contact_ohm + copper_ohm(8.0, 6.0, 60.0) + copper_ohm(0.2, 70.0, 60.0)
    both_ohm = 1.0 / (1.0 / own_ohm + 1.0 / link_ohm)
    whole_a = 12.6 / (both_ohm + 12.0 / 240.0 + copper_ohm(1.0, 70.0, 60.0))
    assert found.current_a == pytest.approx(whole_a * both_ohm / link_ohm, rel=HAND)
    assert found.limit_a == 30.0


def test_the_common_earth_of_a_tapped_pair_is_a_divider_when_lost() -> None:
    found = only(
        assessed(
            """
supplies:
  battery: {kind: battery, at: cabin, capacity: 180 Ah, bank: 2 in series}
  alternator: none
gear: {earth bar: {kind: block, at: cabin}}
return: earth bar
loads:
  radio: {kind: electronics, at: cabin, claims: {current: 1 A, voltage: 12 V}}
  lamp: {kind: lamp, at: cabin, claims: {power: 240 W, voltage: 24 V}}
circuits:
  radio:
    path: [battery 1 +, length: 10 cm, {fuse: 3 A, family: regular blade}, radio]
    length: 2 m
    wire: 1.5 mm2
  lamp:
    path: [battery, length: 10 cm, {fuse: 15 A, family: regular blade}, lamp]
    length: 2 m
    wire: 4 mm2
  bank earth: {path: [earth bar, {wire: 10 mm2, length: 50 cm}, battery -]}
""",
            system="24 V",
        ),
        victim="radio",
        victim_kind=VictimKind.LOAD,
    )
    # The upper half is left, 12.7 V when full: lamp (2.4 ohm) and radio (12 ohm) in a row, this one reversed.
    assert found.place == "bank earth"
    assert found.voltage_v == pytest.approx(-12.7 * 12.0 / 14.4, rel=0.03)


HOIST = """
loads:
  hoist:
    kind: motor
    at: cabin
    claims: {{current: 60 A, voltage: 12 V}}
    duty: {{run: 20 s, every: 10 min}}
circuits:
  hoist:
    path: [battery, length: 10 cm, {{fuse: {fuse} A, family: high-current blade}}, {more}relay: 100 A, hoist]
    length: 3 m
    wire: 4 mm2
"""


def test_a_welded_relay_leaves_on_what_nothing_else_switches_off() -> None:
    found = assessed(HOIST.format(fuse=60, more=""))
    told = only(found, victim="hoist")
    assert (told.kind, told.element) == (FailureKind.WELDED, "hoist relay")
    assert not [
        f for f in assessed(HOIST.format(fuse=60, more="isolator: 100 A, ")).failures if f.victim == "hoist"
    ]


def test_cable_sized_for_pauses_overheats_without_them() -> None:
    found = [f for f in assessed(HOIST.format(fuse=70, more="")).failures if f.victim_kind is VictimKind.WIRE]
    assert found
    for failure in found:
        assert failure.kind is FailureKind.WELDED
        assert failure.limit_a is not None
        assert failure.current_a is not None
        assert failure.current_a > failure.limit_a
        assert failure.after_s is not None
        assert math.isfinite(failure.after_s)


CONVERTER = """
supplies:
  battery: {kind: battery, at: cabin, capacity: 70 Ah}
  leisure: {kind: battery, at: cabin, capacity: 100 Ah}
  alternator: {kind: alternator, at: engine bay, rating: 200 A}
  booster: {kind: dc-dc, at: cabin, current: 60 A, setpoint: 14.4 V, isolated: yes}
gear: {bar: {kind: block, at: cabin}}
loads: {heater: {kind: heater, at: cabin, claims: {power: 300 W, voltage: 12 V}}}
circuits:
  booster feed: {path: [battery, fuse: 80 A, booster in], return: [bar], length: 2 m, wire: 16 mm2}
  booster output: {path: [booster, fuse: 80 A, leisure], length: 1 m, wire: 16 mm2}
  leisure earth: {path: [leisure -, {wire: 16 mm2, length: 1 m}, bar]}
  bar earth: {path: [bar, {wire: 25 mm2, length: 1 m}, battery -]}
  thin earth: {path: [bar, {wire: 0.75 mm2, length: 12 m}, battery -]}
  heater: {path: [battery, fuse: 60 A, heater], return: [bar], length: 1 m, wire: 10 mm2}
"""


def test_a_converter_that_can_no_longer_work_counts_as_off() -> None:
    # 12 m of 0.75 mm2 are 0.32 ohm: at most 12.6^2 / 4 / 0.32 = 124 W pass it, and the booster asks for 900.
    found = only(assessed(CONVERTER), victim="thin earth wire 1", place="bar earth")
    # What is left is the heater, at the volts of the alternator.
    loop_ohm = 0.48 + copper_ohm(12.0, 0.75, 60.0) + 0.010
    assert found.current_a == pytest.approx(14.2 / loop_ohm, rel=HAND)
