"""Which battery decides the least fault at a load's far end: the one that feeds it, while it is there."""

from __future__ import annotations

import pytest

from tests.rules.judged import assessed

LINKED = """
supplies:
  battery: {{kind: battery, at: engine bay, capacity: 70 Ah}}
  leisure: {{kind: battery, at: cabin, capacity: 100 Ah}}
gear:
  split relay: {{kind: relay, at: engine bay, rating: 120 A, when: {when}}}
  main switch: {{kind: isolator, at: cabin, rating: 250 A}}
  bus: {{kind: block, at: cabin}}
loads: {{lamp: {{kind: led, at: cabin, claims: {{power: 60 W}}}}}}
circuits:
  split:
    path: [battery, length: 15 cm, {{fuse: 20 A, family: regular blade}}, split relay, {linked}]
    length: 12 m
    wire: 1.5 mm2
  main: {{path: [leisure, main switch, bus], length: 50 cm, wire: 35 mm2}}
  leisure earth: {{path: [chassis at cabin, {{wire: 35 mm2, length: 40 cm}}, leisure -]}}
  lamp:
    path: [bus, length: 10 cm, {{fuse: 60 A, family: high-current blade}}, lamp]
    length: 2 m
    wire: 10 mm2
"""


def lamp_fault_a(when: str, linked: str) -> float:
    found = assessed(LINKED.format(when=when, linked=linked)).circuits["lamp"].fault_least_a
    assert found is not None
    return found


def test_a_thin_link_from_another_battery_does_not_decide_where_the_own_one_stays() -> None:
    # The link ends at the battery's side of its isolator: whoever opens that takes both away.
    parted, linked = lamp_fault_a("engine", "leisure"), lamp_fault_a("always", "leisure")
    assert linked == pytest.approx(parted)
    # 12 m of 1.5 mm2 at 105 degC, out alone: 0.19 ohm, so under 65 A from the other one. Kirchhoff by hand.
    assert linked > 3 * 12.0 / (12.0 * 0.0121 * 1.33)


def test_it_decides_where_an_isolator_takes_the_own_battery_away() -> None:
    alone, fed = lamp_fault_a("engine", "bus"), lamp_fault_a("always", "bus")
    assert fed < alone
    assert fed < 12.0 / (12.0 * 0.0121)  # no more than 12 V through the cold link alone
