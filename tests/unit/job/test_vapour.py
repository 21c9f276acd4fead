"""Hydrogen gathers where a vented battery stands, and nowhere else."""

from __future__ import annotations

import pytest

from groundstrap.job import read_job

LOCKER = """groundstrap: 1
title: Battery locker
system: 12 V
supplies: {{battery: {{kind: battery, at: locker, chemistry: {chemistry}}}}}
places: {{locker: battery box}}
loads: {{lamp: {{kind: led, claims: {{power: 5 W}}}}}}
circuits: {{lamp: {{length: 2 m}}}}
"""


@pytest.mark.parametrize(
    ("chemistry", "vapour"), [("flooded", "hydrogen"), ("agm", "no"), ("lfp", "no"), ("unknown", "hydrogen")]
)
def test_vapour_of_the_battery_box_follows_what_stands_in_it(chemistry: str, vapour: str) -> None:
    installation = read_job(LOCKER.format(chemistry=chemistry)).installation
    assert installation.zones["battery box"].vapour == vapour


def test_vapour_that_is_written_stands() -> None:
    text = LOCKER.format(chemistry="agm") + "zones: {battery box: {vapour: hydrogen}}\n"
    assert read_job(text).installation.zones["battery box"].vapour == "hydrogen"


def test_words_are_read_as_labels_print_them() -> None:
    assert read_job(LOCKER.format(chemistry="AGM")).installation.supplies["battery"].chemistry == "agm"
