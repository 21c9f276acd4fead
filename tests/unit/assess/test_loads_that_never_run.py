"""No wire is sized for nothing: a load counts even where its situations can't occur."""

from __future__ import annotations

from groundstrap.assess import assess
from groundstrap.design import choose
from groundstrap.job import read_job
from groundstrap.model import LoadEstimate, Situation
from groundstrap.vet import estimates

TRAILER = """groundstrap: 1
title: Trailer with a battery that the towing car charges
system: 12 V
body: fibreglass
return: negative bus
supplies:
  alternator: none
  trailer battery: {kind: battery, at: box, chemistry: agm, capacity: 75 Ah}
  car battery: {kind: battery, at: car, cranking: 640 A EN}
  booster: {kind: dc-dc, at: box, current: 15 A, setpoint: 14.4 V, when: engine}
gear: {negative bus: {kind: block, at: box}, fuse block: {kind: block, at: box}}
loads: {kettle: {kind: heater, at: box, claims: {power: 180 W, voltage: 12 V}WHEN}}
circuits:
  booster input: {path: [car battery, length: 15 cm, fuse, booster], length: 7 m, return: car battery -}
  booster output: {path: [booster, fuse, length: 15 cm, trailer battery], length: 40 cm}
  block feed: {path: [trailer battery, length: 15 cm, fuse, fuse block], length: 50 cm}
  bus: {path: [negative bus, trailer battery -], length: 40 cm}
  kettle: {path: [fuse block, fuse, kettle], length: 3 m}
"""


def _continuous_a(text: str) -> float:
    installation = read_job(text).installation
    known: dict[str, LoadEstimate] = dict(estimates(installation))
    chosen = choose(installation, known).installation
    found = assess(chosen, known).circuits["kettle"].continuous_a
    assert found is not None
    return found


def test_what_hangs_on_a_battery_is_live_whatever_charges_it() -> None:
    installation = read_job(TRAILER.replace("WHEN", "")).installation
    assert Situation.RESTING in installation.loads["kettle"].runs
    # 180 W at 12 V is 0.8 ohm; at the high end of a lead battery, 14.8 V, that takes 18.5 A.
    assert 18.0 < _continuous_a(TRAILER.replace("WHEN", "")) < 18.6


def test_a_load_whose_situation_cannot_occur_still_counts() -> None:
    assert 18.0 < _continuous_a(TRAILER.replace("WHEN", ", runs: [mains]")) < 18.6


def test_a_trailer_has_no_engine_that_draws_from_its_battery() -> None:
    installation = read_job(TRAILER.replace("WHEN", "")).installation
    known = dict(estimates(installation))
    driving = assess(choose(installation, known).installation, known).situations[Situation.DRIVING]
    assert driving.supplies_a["trailer battery"] < driving.loads_a["kettle"]
