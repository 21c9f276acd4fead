"""A drop limit that somebody wrote is judged on whatever circuit it stands."""

from __future__ import annotations

import pytest

from tests.rules.judged import judged

JOB = """
supplies: {battery: {kind: battery, cranking: 640 A EN}, alternator: none}
gear: {negative bus: {kind: block}}
loads: {heater: {kind: heater, claims: {power: 240 W, voltage: 12 V}}}
circuits:
  heater: {path: [battery, fuse: 30 A, heater], return: [negative bus], length: 1 m, wire: 10 mm2}
  negative: {path: [negative bus, battery -], length: 8 m, wire: 6 mm2LIMIT}
"""


def test_a_way_back_without_a_limit_of_its_own_is_judged_by_no_drop() -> None:
    assert not [f for f in judged(JOB.replace("LIMIT", "")).of("VDP001") if f.where == "negative"]


def test_a_limit_that_is_written_on_a_way_back_is_kept() -> None:
    (found,) = [f for f in judged(JOB.replace("LIMIT", ", drop: 1 %")).of("VDP001") if f.where == "negative"]
    # By hand: 8 m of 6 mm2 at 60 degC are 8 / (58 * 6) * 1.16 ohm, 20 A lose 0.53 V; allowed are 0.12 V.
    assert found.value == pytest.approx(0.53, rel=0.1)
    assert found.limit == pytest.approx(0.12)
    assert found.outcome.value == "fail"
