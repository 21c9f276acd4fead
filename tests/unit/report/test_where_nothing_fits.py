"""What a plan says of work and unknowns where it found nothing that fits: nothing that is not so."""

from __future__ import annotations

from functools import cache

from groundstrap import api

JOB = """groundstrap: 1
title: A split charge that no cable serves
system: 12 V
supplies:
  starter: {kind: battery, at: engine bay, chemistry: agm, capacity: 80 Ah}
  alternator: {kind: alternator, at: engine bay, rating: 140 A}
  house: {kind: battery, at: cabin, chemistry: agm, capacity: 120 Ah}
loads:
  pump: {kind: pump, at: cabin, claims: {current: 5 A}}
  inverter: {kind: inverter, at: cabin, claims: {power: 1500 W}}
circuits:
  starter earth: {path: [starter -, chassis], length: 40 cm}
  house earth: {path: [house -, chassis], length: 40 cm}
  split:
    path: [starter, length: 20 cm, fuse, {relay: 200 A, when: engine}, fuse, length: 20 cm, house]
    length: 30 m
    carries: 140 A
  pump: {path: [house, fuse, pump], length: 1 m}
  inverter: {path: [house, length: 20 cm, fuse, inverter], length: 1 m}
"""


@cache
def _text() -> str:
    return " ".join(api.plan_text(api.plan(api.read_job(JOB))).split())


def test_what_is_open_names_the_circuit_and_not_the_command_that_was_just_run() -> None:
    assert (
        "Sizes and ratings of house earth, split and starter earth: nothing that is made fits as it is"
        in _text()
    )
    assert "`groundstrap plan` chooses" not in _text()


def test_two_fuses_of_one_circuit_get_their_first_power_by_name() -> None:
    # Own judgement: the same step told twice leaves open which of them it is about.
    assert "in place of split fuse at engine bay" in _text()
    assert "in place of split fuse 2 at cabin" in _text()


def test_readings_are_asked_for_only_where_some_are_listed() -> None:
    there = "fuse: 10 A, pump], length: 1 m, wire: 2.5 mm2, state: existing}"
    old = JOB.replace("fuse, pump], length: 1 m}", there)
    idle = "\n".join(line for line in old.splitlines() if "inverter" not in line)
    none = " ".join(api.plan_text(api.plan(api.read_job(idle))).split())
    for text in (_text(), none):
        assert ("READINGS TO TAKE" in text) is ("Take the readings that are listed" in text)
        assert ("READINGS TO TAKE" in text) is not ("No readings are listed" in text)
    assert "No readings are listed" in none
