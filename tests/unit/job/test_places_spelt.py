"""A place that is spelt nearly like a known one would lie in the cabin in silence; all jobs are invented."""

from __future__ import annotations

import pytest

from groundstrap.errors import Fault, JobError
from groundstrap.job import read_job
from groundstrap.model import Installation

JOB = """\
groundstrap: 1
title: One slip of the pen
system: 12 V
supplies: {battery: {kind: battery, at: engine bay, capacity: 60 Ah}}
places: {bed: outside}
routes:
  - {from: engine bay, to: bed, length: 4 m}
  - {from: bed, to: tail rack, length: 1 m}
loads:
  lamp: {kind: lamp, at: bed, claims: {power: 60 W}}
  horn: {kind: motor, at: tail rack, claims: {power: 60 W}}
circuits:
  lamp: {path: [battery, fuse, lamp], length: 5 m}
  horn: {path: [battery, fuse, horn], return: chassis at bed, length: 6 m}
"""


def _read(text: str) -> Installation:
    return read_job(text).installation


def _faults(right: str, wrong: str) -> list[Fault]:
    assert JOB.count(right) == 1
    with pytest.raises(JobError) as refused:
        read_job(JOB.replace(right, wrong))
    return list(refused.value.faults)


@pytest.mark.parametrize(
    ("right", "wrong", "nearest"),
    [
        ("lamp, at: bed,", "lamp, at: bedd,", "bed"),
        ("lamp, at: bed,", "lamp, at: be,", None),
        ("lamp, at: bed,", "lamp, at: bde,", "bed"),
        ("battery, at: engine bay", "battery, at: engine bey", "engine bay"),
        ("motor, at: tail rack", "motor, at: tail rak", "tail rack"),
        ("to: bed,", "to: bad,", "bed"),
        ("chassis at bed", "chassis at bdd", "bed"),
        ("motor, at: tail rack", "motor, at: batery", None),
    ],
)
def test_a_place_that_nothing_else_names_and_nearly_another_is_a_fault(
    right: str, wrong: str, nearest: str | None
) -> None:
    if nearest is None:
        _read(JOB.replace(right, wrong))
        return
    assert nearest in {fault.nearest for fault in _faults(right, wrong)}


def test_it_is_one_fault_at_its_place() -> None:
    [fault] = _faults("lamp, at: bed,", "lamp, at: bedd,")
    assert (fault.key, fault.found, fault.nearest) == ("loads.lamp.at", "bedd", "bed")


@pytest.mark.parametrize("other", ["shelf 1", "bed 2", "hut", "tail rack"])
def test_other_names_and_numbers_are_no_slips(other: str) -> None:
    _read(JOB.replace("lamp, at: bed,", f"lamp, at: {other},"))


def test_a_short_place_that_several_things_name_is_meant() -> None:
    text = JOB.replace("lamp, at: bed,", "lamp, at: bad,").replace("motor, at: tail rack", "motor, at: bad")
    assert _read(text).loads["horn"].place == "bad"


def test_a_place_that_nothing_else_names_is_the_first_that_is_assumed() -> None:
    found = _read(JOB.replace("lamp, at: bed,", "lamp, at: galley,")).assumptions[0]
    assert (found.where, found.value) == ("places.galley", "cabin")
    assert "nothing else names it" in found.why
    assert all("nothing else names it" not in each.why for each in _read(JOB).assumptions)
