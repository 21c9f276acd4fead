"""Days of vans in which little is written and much is asked: they come to an end, and to a true one."""

from __future__ import annotations

import pytest

from groundstrap.endure import endure
from tests.invariants.test_endure import CHARGE_SHARE, ENERGY, HEAD, wired

VAN = (
    HEAD
    + """
supplies:
  house: {kind: battery, chemistry: lfp, capacity: 20 Ah, rested: 13.0 V}
  alternator: {kind: alternator, rating: 120 A}
  charger: {kind: dc-dc, current: 10 A, when: engine}
  battery: {kind: battery, chemistry: agm, capacity: 80 Ah}
loads:
  kettle inverter: {kind: inverter, duty: 25 %, claims: {power: 600 W}}
  lamp: {kind: led, claims: {power: 6 W}}
circuits:
  alternator cable: {path: [alternator, battery], length: 1 m, wire: 25 mm2}
  split feed: {path: [battery, fuse, charger], length: 2 m}
  split out: {path: [charger, fuse, house], length: 1 m}
  inverter: {path: [house, fuse, kettle inverter], length: 1 m}
  lamp: {path: [house, fuse, lamp], length: 2 m}
day:
"""
)


def test_the_vehicle_draws_from_the_battery_that_its_alternator_is_drawn_to() -> None:
    # Common practice: what a vehicle draws for itself hangs on its own battery, whichever is listed first;
    # and a charger whose volts nobody wrote goes up to what its battery takes: 10 A for an hour, less the
    # lamp's 0.5 A and some hundredths of the charge that are not stored. Its cable is thick, for on a thinner
    # one it would come to its volts first and give less.
    thick = VAN.replace(
        "[charger, fuse, house], length: 1 m", "[charger, fuse, house], length: 1 m, wire: 16 mm2"
    )
    run = endure(wired(thick + "  - {driving: 1 h, using: [lamp]}\n"))
    assert "battery own draw" in run.energy.taken_wh
    assert "house own draw" not in run.energy.taken_wh
    assert run.spans[0].change_ah["house"] == pytest.approx(9.5, rel=0.07)
    told = {str(one.where) for one in run.assumptions}
    assert {"charger: setpoint", "battery: cold cranking current"} <= told


def test_the_engine_starts_on_the_battery_that_its_alternator_is_drawn_to() -> None:
    # Common practice: a leisure battery may have a cranking rating too, and starts nothing.
    rated = VAN.replace("rested: 13.0 V}", "cranking: 700 A EN}")
    run = endure(wired(rated + "  - {resting: 1 h, using: [lamp]}\n"))
    assert {start.battery for start in run.starts} == {"battery"}


def test_a_lithium_battery_that_parts_again_and_again_is_run_to_the_end() -> None:
    # Conservation: what was taken from a 20 Ah battery is no more than it held, and energy adds up while its
    # protection parts it, its charger wakes it and the inverter, which takes more than that gives on average,
    # empties it once more.
    run = endure(
        wired(
            VAN
            + "  - {resting: 4 h, using: [kettle inverter]}\n  - {driving: 3 h, using: [kettle inverter]}\n"
        )
    )
    assert run.energy.error <= ENERGY
    cuts = [cut for cut in run.cut_offs if cut.load == "kettle inverter"]
    assert cuts
    assert cuts[0].at_s < 4 * 3600.0
    held = 20.0 * (1.0 + CHARGE_SHARE)
    assert -held <= run.spans[0].change_ah["house"] < 0.0
    assert run.spans[-1].number == 2
    assert -held <= sum(span.change_ah["house"] for span in run.spans) < 0.0
    assert any(cut.at_s > 4 * 3600.0 and cut.back_at_s is not None for cut in cuts)


def test_a_lithium_battery_that_its_protection_has_parted_starts_nothing() -> None:
    # Makers of lithium iron phosphate (common practice): once its protection has parted it, its posts are
    # dead until it is charged, however much its cells recover.
    starting = VAN.replace(
        "chemistry: agm, capacity: 80 Ah}", "chemistry: lfp, capacity: 40 Ah, cranking: 600 A EN}"
    )
    starting = starting.replace("[house, fuse, kettle inverter]", "[battery, fuse, kettle inverter]")
    run = endure(wired(starting + "  - {driving: 10 min}\n  - {resting: 8 h, using: [kettle inverter]}\n"))
    assert run.course.supplies["battery"].volts_v[-1] == 0.0
    first, last = run.starts[0], run.starts[-1]
    assert first.can
    assert last.holds_a == 0.0
    assert not last.can
