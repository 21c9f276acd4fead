"""A small load with a large fuse: the answer says that a blade would not break the short, and the way out."""

from __future__ import annotations

import re

import pytest

from groundstrap import api

BOAT = """groundstrap: 1
title: Sockets
system: {system}
basis: {basis}
supplies:
  house battery: {{kind: battery, at: battery box, capacity: 300 Ah}}
gear:
  block: {{kind: block, at: battery box}}
loads:
  usb: {{kind: charger, claims: {{power: 36 W}}, at: cabin}}
  lone: {{kind: led, claims: {{power: 10 W}}, at: cabin}}
circuits:
  block feed: {{path: [house battery, fuse, block], wire: 25 mm2, length: 60 cm}}
  usb: {{path: [block, fuse, usb], length: 1 m}}
  lone: {{path: [house battery, fuse, lone], length: 2 m}}
"""


MAIN = "battery, {{fuse: 100 A, family: class T}}, block"


def rows(basis: str = "road", job: str = BOAT) -> dict[str, str]:
    plan = api.plan(api.read_job(job.format(system="12 V", basis=basis)))
    assert "fuse" in api.plan_text(plan)
    return {row.name: str(row.why) for row in api.sheet(plan).circuits}


def test_at_the_battery_a_block_behind_a_main_fuse_is_the_way_out() -> None:
    """ISO 8820-3: a regular blade breaks 1000 A; makers' sheets: the least terminal fuse has 30 A."""
    why = rows()["lone"]
    assert "a blade breaks 1000 A" in why
    assert "smallest marine terminal-mounted fuse has 30 A" in why
    assert "A block behind a main fuse" in why
    assert "its load needs 30 A" not in why


def test_behind_a_feed_so_much_more_cable_would_do() -> None:
    """By Ohm's law: as many metres as bring the loop from what flows to what a blade breaks."""
    written = BOAT.replace("25 mm2", "16 mm2").replace("block, at: battery box", "block, at: cabin")
    why = rows(basis="boat", job=written.replace("battery, fuse, block", MAIN))["usb"]
    told = re.search(r"up to (\d+) A .* breaks (\d+) A.*About ([\d.]+) (m|cm) more of ([\d.]+) mm2", why)
    assert told is not None, why
    fault_a, blade_a, more, area_mm2 = float(told[1]), float(told[2]), float(told[3]), float(told[5])
    more_m = more / (100.0 if told[4] == "cm" else 1.0)
    # Copper of 1.72e-2 ohm mm2/m at 20 degC (IEC 60028); a 12 V system charges at 14.4 to 14.8 V.
    added_ohm = more_m * 0.0172 / area_mm2
    assert added_ohm == pytest.approx(14.6 * (1.0 / blade_a - 1.0 / fault_a), rel=0.12)


def test_a_fuse_that_its_load_asks_for_says_nothing_of_it() -> None:
    assert "a blade breaks" not in rows()["usb"]
    assert "a blade breaks" not in rows()["block feed"]
