"""Two banks, a relay between them, chargers on one: what plan chooses by itself stands by its own rules."""

from __future__ import annotations

import pytest

from groundstrap.assess import ReasonKind, assess
from groundstrap.checks import Judgement, run
from groundstrap.design import choose
from groundstrap.job import read_job
from groundstrap.vet import vet

JOB = """
groundstrap: 1
title: a canal boat with two banks
system: 12 V
basis: boat
return: negative bus
places: {engine hole: engine space, galley: cabin, well: cabin}
supplies:
  start battery: {kind: battery, at: well, capacity: 90 Ah, cranking: 720 A EN}
  house bank: {kind: battery, at: well, chemistry: agm, cranking: 600 A EN, bank: 2 in parallel}
  alternator: {kind: alternator, at: engine hole, rating: 90 A}
  shore charger: {kind: mains charger, at: galley, current: 30 A, setpoint: 14.4 V}
gear:
  negative bus: {kind: block, at: well, rating: 300 A}
  galley panel: {kind: block, at: galley, ways: 8, rating: 100 A}
  link relay: {kind: relay, at: well, rating: 140 A, closes: 13.3 V, opens: 12.8 V}
loads:
  inverter: {kind: inverter, at: well, claims: {power: 1500 W}, efficiency: 88 %, works: 10.5..15 V}
  water pump: {kind: pump, at: galley, claims: {current: 7 A}, duty: 10 %}
circuits:
  start negative: {path: [start battery -, negative bus], length: 0.5 m, wire: 70 mm2}
  house negative: {path: [house bank -, negative bus], length: 0.6 m}
  charge: {path: [alternator, start battery], length: 2 m, wire: 25 mm2, state: existing}
  link: {path: [start battery, length: 9 cm, fuse, link relay, fuse, length: 15 cm, house bank], length: 1 m}
  main: {path: [house bank, length: 15 cm, fuse, galley panel], length: 5 m}
  inverter: {path: [house bank, length: 15 cm, fuse, inverter], length: 1.5 m}
  shore: {path: [shore charger, fuse, length: 15 cm, house bank], length: 5 m}
  water pump: {path: [galley panel 3, fuse, switch, water pump], length: 4 m}
"""


@pytest.fixture(scope="module")
def judgement() -> Judgement:
    installation = read_job(JOB).installation
    vetting = vet(installation)
    estimates = {name: load.estimate for name, load in vetting.loads.items()}
    chosen = choose(installation, estimates).installation
    return run(chosen, vetting, assess(chosen, estimates))


@pytest.mark.parametrize("rule", ["PRT001", "PRT002", "PRT014", "THM001", "VDP001"])
def test_no_own_choice_fails(judgement: Judgement, rule: str) -> None:
    """What a cable between banks carries hangs on its own size, and a charging run counts in full."""
    own = {"link", "shore", "main", "inverter", "water pump", "house negative"}
    found = [
        f for f in judgement.findings if f.rule == rule and f.outcome.value == "fail" and f.circuit in own
    ]
    assert not found


def test_a_charger_does_not_get_the_fuse_of_the_cable_between_the_banks() -> None:
    """30 A over 0.8 in an air of 60 degC ask for 50 A at most, whatever the link's fuse is."""
    installation = read_job(JOB).installation
    estimates = {name: load.estimate for name, load in vet(installation).loads.items()}
    assert choose(installation, estimates).fuses["shore fuse"].rating_a <= 50.0


def test_what_the_other_bank_feeds_is_bounded_by_the_fuse_between_them(judgement: Judgement) -> None:
    """The start battery's negative carries what comes through the link, not the sum of all house fuses."""
    found = [f for f in judgement.findings if f.rule == "RET002" and f.circuit == "start negative"]
    assert not found


def test_what_stopped_a_charger_s_smaller_cable_is_told_against_the_whole_limit() -> None:
    """3 % of 12 V are 0.36 V, its fuse's own loss included: not what is left of it for the cable."""
    installation = read_job(JOB).installation
    estimates = {name: load.estimate for name, load in vet(installation).loads.items()}
    binding = choose(installation, estimates).bindings["shore"]
    assert binding.kind is ReasonKind.DROP
    assert binding.limit == pytest.approx(0.36)
    assert binding.value is not None
    assert binding.value > 0.36
