"""Which source feeds a fault on a cable, from which end, and what opens it: followed by hand on paper."""

from __future__ import annotations

import pytest

from groundstrap.assess import Assessment, EndFeed
from tests.rules.judged import assessed

LINKED = """
supplies:
  battery: {kind: battery, at: engine bay, capacity: 70 Ah}
  leisure: {kind: battery, at: cabin, capacity: 100 Ah}
  alternator: {kind: alternator, at: engine bay, rating: 90 A}
gear:
  split relay: {kind: relay, at: engine bay, rating: 120 A, closes: 13.3 V, opens: 12.8 V}
  bus: {kind: block, at: cabin}
loads: {lamp: {kind: led, at: cabin, claims: {power: 60 W}}}
circuits:
  split:
    path: [battery, length: 15 cm, {fuse: 100 A, family: bolt-down strip 51 mm}, split relay, bus]
    length: 4 m
    wire: 35 mm2
  house: {path: [leisure, bus], length: 1 m, wire: 35 mm2}
  lamp:
    path: [bus, length: 10 cm, {fuse: 10 A, family: regular blade}, lamp]
    length: 2 m
    wire: 2.5 mm2
"""


def by(found: Assessment, wire: str, source: str) -> list[EndFeed]:
    return [feed for feed in found.feeds[wire] if feed.source == source]


def test_a_link_is_fed_from_both_ends() -> None:
    found = assessed(LINKED)
    # Beyond the relay: the first battery through fuse and relay, the second one bare from the far end.
    [near], [far] = by(found, "split wire 3", "battery"), by(found, "split wire 3", "leisure")
    assert (near.from_end, near.opened_by, near.through) == (False, "split fuse", ("split relay",))
    assert (far.from_end, far.opened_by, far.through) == (True, None, ())
    # Before the fuse: bare from the first battery; the second one is parted by the fuse and the relay.
    [near], [far] = by(found, "split wire 1", "battery"), by(found, "split wire 1", "leisure")
    assert (near.opened_by, near.through) == (None, ())
    assert (far.from_end, far.opened_by, far.through) == (True, "split fuse", ("split relay",))


def test_a_source_that_limits_itself_opens_nothing() -> None:
    for feeds in assessed(LINKED).feeds.values():
        for feed in feeds:
            if feed.source == "alternator":
                assert (feed.opened_by, feed.limit_a) == (None, 90.0)


def test_a_branch_is_fed_through_its_own_fuse_and_its_return_too() -> None:
    found = assessed(LINKED)
    assert {feed.opened_by for feed in found.feeds["lamp wire 2"] if feed.limit_a is None} == {"lamp fuse"}
    assert [feed.opened_by for feed in found.feeds["lamp return 1"]] == ["lamp fuse"]


def test_unfused_metres_are_counted_for_each_battery() -> None:
    found = assessed(LINKED)
    # The first one: 15 cm. The second one: 1 m to the block, 3.85 m back to the fuse, 10 cm to the lamp's.
    assert found.unfused_m == {"battery": pytest.approx(0.15), "leisure": pytest.approx(4.95)}


SOLAR = """
supplies:
  battery: {kind: battery, at: cabin, capacity: 100 Ah}
  alternator: none
  panel: {kind: solar, at: outside, power: 120 W, voltage: 20 V}
  regulator: {kind: solar charger, at: cabin, current: 15 A}
loads: {lamp: {kind: led, at: cabin, claims: {power: 60 W}}}
circuits:
  panel feed: {path: [panel, regulator in], length: 5 m, wire: 4 mm2}
  regulator output:
    path: [regulator, {fuse: 20 A, family: regular blade}, length: 10 cm, battery]
    length: 1 m
    wire: 4 mm2
  lamp:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, lamp]
    length: 2 m
    wire: 2.5 mm2
"""


def test_a_panel_gives_a_quarter_more_than_its_rating_for_ever() -> None:
    [feed] = by(assessed(SOLAR), "panel feed wire 1", "panel")
    # 120 W at 20 V is 6 A; 1.25 times that, as NEC 690.8 has it (common practice).
    assert (feed.opened_by, feed.limit_a) == (None, pytest.approx(7.5))


def test_a_regulator_s_cable_is_opened_at_the_battery_s_end_alone() -> None:
    feeds = assessed(SOLAR).feeds["regulator output wire 1"]
    assert {(f.source, f.from_end, f.opened_by) for f in feeds} == {
        ("battery", True, "regulator output fuse"),
        ("regulator", False, None),
    }


RING = """
gear: {stern block: {kind: block, at: cabin}}
loads: {lamp: {kind: led, at: cabin, claims: {power: 60 W}}}
circuits:
  port: {path: [battery, length: 10 cm, fuse: 30 A, stern block], length: 3 m, wire: 6 mm2}
  starboard: {path: [battery, length: 10 cm, fuse: 30 A, stern block], length: 5 m, wire: 6 mm2}
  lamp: {path: [stern block, fuse: 10 A, lamp], length: 1 m, wire: 2.5 mm2}
"""


def test_in_a_ring_one_battery_feeds_from_both_ends_each_with_its_fuse() -> None:
    feeds = by(assessed(RING), "port wire 2", "battery")
    assert {(feed.from_end, feed.opened_by) for feed in feeds} == {
        (False, "port fuse"),
        (True, "starboard fuse"),
    }
