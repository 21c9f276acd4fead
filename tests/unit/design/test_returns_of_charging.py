"""The negative of what only charges stands a short on its plus until the fuse opens.

The field knows it as the first of all failures: a heavy plus, a fuse to suit, and a thin old negative that
burns (common practice: a fuse suits the thinnest piece of the loop, returns included).
"""

from __future__ import annotations

import pytest

from groundstrap import api
from groundstrap.design import Design, choose
from groundstrap.job import read_job
from groundstrap.vet import estimates

SPLIT = """groundstrap: 1
title: A split charge
system: 12 V
body: fibreglass
supplies:
  car: {kind: battery, at: car, chemistry: flooded, capacity: 80 Ah}
  alternator: {kind: alternator, at: car, rating: 120 A}
  house: {kind: battery, at: box, chemistry: flooded, capacity: 100 Ah}
loads: {lamp: {kind: led, at: box, claims: {power: 20 W}}}
circuits:
  link: {path: [car, fuse, {relay: 100 A, when: engine}, fuse, length: 20 cm, house], length: 5 m}
  link neg: {path: [house -, car -], length: 5 mWIRE}
  lamp: {path: [house, fuse, lamp], length: 1 m}
"""
CHARGER = """groundstrap: 1
title: A charger
system: 12 V
body: fibreglass
supplies:
  battery: {kind: battery, at: bay, chemistry: agm, capacity: 100 Ah}
  charger: {kind: mains charger, at: bay, current: 15 A}
  alternator: none
loads: {lamp: {kind: led, at: bay, claims: {power: 20 W}}}
circuits:
  charger: {path: [charger, fuse, length: 20 cm, battery], length: 2 m}
  charger neg: {path: [charger -, battery -], length: 2 mWIRE}
  lamp: {path: [battery, fuse, lamp], length: 1 m}
"""


def _chosen(text: str) -> Design:
    installation = read_job(text).installation
    return choose(installation, estimates(installation))


def _stops(text: str) -> set[str]:
    answer = api.plan(api.read_job(text))
    return {f.rule for f in answer.judgement.findings if f.outcome == "fail" and f.level == "stop"}


@pytest.mark.parametrize(("job", "name"), [(SPLIT, "link"), (CHARGER, "charger")])
def test_the_negative_of_a_charging_run_stands_its_fuse(job: str, name: str) -> None:
    found = _chosen(job.replace("WIRE", ""))
    (size,) = {found.sizes[w.name] for w in found.installation.circuits[f"{name} neg"].wires}
    rating_a = found.fuses[f"{name} fuse"].rating_a
    # 33 CFR 183.425 table 5 for 105 degC, at 60 degC (x 0.775): 46.5 A on 6 mm2, 34.9 on 4, 27.1 on 2.5.
    carries_a = {2.5: 27.1, 4.0: 34.9, 6.0: 46.5}[size.area_mm2]
    assert rating_a <= carries_a


@pytest.mark.parametrize(("job", "rating"), [(SPLIT, "40 A"), (CHARGER, "30 A")])
def test_a_thin_negative_that_is_written_stops(job: str, rating: str) -> None:
    fused = job.replace("fuse, ", f"fuse: {rating}, ")
    assert "PRT001" in _stops(fused.replace("WIRE", ", wire: 1 mm2"))
    assert "PRT001" not in _stops(fused.replace("WIRE", ", wire: 16 mm2"))


@pytest.mark.parametrize("job", [SPLIT, CHARGER])
def test_no_rating_is_chosen_that_would_burn_it(job: str) -> None:
    assert "PRT014" in _stops(job.replace("WIRE", ", wire: 1 mm2"))


def test_both_fuses_of_a_link_are_held_against_its_negative() -> None:
    # A short between them is fed from both batteries, each through its own fuse alone.
    answer = api.plan(api.read_job(SPLIT.replace("WIRE", "")))
    fuses = answer.assessment.circuits["link"].fuses
    assert len(fuses) == 2
    assert all("link neg wire 1" in fuse.protects for fuse in fuses.values())
