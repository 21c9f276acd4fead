"""A fuse is judged by the weakest short that only it can end, also where that lies in another circuit."""

from __future__ import annotations

import pytest

from tests.rules.judged import assessed, judged

JOB = """
supplies: {battery: {kind: battery, cranking: 640 A EN}, alternator: none}
gear: {block: {kind: block, rating: 100 A}}
loads: {lamp: {kind: lamp, claims: {power: 55 W, voltage: 12 V}}}
circuits:
  feed: {path: [battery, length: 5 cm, fuse: 40 A, block], length: 1 m, wire: 16 mm2}
  lamp: {path: [block, FUSE lamp], return: battery -, length: 40 m, wire: 10 mm2, drop: 20 %}
"""


def test_a_long_branch_without_a_fuse_weakens_the_fault_of_the_feeder() -> None:
    bare = JOB.replace("FUSE", "")
    # By hand: 80 m of 10 mm2 at 105 degC are 80 / 580 * 1.33 = 0.18 ohm, 12 V behind it make 65 A at most.
    least_a = assessed(bare).circuits["lamp"].fault_least_a
    assert least_a is not None
    assert 40.0 < least_a < 65.0
    (found,) = judged(bare).of("PRT010")
    assert (found.where, found.outcome.value) == ("feed fuse", "fail")
    assert found.value == pytest.approx(least_a)


def test_a_branch_with_its_own_fuse_does_not() -> None:
    assert not judged(JOB.replace("FUSE", "fuse: 10 A,")).of("PRT010")
