"""500 random vehicles, half of them with heated wires: every node voltage against ngspice.

Source of the reference values: ngspice, dc sweep of the same network. A case counts as silent where ngspice
has no accepted answer although the solver has one; at most 3 % of a chunk may be. Where ngspice has a
stable point, the solver must have it.
"""

from __future__ import annotations

import numpy as np
import pytest

from groundstrap.solve import Status, solve_one
from tests.support.dense_homotopy import DenseNetwork, incidence, stable_points, with_cold_wires
from tests.support.handover import as_network
from tests.support.plain import Case
from tests.support.random_networks import mixed_case
from tests.support.spice import Vector, working_points

FIRST_SEED = 500_000
CHUNK = 100
MOST_SILENT = 3
#: Each of these must stand in at least this many of the compared networks of a chunk.
COVERED = {"ring": 12, "shared return": 20, "two batteries": 12, "at its limit": 12}


def _at_its_limit(case: Case, node_v: Vector) -> bool:
    amps, _ = DenseNetwork(case).amps(incidence(case).T @ node_v[1:])
    return any(
        element.law == "REGULATED" and -a >= element.values[1]
        for element, a in zip(case.elements, amps, strict=True)
    )


def _same(case: Case, node_v: Vector, spice_v: Vector) -> bool:
    """Say whether both stand at one point; with heated wires a second stable point is as right (and rare)."""
    if float(np.abs(node_v - spice_v).max()) < 1e-6:
        return True
    points = tuple(stable_points(case)) if "heated" in case.traits else ()
    return any(float(np.abs(node_v - v).max()) < 1e-6 for v in points)


@pytest.mark.parametrize("chunk", range(5))
def test_random_vehicles_stand_where_ngspice_has_them(ngspice: str, chunk: int) -> None:
    first = FIRST_SEED + chunk * CHUNK
    cases = [mixed_case(seed, heated=seed % 2 == 1) for seed in range(first, first + CHUNK)]
    silent: list[int] = []
    met = dict.fromkeys(COVERED, 0)
    points = [solve_one(*as_network(case)) for case in cases]
    spice = working_points(ngspice, cases, again=[point.status is Status.FOUND for point in points])
    for case, point, spice_v in zip(cases, points, spice, strict=True):
        if spice_v is None:
            silent += [case.seed] if point.status is Status.FOUND else []
            continue
        if (
            point.status is Status.DOES_NOT_START_COLD
        ):  # ngspice knows the hot network alone, a job starts cold
            assert working_points(ngspice, [with_cold_wires(case)]) == [None], f"seed {case.seed}"
            assert not tuple(stable_points(case)), f"seed {case.seed}: it does start cold"
            continue
        assert point.status is Status.FOUND, (
            f"seed {case.seed}: {point.status}, but ngspice has a stable point"
        )
        assert _same(case, np.asarray(point.node_v), spice_v), f"seed {case.seed}: not the point of ngspice"
        for trait in met:
            met[trait] += trait in case.traits
        met["at its limit"] += _at_its_limit(case, spice_v)
    assert len(silent) <= MOST_SILENT, f"ngspice is silent on seeds {silent}"
    assert all(met[trait] >= least for trait, least in COVERED.items()), f"compared too few: {met}"
