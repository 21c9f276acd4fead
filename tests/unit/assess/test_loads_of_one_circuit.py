"""Of several loads on one circuit each has its own lowest volts, not the worst one alone."""

from __future__ import annotations

import pytest

from tests.rules.judged import assessed, judged

JOB = """
supplies: {battery: {kind: battery, cranking: 640 A EN}, alternator: none}
loads:
  near: {kind: electronics, claims: {power: 12 W}, works: 10..15 V}
  far: {kind: electronics, claims: {power: 12 W}, works: 10..15 V}
circuits:
  both: {path: [battery, fuse: 5 A, near, length: 4 m, far], length: 6 m, wire: 1.5 mm2}
"""


def test_the_nearer_load_has_its_volts_and_they_are_higher() -> None:
    loads = assessed(JOB).loads
    near_v, far_v = loads["near"].lowest_v, loads["far"].lowest_v
    assert near_v is not None
    assert far_v is not None
    # By hand: 1 A through 4 m out and back of 1.5 mm2 at 60 degC: 8 / (58 * 1.5) * 1.16 = 0.107 V, ends more.
    assert near_v - far_v == pytest.approx(0.12, abs=0.02)
    assert not judged(JOB).of("VDP002")
