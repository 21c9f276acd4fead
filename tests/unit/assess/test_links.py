"""A thin cable between two batteries passes what its own resistance lets through, and no more."""

from __future__ import annotations

import pytest

from groundstrap.assess import PieceCurrents, assess, wire_up
from groundstrap.assess.figures import ACCEPTANCE_PER_HOUR
from groundstrap.job import read_job
from groundstrap.vet import estimates

LINK = """groundstrap: 1
title: Charge line to a trailer
system: 12 V
body: fibreglass
supplies:
  car battery: {{kind: battery, at: car, capacity: 80 Ah}}
  alternator: {{kind: alternator, at: car, rating: 120 A, setpoint: 14.4 V}}
  trailer battery: {{kind: battery, at: box, capacity: 75 Ah, resistance: 0.01 ohm}}
loads: {{heater: {{kind: heater, at: box, claims: {{power: 360 W}}}}}}
circuits:
  charge line:
    {{path: [car battery, length: 20 cm, fuse: 20 A, trailer battery], {wire}length: 10 m, state: existing}}
  charge return:
    {{path: [trailer battery -, car battery -], wire: 2.5 mm2, length: 10 m, state: {state}}}
  heater: {{path: [trailer battery, fuse, heater], length: 1 m}}
"""
WRITTEN = LINK.format(wire="wire: 2.5 mm2, ", state="existing")

LEAST_OHM = 20.0 / (58.0 * 2.5) + 0.01
"""20 m of 2.5 mm2, annealed copper (IEC 60028: 1/58 ohm mm2/m), and the far battery's own."""


def currents(text: str, *changes: tuple[str, str]) -> dict[str, PieceCurrents]:
    """Return what every piece carries in a job with some of its text changed."""
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    installation = read_job(text).installation
    return dict(wire_up(installation, estimates(installation)).currents.pieces)


def test_volts_between_the_ends_over_twenty_metres_of_copper() -> None:
    # 14.8 V on the car's side, 11.924 V in an empty battery: a fifth of the way from 11.89 V at 0 % to
    # 12.06 V at 25 % (handbook-battery). Of the heater's 37 A at 14.8 V the battery's 10 mohm in all of the
    # loop leave a sixteenth to the cable. The fuse takes a little off.
    found = currents(WRITTEN)
    heater_a = 360.0 / 12.0 * 14.8 / 12.0
    most_a = 2.876 / LEAST_OHM + heater_a * 0.01 / LEAST_OHM
    for name in ("charge line wire 2", "charge return wire 1"):
        amps = found[name].continuous_a
        assert amps is not None
        assert 0.9 * most_a < amps <= most_a
        # What the heater takes from the battery lets its terminals sag by another 0.37 V.
        assert found[name].most_v == pytest.approx(2.876 + heater_a * 0.01)
    assert found["heater wire 1"].continuous_a == pytest.approx(heater_a)


def test_a_link_that_is_to_be_chosen_carries_loads_and_charge() -> None:
    found = currents(WRITTEN.replace(", state: existing", ""), ("wire: 2.5 mm2, ", ""))
    # What an empty battery takes in amps is a share of its capacity (own judgement).
    charge_a = ACCEPTANCE_PER_HOUR["flooded"] * 75.0
    for name in ("charge line wire 2", "charge return wire 1"):
        assert found[name].continuous_a == pytest.approx(360.0 / 12.0 * 14.8 / 12.0 + charge_a)


def test_a_cable_that_nobody_knows_carries_what_nobody_knows() -> None:
    found = currents(LINK.format(wire="", state="existing"))
    for name in ("charge line wire 1", "charge line fuse", "charge return wire 1"):
        assert found[name].continuous_a is None
        assert set(found[name].hangs_on) == {"charge line wire 1", "charge line wire 2"}
    assert found["heater wire 1"].continuous_a is not None


def test_a_cable_of_written_size_that_is_new_limits_as_well() -> None:
    old = currents(WRITTEN)["charge line wire 2"].continuous_a
    text = WRITTEN.replace(", state: existing", "")
    assert currents(text)["charge line wire 2"].continuous_a == pytest.approx(old)


def test_another_size_of_the_same_job_is_not_taken_from_before() -> None:
    thin = currents(WRITTEN)["charge return wire 1"].continuous_a
    thick = currents(WRITTEN, ("wire: 2.5 mm2, length: 10 m", "wire: 6 mm2, length: 10 m"))
    again = currents(WRITTEN)["charge return wire 1"].continuous_a
    assert thin is not None
    assert (thick["charge return wire 1"].continuous_a or 0.0) > thin
    assert again == thin


def test_a_load_at_the_far_battery_counts_its_drop_from_there() -> None:
    # 24 m of 2.5 mm2 to the other battery are no part of a metre of cable at this one.
    text = WRITTEN.replace("  heater: {path:", "  heater: {wire: 10 mm2, path:")
    installation = read_job(text).installation
    found = assess(installation, estimates(installation)).circuits["heater"].drop
    assert found.drop_v is not None
    assert found.drop_v < 0.5
    assert found.source == "trailer battery"


def test_a_cable_that_nobody_knows_leaves_the_drop_at_the_far_battery_known() -> None:
    text = LINK.format(wire="", state="existing").replace("heater: {path:", "heater: {wire: 10 mm2, path:")
    installation = read_job(text).installation
    assert assess(installation, estimates(installation)).circuits["heater"].drop.drop_v is not None
