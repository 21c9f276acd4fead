"""Converters between batteries: every situation has an answer, with both machines at their limit too."""

from __future__ import annotations

import itertools

import pytest

from groundstrap.assess import Outcome
from groundstrap.model import Situation
from tests.rules.judged import assessed

JOB = """
supplies:
  start battery: {kind: battery, at: engine bay, chemistry: flooded, capacity: 80 Ah}
  house battery: {kind: battery, at: seat base, chemistry: CHEMISTRY, capacity: 110 Ah}
  alternator: {kind: alternator, at: engine bay, rating: 55 A, setpoint: 14.2 V}
  booster: {kind: dc-dc, at: seat base, current: AMPS, setpoint: 14.4 V, efficiency: 87 %, when: engine}
places: {seat base: cabin}
circuits:
  booster feed: {path: [start battery, length: 20 cm, fuse: 100 A, booster], length: METRES, wire: WIRE}
  booster output: {path: [booster, fuse: 100 A, length: 20 cm, house battery], length: 60 cm, wire: WIRE}
"""


@pytest.mark.parametrize("amps", ["20 A", "40 A", "60 A"])
def test_every_situation_with_a_booster_is_solved(amps: str) -> None:
    """What 35 A of the vehicle leave of 25 or 55 A is not enough for the booster: the start battery helps."""
    helped = 0
    for metres, wire, chemistry in itertools.product(("3 m", "9 m"), ("10 mm2", "25 mm2"), ("agm", "lfp")):
        job = JOB.replace("AMPS", amps).replace("METRES", metres).replace("WIRE", wire)
        situations = assessed(job.replace("CHEMISTRY", chemistry)).situations
        for name in (Situation.RESTING, Situation.IDLING, Situation.DRIVING):
            found = situations[name]
            assert found.outcome is Outcome.WORKS, f"{metres}, {wire}, {chemistry}: {name}"
            helped += found.supplies_a["start battery"] > 1.0 and name is not Situation.RESTING
    assert helped >= 4


def test_an_inverter_beyond_the_alternator_is_fed_by_the_battery() -> None:
    """By hand: 12.65 V behind 7 mohm and the cable bear far more than 900 W; the alternator gives 60 A."""
    job = """
supplies:
  battery: {kind: battery, chemistry: flooded, capacity: 80 Ah, running: 10 A}
  alternator: {kind: alternator, rating: 60 A, setpoint: 14.3 V}
loads: {inverter: {kind: inverter, claims: {power: 800 W}, efficiency: 90 %}}
circuits:
  inverter: {path: [battery, length: 20 cm, fuse: 150 A, inverter], length: 1.5 m, wire: 35 mm2}
"""
    found = assessed(job).situations[Situation.DRIVING]
    assert found.outcome is Outcome.WORKS
    assert found.supplies_a["alternator"] == pytest.approx(60.0)
    assert found.supplies_a["battery"] > 10.0
