"""The two independent oracles, dense homotopy and ngspice, agree before either judges the solver.

Source of the reference values: ngspice, operating point and dc sweep of the same network.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.support.dense_homotopy import stable_points
from tests.support.random_networks import mixed_case
from tests.support.spice import working_points


@pytest.mark.parametrize("heated", [False, True], ids=["cold", "heated"])
def test_dense_homotopy_and_ngspice_find_the_same_points(ngspice: str, *, heated: bool) -> None:
    seeds = range(700_000, 700_060)
    cases = [mixed_case(seed, heated=heated) for seed in seeds]
    silent: list[int] = []
    compared = 0
    dense = [tuple(stable_points(case)) for case in cases]
    spice = working_points(ngspice, cases, again=[bool(points) for points in dense])
    for case, points, spice_v in zip(cases, dense, spice, strict=True):
        if spice_v is None:
            silent += [case.seed] if points else []
            continue
        assert points, f"seed {case.seed}: ngspice has a stable point, the dense homotopy none"
        assert min(float(np.abs(v - spice_v).max()) for v in points) < 1e-6, f"seed {case.seed}"
        compared += 1
    assert compared >= 25, f"only {compared} networks could be compared"
    assert len(silent) <= 2, f"ngspice is silent on seeds {silent}"
