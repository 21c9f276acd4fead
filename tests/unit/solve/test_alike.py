"""Cases begun where a like one ended: the same points as from nothing, else solved from nothing."""

from __future__ import annotations

import random

import numpy as np
import pytest

from groundstrap.errors import NetworkError
from groundstrap.solve import Alike, Branch, Law, Network, Point, Volts, solve_alike, solve_one
from groundstrap.solve.scalar import stand_near
from tests.support.converter_networks import converter_case
from tests.support.handover import as_network
from tests.support.plain import Case
from tests.support.random_networks import mixed_case

FACTORS = (0.1, 0.5, 0.8, 1.25, 2.0, 4.0)
"""Of ohms and kappa: ten times the copper to a quarter of it; every fifth vehicle is near collapse."""

VEHICLES, CONVERTERS = (5, 9, 10, 15, 18, 23), range(4, 8)
"""Seeds by which many cases begin near the first; where none does, one way would be compared with itself."""

CABLE = Network(
    ("minus", "plus", "load"),
    (
        Branch("battery", Law.BATTERY, 1, 0),
        Branch("cable", Law.HEATED, 1, 2),
        Branch("inverter", Law.CONSTANT_POWER, 2, 0),
    ),
)
VALUES: list[tuple[float, ...]] = [(12.6, 0.005, 0.005), (0.015, 1e-9), (600.0,)]


def _compared(case: Case, monkeypatch: pytest.MonkeyPatch) -> int:
    """Compare points of a network with some other wires with those from nothing; how many began near."""
    network, values = as_network(case)
    heated = [number for number, branch in enumerate(network.branches) if branch.law is Law.HEATED]
    draw, alike, began_near = random.Random(case.seed), Alike(network, values), []

    def near(*given: object) -> object:
        began_near.append(found := stand_near(*given))  # type: ignore[arg-type]
        return found

    monkeypatch.setattr("groundstrap.solve.alike.stand_near", near)
    for factor in FACTORS:
        some = draw.sample(heated, draw.randint(1, len(heated)))
        changed = {number: (values[number][0] * factor, values[number][1] * factor) for number in some}
        wanted = solve_one(network, [changed.get(n, own) for n, own in enumerate(values)])
        _assert_same(alike.volts(changed), wanted)
    return sum(found is not None for found in began_near)


def _assert_alike(case: Case) -> None:
    """Some conductors of any law otherwise, as whole points beside those from nothing."""
    network, values = as_network(case)
    draw = random.Random(case.seed)
    conductors = [n for n, b in enumerate(network.branches) if b.law in {Law.HEATED, Law.RESISTOR}]
    cases = [values]
    for factor in FACTORS:
        some = set(draw.sample(conductors, draw.randint(1, len(conductors))))
        cases.append([tuple(factor * v for v in own) if n in some else own for n, own in enumerate(values)])
    for found, parameters in zip(solve_alike(network, cases), cases, strict=True):
        wanted = solve_one(network, parameters)
        assert (found.status, found.off, found.unfed) == (wanted.status, wanted.off, wanted.unfed)
        _assert_same(Volts(found=found.found, node_v=found.node_v, branch_v=found.branch_v), wanted)
        if wanted.found:
            assert np.abs(np.subtract(found.branch_a, wanted.branch_a)).max() < 1e-6


def _assert_same(found: Volts, wanted: Point) -> None:
    assert found.found == wanted.found
    if wanted.found:
        assert np.abs(np.subtract(found.node_v, wanted.node_v)).max() < 1e-9
        assert np.abs(np.subtract(found.branch_v, wanted.branch_v)).max() < 1e-9


def test_random_vehicles_with_other_wires_end_at_the_same_points(monkeypatch: pytest.MonkeyPatch) -> None:
    near = sum(_compared(mixed_case(seed, heated=True), monkeypatch) for seed in VEHICLES)
    near += sum(_compared(converter_case(seed, heated=True), monkeypatch) for seed in CONVERTERS)
    assert near > 25


@pytest.mark.parametrize("case", [mixed_case(9, heated=True), converter_case(5, heated=True)])
def test_whole_points_of_like_cases_are_those_from_nothing(case: Case) -> None:
    _assert_alike(case)


def test_by_hand() -> None:
    """0.03 ohm in place of 0.015, without heat: V = (12.6 + sqrt(12.6^2 - 4 * 0.035 * 600))/2."""
    volts = Alike(CABLE, VALUES).volts({1: (0.03, 0.0)})
    assert volts.node_v[2] == pytest.approx((12.6 + (12.6**2 - 4 * 0.035 * 600) ** 0.5) / 2, abs=1e-9)


def test_a_change_beyond_collapse_has_no_working_point() -> None:
    """More than 12.6^2/(4 * 600) = 0.066 ohm in all leave no point."""
    assert not Alike(CABLE, VALUES).volts({1: (0.07, 0.0)}).found


def test_a_first_case_without_a_point_leaves_the_others_to_be_solved_from_nothing() -> None:
    beyond = [VALUES[0], (0.07, 1e-9), VALUES[2]]
    _assert_same(Alike(CABLE, beyond).volts({1: (0.015, 1e-9)}), solve_one(CABLE, VALUES))


def test_a_cable_that_carries_nothing_may_be_any() -> None:
    idle = Alike(CABLE, [VALUES[0], VALUES[1], (0.0,)])
    assert idle.volts({1: (0.03, 0.0)}) is idle.volts({1: (3.0, 1.0)})
    assert idle.volts({1: (0.03, 0.0)}).node_v == pytest.approx((0.0, 12.6, 12.6), abs=1e-12)


def test_values_out_of_range_are_refused() -> None:
    with pytest.raises(NetworkError, match="cold_ohm"):
        Alike(CABLE, VALUES).volts({1: (-1.0, 0.0)})
