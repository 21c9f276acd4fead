"""A misspelt key is one fault, and nothing else in the file becomes a fault because of it."""

from __future__ import annotations

import pytest

from groundstrap.errors import JobError
from groundstrap.job import read_job

JOB = """\
groundstrap: 1
title: One slip of the pen
system: 12 V
supplies:
  house bank: {kind: battery, capacity: 95 Ah, at: cabin}
gear:
  panel: {kind: block, at: cabin}
loads:
  lamp: {kind: led, claims: {power: 60 W}, at: cabin}
circuits:
  feed: {path: [house bank, fuse, panel], length: 1 m}
  lamp: {path: [panel, fuse, lamp], return: house bank -, length: 3 m}
readings:
  - {when: driving, using: [lamp], values: [{lamp: 3 A}]}
"""


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("supplies:", "suplies:"),
        ("gear:", "geer:"),
        ("loads:", "lods:"),
        ("circuits:", "circuts:"),
        ("readings:", "readngs:"),
        ("kind: battery", "knd: battery"),
        ("claims:", "clames:"),
        ("path: [panel", "pth: [panel"),
        ("length: 3 m", "lenght: 3 m"),
        ("return: house bank -", "retrun: house bank -"),
    ],
)
def test_it_is_one_fault_with_the_key_that_was_meant(right: str, wrong: str) -> None:
    assert JOB.count(right) == 1
    with pytest.raises(JobError) as refused:
        read_job(JOB.replace(right, wrong))
    [fault] = refused.value.faults
    assert fault.found == wrong.partition(":")[0]
    assert fault.nearest == right.partition(":")[0]


def test_what_is_wrong_under_a_misspelt_key_is_still_told() -> None:
    with pytest.raises(JobError) as refused:
        read_job(JOB.replace("loads:", "lods:").replace("60 W", "60"))
    assert [fault.key for fault in refused.value.faults] == ["lods", "lods.lamp.claims.power"]


def test_both_the_key_and_its_slip_are_read_apart() -> None:
    with pytest.raises(JobError) as refused:
        read_job(JOB + "lods:\n  radio: {claims: {power: 5}}\n")
    [fault] = refused.value.faults
    assert fault.found == "lods"


def test_no_alternator_in_the_wrong_place_and_yes_in_other_words_are_told_with_what_is_right() -> None:
    text = JOB.replace("supplies:", "alternator: none\nsupplies:").replace(
        "kind: led,", "kind: led, critical: true,"
    )
    with pytest.raises(JobError) as told:
        read_job(text)
    first, second = told.value.faults
    assert "`supplies: {alternator: ...}`" in first.reason
    assert second.nearest == "yes"
