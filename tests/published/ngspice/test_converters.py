"""Random vehicles with a converter, and with batteries that charge reluctantly, against ngspice.

Source of the reference values: ngspice, dc sweep of the same network, converters written as their own power
balance. Where it has a stable point the solver must have the same one. A sweep can not pass a fall of the
volts onto a battery, so ngspice is silent more often here; there the answer must at least close and be
stable in full matrices of its own laws (dense homotopy), the converter's input frozen at what it draws.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from groundstrap.solve import Status, solve_one
from tests.support.converter_networks import converter_case, with_frozen_inputs
from tests.support.dense_homotopy import DenseNetwork, stable_points
from tests.support.handover import as_network
from tests.support.plain import Case
from tests.support.random_networks import mixed_case
from tests.support.spice import Vector, working_points

CHUNK = 60
#: Of 290 points of seeds 0 to 299 ngspice is silent on 35.
MOST_SILENT = 12
CLOSES_A = 1e-8


def _at_limit(case: Case, amps: tuple[float, ...]) -> bool:
    """Whether every source that is on gives all it may."""
    sources = [(e.values[1], -a) for e, a in zip(case.elements, amps, strict=True) if e.law == "REGULATED"]
    return all(given >= limit for limit, given in sources if limit > 0)


def _closes(case: Case, node_v: Vector) -> bool:
    """Whether Kirchhoff holds and the point is stable, by full matrices and laws of their own."""
    look = DenseNetwork(with_frozen_inputs(case, node_v.tolist())).look(node_v, 1.0)
    return look is not None and float(np.abs(look.residual_a).max()) < CLOSES_A


@pytest.mark.parametrize("chunk", range(2))
def test_converters_stand_where_ngspice_has_them(ngspice: str, chunk: int) -> None:
    seeds = range(chunk * CHUNK, (chunk + 1) * CHUNK)
    cases = [converter_case(seed, heated=seed % 2 == 1) for seed in seeds]
    points = [solve_one(*as_network(case)) for case in cases]
    spice = working_points(ngspice, cases, again=[point.found for point in points])
    silent, limited = [], 0
    for case, point, spice_v in zip(cases, points, spice, strict=True):
        assert point.status is not Status.UNSOLVED, f"seed {case.seed}"
        if point.found:
            assert _closes(case, np.asarray(point.node_v)), f"seed {case.seed} does not close"
            limited += _at_limit(case, point.branch_a)
        if spice_v is None:
            silent += [case.seed] if point.found else []
            continue
        assert point.found, f"seed {case.seed}: {point.status}, but ngspice has a stable point"
        assert float(np.abs(np.asarray(point.node_v) - spice_v).max()) < 1e-6, f"seed {case.seed}"
    assert len(silent) <= MOST_SILENT, f"ngspice is silent on seeds {silent}"
    assert limited >= 10, "too few with every machine at its limit"


def _reluctant(case: Case) -> Case:
    """The vehicle with batteries that charge at 5 to 60 times the ohms at which they give."""
    rng = np.random.default_rng(case.seed)
    bent = (
        replace(e, values=(*e.values[:2], e.values[1] * rng.uniform(5.0, 60.0))) if e.law == "BATTERY" else e
        for e in case.elements
    )
    return replace(case, elements=tuple(bent))


def test_vehicles_whose_batteries_charge_reluctantly() -> None:
    """The lead-acid batteries of a job take charge at 30 to 60 times the ohms at which they give it."""
    found = 0
    for seed in range(700_000, 700_080):
        case = _reluctant(mixed_case(seed, heated=seed % 2 == 1))
        point, stable = solve_one(*as_network(case)), list(stable_points(case))
        assert point.found == bool(stable), f"seed {seed}: {point.status}"
        if point.found:
            found += 1
            apart = [float(np.abs(np.asarray(point.node_v) - node_v).max()) for node_v in stable]
            assert min(apart) < 1e-6, f"seed {seed}"
    assert found >= 40
