"""What a battery takes through the cable that charges it, and that nobody wrote, is among the assumptions."""

from __future__ import annotations

import pytest

from groundstrap.assess.wiring import wire_up
from groundstrap.job import read_job
from groundstrap.vet import estimates

SPLIT = """groundstrap: 1
title: A split charge
system: 12 V
body: fibreglass
supplies:
  car: {kind: battery, at: car, chemistry: flooded, capacity: 80 Ah}
  alternator: {kind: alternator, at: car, rating: 120 A}
  house: {kind: battery, at: box, chemistry: CHEMISTRY, capacity: 100 Ah}
loads: {lamp: {kind: led, at: box, claims: {power: 20 W}}}
circuits:
  link: {path: [car, fuse, {relay: 100 A, when: engine}, length: 20 cm, fuse, house], length: 5 m}
  link neg: {path: [house -, car -], length: 5 m}
  lamp: {path: [house, fuse, lamp], length: 1 m}
"""


def _assumed(text: str) -> dict[str, tuple[str, str]]:
    installation = read_job(text).installation
    found = wire_up(installation, estimates(installation)).assumptions
    return {each.where: (each.value, each.why) for each in found}


@pytest.mark.parametrize(("chemistry", "amps"), [("flooded", "25 A"), ("agm", "35 A"), ("lfp", "50 A")])
def test_the_share_of_its_ah_is_told(chemistry: str, amps: str) -> None:
    # C/4 of flooded cells, a third of agm, C/2 of lithium iron phosphate at most: common practice.
    value, why = _assumed(SPLIT.replace("CHEMISTRY", chemistry))["house: takes when charged"]
    assert value == amps
    assert "first hour" in why
    assert "own judgement" in why


def test_a_thin_cable_lets_through_less_and_that_is_told() -> None:
    # 3.3 V between 14.8 V and an empty battery over 10 m of 1.5 mm2 (115 mohm) and its own ohms: under 29 A.
    text = SPLIT.replace("CHEMISTRY", "agm").replace("length: 5 m", "length: 5 m, wire: 1.5 mm2")
    value, why = _assumed(text)["house: takes when charged"]
    assert float(value.removesuffix(" A")) < 29.0
    assert "what its cable lets through" in why


def test_a_battery_with_a_limit_of_its_own_is_taken_at_its_word() -> None:
    text = SPLIT.replace("chemistry: CHEMISTRY", "chemistry: lfp, limit: 30 A")
    assert "house: takes when charged" not in _assumed(text)


def test_one_battery_alone_has_no_such_line() -> None:
    lines = SPLIT.replace("CHEMISTRY", "agm").splitlines()
    kept = [line for line in lines if "house" not in line and "link" not in line]
    text = "\n".join([*kept, "  lamp: {path: [car, fuse, lamp], length: 1 m}"]) + "\n"
    assert not [where for where in _assumed(text) if "takes when charged" in where]
