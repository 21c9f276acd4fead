"""What is no network, and parameters out of range: refused with what was given and what would do."""

from __future__ import annotations

import math
import pickle

import numpy as np
import pytest

from groundstrap.errors import NetworkError
from groundstrap.solve import Branch, Law, Network, solve_one, solve_rows

NETWORK = Network(
    ("minus", "plus"),
    (
        Branch("battery", Law.BATTERY, 1, 0),
        Branch("wire", Law.RESISTOR, 1, 0),
        Branch("lamp", Law.POWER_LAW, 1, 0),
    ),
)
GOOD: list[tuple[float, ...]] = [(12.0, 0.1, 0.1), (3.0,), (1.0, 12.0, 0.55)]


@pytest.mark.parametrize(
    ("branch", "values", "says"),
    [
        (1, (0.0,), "'wire' (resistor) has ohm=0; wanted above 0 (merge the nodes"),
        (1, (-1.0,), "ohm=-1"),
        (1, (math.nan,), "ohm=nan"),
        (0, (math.inf, 0.1, 0.1), "emf_v=inf; wanted a finite number"),
        (0, (12.0, math.inf, 0.1), "charge_ohm=0.1; wanted above 0, inf only where discharge_ohm is"),
        (2, (1.0, 0.0, 0.55), "ref_v=0"),
        (1, (1.0, 2.0), "has 2 parameters; wanted (ohm)"),
    ],
)
def test_a_value_out_of_range_is_refused(branch: int, values: tuple[float, ...], says: str) -> None:
    given = [*GOOD]
    given[branch] = values
    for solve in (solve_one, lambda n, p: solve_rows(n, p, rows=1)):
        with pytest.raises(NetworkError) as caught:
            solve(NETWORK, given)
        assert says in str(caught.value)
        assert caught.value.where == (NETWORK.branches[branch].name,)


def test_one_bad_value_among_many_rows_is_refused() -> None:
    with pytest.raises(NetworkError, match="ohm=-2"):
        solve_rows(NETWORK, [GOOD[0], (np.array([1.0, -2.0, 3.0]),), GOOD[2]])


def test_arrays_of_different_length_are_refused() -> None:
    with pytest.raises(NetworkError, match="as many rows as every other array"):
        solve_rows(NETWORK, [GOOD[0], (np.ones(3),), (np.ones(4), 12.0, 0.55)])
    with pytest.raises(NetworkError, match="5 rows asked for"):
        solve_rows(NETWORK, [GOOD[0], (np.ones(3),), GOOD[2]], rows=5)


def test_too_few_tuples_are_refused() -> None:
    with pytest.raises(NetworkError, match="2 tuples of parameters for 3 branches"):
        solve_one(NETWORK, GOOD[:2])


@pytest.mark.parametrize(
    ("branches", "says"),
    [
        ((Branch("loop", Law.RESISTOR, 1, 1),), "starts and ends at node 1"),
        ((Branch("in", Law.CONSTANT_POWER, 1, 0, feeds=0),), "feeds branch 0"),
        ((Branch("in", Law.RESISTOR, 1, 0, feeds=0),), "feeds branch 0"),
    ],
)
def test_what_is_no_network_is_refused(branches: tuple[Branch, ...], says: str) -> None:
    with pytest.raises(NetworkError) as caught:
        Network(("minus", "plus"), branches)
    assert says in str(caught.value)


def test_whole_numbers_are_numbers() -> None:
    assert solve_one(NETWORK, [(12, 1, 1), (3,), (0, 12, 1)]).node_v[1] == pytest.approx(9.0)


def test_a_network_crosses_process_borders_without_its_memo() -> None:
    solve_one(NETWORK, GOOD)
    copy = pickle.loads(pickle.dumps(NETWORK))
    assert copy == NETWORK
    assert copy.memo == {}
