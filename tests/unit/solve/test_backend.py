"""Machine code takes the same steps as numpy; without numba that is said, or numpy serves."""

from __future__ import annotations

import importlib.util

import numpy as np
import pytest

from groundstrap.errors import CannotDoError
from groundstrap.solve import Backend, Branch, Law, Network, Rows, solve_batches, solve_rows
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


def assert_same(one: Rows, other: Rows, told: str) -> None:
    """The same status, points, heat and flags in every row."""
    assert one.status_code.tolist() == other.status_code.tolist(), told
    for name, atol in (("node_v", 1e-9), ("branch_v", 1e-9), ("branch_a", 1e-6), ("heat_share", 1e-8)):
        np.testing.assert_allclose(getattr(one, name), getattr(other, name), rtol=0, atol=atol, err_msg=told)
    assert (one.off == other.off).all(), told
    assert (one.unfed == other.unfed).all(), told


def three_batches() -> tuple[Network, list[RowParameters]]:
    """An alternator beside a battery that charges reluctantly; too much load, an open part, an absorber."""
    laws = (Law.BATTERY, Law.REGULATED, Law.HEATED, Law.CONSTANT_POWER, Law.RESISTOR)
    ends = ((1, 0), (1, 0), (1, 2), (2, 0), (1, 0))
    network = Network(
        ("minus", "plus", "far"),
        tuple(Branch(law.value, law, *place) for law, place in zip(laws, ends, strict=True)),
    )

    def batch(emf_v: list[float], ohm: list[float], watts: list[float]) -> RowParameters:
        battery = (np.array(emf_v), 0.004, 0.3)
        return [battery, (14.3, 60.0, 0.002), (np.array(ohm), 1e-6), (np.array(watts),), (50.0,)]

    return network, [
        batch([12.8, 12.8, 12.8, 14.6], [0.01, 0.01, np.inf, 0.01], [900.0, 9000.0, 100.0, 10.0]),
        batch([12.7, 12.6, 12.5, 12.4], [0.011, 0.012, 0.013, 0.014], [800.0, 700.0, 600.0, 20.0]),
        batch([12.7, 14.7], [0.011, 0.012], [800.0, 7.0]),
    ]


def test_batches_are_written_over_one_another_and_nothing_stays() -> None:
    network, batches = three_batches()
    found = 0
    for rows, batch in zip(solve_batches(network, batches), batches, strict=True):
        assert_same(rows, solve_rows(network, batch), "numpy")
        found += int(rows.found.sum())
    # No 9 kW from a battery of 12.8 V behind 14 mohm: at most 13.04 V squared over 56 mohm, 3036 W.
    assert found == 9


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
        told = f"seed {seed}"
        assert_same(fast, plain, told)
        # The sums that every answer is judged by are sums of their own in machine code; what is allowed is
        # stated in docs/architecture.md, "After every solve".
        assert np.nanmax(fast.worst_kirchhoff_a, initial=0.0) < 1e-9, told
    network, batches = three_batches()
    for quick, batch in zip(solve_batches(network, batches, backend=Backend.FAST), batches, strict=True):
        assert_same(quick, solve_rows(network, batch), "batches")


def test_without_numba_fast_is_refused_and_auto_takes_numpy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda _name: None)
    network, values = as_network(random_case(1))
    with pytest.raises(CannotDoError, match="needs numba"):
        solve_rows(network, values, rows=1, backend=Backend.FAST)
    assert solve_rows(network, values, rows=1, backend=Backend.AUTO).rows == 1
