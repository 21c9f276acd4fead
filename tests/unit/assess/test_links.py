"""A thin cable between two batteries passes what its own resistance lets through, and no more."""

from __future__ import annotations

import pytest

from groundstrap.assess.links import link_limit_a
from groundstrap.assess.supplies import supply_figures
from groundstrap.job import read_job

LINK = """groundstrap: 1
title: Charge line to a trailer
system: 12 V
body: fibreglass
supplies:
  car battery: {{kind: battery, at: car, capacity: 80 Ah}}
  trailer battery: {{kind: battery, at: box, capacity: 75 Ah}}
loads: {{lamp: {{kind: led, at: box, claims: {{power: 5 W}}}}}}
circuits:
  charge line:
    {{path: [car battery, length: 20 cm, fuse: 20 A, trailer battery], {wire}length: 10 m, state: existing}}
  charge return:
    {{path: [trailer battery -, car battery -], wire: 2.5 mm2, length: 10 m, state: existing}}
  lamp: {{path: [trailer battery, fuse, lamp], length: 1 m}}
"""


def _limit_a(text: str, name: str) -> float | None:
    installation = read_job(text).installation
    return link_limit_a(installation, supply_figures(installation), installation.supplies[name])


def test_volts_between_the_ends_over_twenty_metres_of_copper() -> None:
    # 20 m of 2.5 mm2 have 20 / (58 x 2.5) = 0.138 ohm; 14.8 V on the one side, 12.0 V on the other.
    assert _limit_a(LINK.format(wire="wire: 2.5 mm2, "), "trailer battery") == pytest.approx(
        2.8 / 0.1379, rel=0.2
    )


def test_a_cable_of_unknown_size_limits_nothing() -> None:
    assert _limit_a(LINK.format(wire=""), "trailer battery") is None


def test_a_battery_with_the_alternator_on_it_is_not_limited_by_a_link() -> None:
    assert _limit_a(LINK.format(wire="wire: 2.5 mm2, "), "car battery") is None
