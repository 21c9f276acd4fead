"""Machine code takes the same steps as numpy; without numba that is said, or numpy serves."""

from __future__ import annotations

import importlib.util

import numpy as np
import pytest

from groundstrap.errors import CannotDoError
from groundstrap.solve import Backend, Law, Network, solve_rows
from groundstrap.solve.network import RowParameters
from tests.support.handover import as_network
from tests.support.opened import open_some
from tests.support.random_networks import random_case

WITH_NUMBA = importlib.util.find_spec("numba") is not None


def varied(network: Network, values: RowParameters, seed: int) -> RowParameters:
    """Sixteen rows with other wires and loads."""
    factors = np.exp(np.random.default_rng(seed).uniform(-0.5, 0.5, (len(values), 16)))
    scaled = {Law.RESISTOR, Law.HEATED, Law.CONSTANT_POWER}
    return [
        (v[0] * f, *v[1:]) if b.law in scaled else v
        for b, v, f in zip(network.branches, values, factors, strict=True)
    ]


@pytest.mark.skipif(not WITH_NUMBA, reason="numba is not installed: no machine code to compare")
def test_machine_code_and_numpy_agree() -> None:
    """One test, so that only one process of several compiles the machine code, which takes half a minute."""
    for seed in range(24):
        case = random_case(seed, heated=seed % 2 == 0)
        if seed % 3 == 0:
            case = open_some(case, np.random.default_rng(seed), 1)
        network, values = as_network(case)
        rows = varied(network, values, seed)
        fast, plain = solve_rows(network, rows, backend=Backend.FAST), solve_rows(network, rows)
        assert fast.status_code.tolist() == plain.status_code.tolist(), seed
        told = f"seed {seed}"
        np.testing.assert_allclose(fast.node_v, plain.node_v, rtol=0, atol=1e-9, err_msg=told)
        np.testing.assert_allclose(fast.branch_v, plain.branch_v, rtol=0, atol=1e-9, err_msg=told)
        np.testing.assert_allclose(fast.branch_a, plain.branch_a, rtol=0, atol=1e-6, err_msg=told)
        np.testing.assert_allclose(fast.heat_share, plain.heat_share, rtol=0, atol=1e-8, err_msg=told)
        # The sums that every answer is judged by are sums of their own in machine code; what is allowed is
        # stated in docs/architecture.md, "After every solve".
        assert (fast.off == plain.off).all()
        assert (fast.unfed == plain.unfed).all()
        assert np.nanmax(fast.worst_kirchhoff_a, initial=0.0) < 1e-9, told


def test_without_numba_fast_is_refused_and_auto_takes_numpy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda _name: None)
    network, values = as_network(random_case(1))
    with pytest.raises(CannotDoError, match="needs numba"):
        solve_rows(network, values, rows=1, backend=Backend.FAST)
    assert solve_rows(network, values, rows=1, backend=Backend.AUTO).rows == 1
