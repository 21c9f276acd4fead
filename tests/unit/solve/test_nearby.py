"""Cases begun where another one ended, its loads and batteries moved: the same points as from nothing."""

from __future__ import annotations

import random

import numpy as np
import pytest

from groundstrap.solve import Law, Point, begin_nearby, solve_one
from groundstrap.solve.nearby import _beside, _stand_at
from tests.support.converter_networks import converter_case
from tests.support.handover import as_network
from tests.support.plain import Case
from tests.support.random_networks import mixed_case

LOADS = {Law.CONSTANT_POWER, Law.CONSTANT_CURRENT}
SAME_V = 1e-10
"""Newton's method ends where a step moves no node farther than this, from either side. [V]"""
SAME_A = 1e-8
"""What 1e-10 V comes to through 10 mohm; measured 8e-11 A at most on 45 such networks. [A]"""


def _assert_same(found: Point, wanted: Point) -> None:
    assert (found.status, found.off, found.unfed) == (wanted.status, wanted.off, wanted.unfed)
    if wanted.found:
        assert np.abs(np.subtract(found.node_v, wanted.node_v)).max() < SAME_V
        assert np.abs(np.subtract(found.branch_a, wanted.branch_a)).max() < SAME_A


def _compared(case: Case) -> int:
    """Compare points with other loads and batteries with those from nothing; how many began beside it."""
    network, values = as_network(case)
    draw, begun, beside = random.Random(case.seed), begin_nearby(network, values), 0
    _assert_same(begun.point, solve_one(network, values))
    for _ in range(5):
        changed = [
            (own[0] * draw.uniform(0.3, 1.3), *own[1:])
            if branch.law in LOADS and branch.feeds is None
            else (own[0] + draw.uniform(-0.4, 0.4), *own[1:])
            if branch.law is Law.BATTERY
            else own
            for branch, own in zip(network.branches, values, strict=True)
        ]
        found = begun.beside(changed)
        _assert_same(found.point, solve_one(network, changed))
        beside += begun.stand is not None and _beside(begun.stand, changed) is not None
    for number, branch in enumerate(network.branches):
        if branch.law is Law.BATTERY and begun.point.found:
            emf_v, *ohms = values[number]
            raised = [own if n != number else (emf_v + 0.02, *ohms) for n, own in enumerate(values)]
            _assert_same(begun.raised(number, 0.02), solve_one(network, raised))
    return beside


@pytest.mark.parametrize("converters", [False, True])
def test_a_case_beside_another_is_that_from_nothing(converters: bool) -> None:  # noqa: FBT001
    # Outside check: the same case solved from nothing, which the dense solver and the simulator are held to.
    make, seeds = (converter_case, range(4, 8)) if converters else (mixed_case, (5, 9, 10, 15, 18))
    cases = [make(seed, heated=True) for seed in seeds]
    assert sum(map(_compared, cases)) >= 5, "none began beside another"


def test_a_point_that_took_more_to_be_found_is_a_place_to_begin_as_well() -> None:
    # The state that is made of a point's volts and amps is the one that the ordinary course ends in.
    for seed in range(4, 8):
        network, values = as_network(converter_case(seed, heated=True))
        begun = begin_nearby(network, values)
        if begun.stand is None:
            continue
        again = _stand_at(values, begun.point)
        assert again is not None
        assert again.state.node_v == pytest.approx(begun.stand.state.node_v, abs=SAME_V)
        assert (again.state.off, again.state.charging) == (
            begun.stand.state.off,
            begun.stand.state.charging,
        )
        return
    pytest.fail("none of them has a point")
