"""What must hold for every solved network: Kirchhoff, power, one answer in any order and either way in.

Networks are random vehicles from tests/support; the laws are evaluated here again, without the kernel.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from groundstrap.solve import Branch, Law, Network, Point, solve_one, solve_rows
from tests.support.handover import as_network
from tests.support.plain import Case
from tests.support.random_networks import random_case

SEEDS = st.integers(0, 2**31 - 1)
ROWS = 8


def law_current_a(law: Law, values: tuple[float, ...], volts: float) -> float:
    """Current of a branch at its volts, by its law alone."""
    if law is Law.RESISTOR:
        return volts / values[0]
    if law is Law.HEATED:
        ohm, kappa = values
        return 2 * volts / (ohm + float(np.sqrt(ohm * ohm + 4 * kappa * volts * volts)))
    if law is Law.BATTERY:
        emf_v, discharge_ohm, charge_ohm = values
        return (volts - emf_v) / (charge_ohm if volts > emf_v else discharge_ohm)
    if law is Law.REGULATED:
        set_v, limit_a, droop_ohm = values
        return -min(max((set_v - volts) / droop_ohm, 0.0), limit_a)
    if law is Law.CONSTANT_POWER:
        return values[0] / volts
    if law is Law.CONSTANT_CURRENT:
        return values[0]
    at_ref_a, ref_v, exponent = values
    return float(at_ref_a * (volts / ref_v) ** exponent)


def found(case: Case) -> Point:
    point = solve_one(*as_network(case))
    assume(point.found)
    return point


@given(seed=SEEDS, heated=st.booleans())
def test_currents_recomputed_outside_the_kernel_sum_to_zero(seed: int, *, heated: bool) -> None:
    case = random_case(seed, heated=heated)
    point = found(case)
    network, values = as_network(case)
    sums_a, rounding_a = np.zeros(case.node_count), np.zeros(case.node_count)
    largest_a = 0.0
    for index, branch in enumerate(network.branches):
        volts = point.node_v[branch.start] - point.node_v[branch.end]
        amps = law_current_a(branch.law, values[index], volts)
        largest_a = max(largest_a, abs(amps))
        sums_a[branch.start] += amps
        sums_a[branch.end] -= amps
        if branch.law in {Law.RESISTOR, Law.HEATED, Law.BATTERY, Law.REGULATED}:
            # A volt can't be written closer than this; across microhms that alone is nanoamperes.
            ohm = values[index][2] if branch.law is Law.REGULATED else min(v for v in values[index] if v > 0)
            ohm = values[index][0] if branch.law is Law.HEATED else ohm
            least_a = 4 * np.spacing(max(abs(v) for v in point.node_v)) / ohm
            rounding_a[[branch.start, branch.end]] += least_a
    assert (np.abs(sums_a) <= 1e-9 + 1e-12 * largest_a + rounding_a).all()


@given(seed=SEEDS, heated=st.booleans())
def test_what_sources_give_is_what_loads_and_wires_take(seed: int, *, heated: bool) -> None:
    case = random_case(seed, heated=heated)
    point = found(case)
    given_w = -sum(w for w in point.branch_w if w < 0)
    taken_w = sum(w for w in point.branch_w if w > 0)
    assert given_w == pytest.approx(taken_w, rel=1e-9)
    for volts, amps, watts in zip(point.branch_v, point.branch_a, point.branch_w, strict=True):
        assert watts == volts * amps


@given(seed=SEEDS, heated=st.booleans(), order=st.randoms(use_true_random=False))
def test_the_order_of_nodes_and_branches_does_not_matter(
    seed: int, *, heated: bool, order: np.random.Generator
) -> None:
    case = random_case(seed, heated=heated)
    point = solve_one(*as_network(case))
    places = [0, *(k for k in _shuffled(range(1, case.node_count), order))]
    branches = _shuffled(range(len(case.elements)), order)
    moved = replace(
        case,
        elements=tuple(
            replace(case.elements[k], start=places[case.elements[k].start], end=places[case.elements[k].end])
            for k in branches
        ),
    )
    other = solve_one(*as_network(moved))
    assert other.status is point.status
    if point.found:
        assert [other.node_v[place] for place in places] == pytest.approx(point.node_v, abs=1e-9)
        assert other.branch_a == pytest.approx([point.branch_a[k] for k in branches], abs=1e-6)


def _shuffled(numbers: range, order: object) -> list[int]:
    listed = list(numbers)
    order.shuffle(listed)  # type: ignore[attr-defined]
    return listed


@given(seed=SEEDS, heated=st.booleans())
def test_many_rows_at_once_and_one_by_one_agree(seed: int, *, heated: bool) -> None:
    case = random_case(seed, heated=heated)
    network, values = as_network(case)
    rng = np.random.default_rng(seed)
    factors = np.exp(rng.uniform(-0.4, 0.4, (len(values), ROWS)))
    varied = [
        (v[0] * f, *v[1:])
        if b.law in {Law.RESISTOR, Law.HEATED, Law.CONSTANT_POWER}
        else tuple(np.full(ROWS, x) for x in v)
        for b, v, f in zip(network.branches, values, factors, strict=True)
    ]
    rows = solve_rows(network, varied)
    for row in range(ROWS):
        one = solve_one(
            network, [tuple(float(x[row]) if np.ndim(x) else float(x) for x in given) for given in varied]
        )
        assert one.status is rows.status(row)
        if one.found:
            many = rows.row(row)
            assert one.node_v == pytest.approx(many.node_v, abs=1e-9)
            assert one.branch_v == pytest.approx(many.branch_v, abs=1e-9)
            assert (one.off, one.unfed) == (many.off, many.unfed)


@given(seed=SEEDS)
def test_a_branch_turned_round_carries_the_opposite(seed: int) -> None:
    case = random_case(seed)
    point = found(case)
    network, values = as_network(case)
    turned = tuple(
        Branch(b.name, b.law, b.end, b.start) if b.law in {Law.RESISTOR, Law.HEATED} else b
        for b in network.branches
    )
    other = solve_one(Network(network.nodes, turned), values)
    assert other.node_v == pytest.approx(point.node_v, abs=1e-9)
    for was, now, branch in zip(point.branch_a, other.branch_a, network.branches, strict=True):
        sign = -1 if branch.law in {Law.RESISTOR, Law.HEATED} else 1
        assert now == pytest.approx(sign * was, abs=1e-6)
