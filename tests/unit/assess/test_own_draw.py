"""What the vehicle itself draws is told where nobody wrote it: else the amps of the supplies don't add up."""

from __future__ import annotations

import pytest

from groundstrap.assess import Assessment
from groundstrap.model import Situation
from tests.rules.judged import assessed

JOB = """
supplies: {battery: {kind: battery, at: cabin, chemistry: flooded, capacity: 80 AhMORE}}
loads: {lamp: {kind: led, at: cabin, claims: {power: 60 W}}}
circuits: {lamp: {path: [battery, fuse, lamp], length: 2 m, wire: 4 mm2}}
"""
WHERE = "battery: the vehicle itself takes"


def _told_a(found: Assessment) -> list[float]:
    return [float(each.value.removesuffix(" A")) for each in found.assumptions if each.where == WHERE]


def test_what_is_told_closes_the_sum() -> None:
    # Kirchhoff: what the alternator gives goes into the battery, the lamp, and the vehicle itself.
    found = assessed(JOB.replace("MORE", ""))
    idling = found.situations[Situation.IDLING]
    told_a = _told_a(found)
    assert sum(idling.supplies_a.values()) - idling.loads_a["lamp"] == pytest.approx(told_a[0], rel=0.001)
    # 350 W to 750 W at 14.3 V: Decision (EU) 2017/785. At rest 25 to 50 mA: common practice of workshops.
    assert 350.0 / 14.3 <= told_a[0] <= 750.0 / 14.3
    assert 0.025 <= told_a[1] <= 0.05


@pytest.mark.parametrize(
    ("more", "lines"), [("", 2), (", running: 20 A", 1), (", running: 20 A, standing: 30 mA", 0)]
)
def test_what_is_written_is_not_assumed(more: str, lines: int) -> None:
    assert len(_told_a(assessed(JOB.replace("MORE", more)))) == lines


def test_a_boat_takes_nothing_of_its_own() -> None:
    assert not _told_a(assessed("basis: boat\n" + JOB.replace("MORE", "")))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("length: 2 m, carries: 20 A", None),  # from post to post: all of its way is its own
        ("return: [chassis at cabin], length: 2 m, carries: 20 A", "20 A"),
    ],
)
def test_what_a_circuit_carries_beside_is_told_to_count_there_alone(text: str, value: str | None) -> None:
    # Kirchhoff: what comes through one circuit goes back by another, where nobody wrote it.
    job = JOB.replace("MORE", "").replace("length: 2 m", text)
    found = {each.where: each.value for each in assessed(job).assumptions}
    assert found.get("lamp: carries") == value
