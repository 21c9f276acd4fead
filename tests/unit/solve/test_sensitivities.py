"""Derivatives of readings against differences of whole solutions."""

from __future__ import annotations

import numpy as np
import pytest

from groundstrap.errors import NetworkError
from groundstrap.solve import Branch, Law, Network, Reading, sensitivities, solve_one

NETWORK = Network(
    ("minus", "plus", "rail", "load", "back", "out"),
    (
        Branch("battery", Law.BATTERY, 1, 0),
        Branch("alternator", Law.REGULATED, 2, 4),
        Branch("limited", Law.REGULATED, 2, 0),
        Branch("feed", Law.RESISTOR, 1, 2),
        Branch("wire", Law.HEATED, 2, 3),
        Branch("pump", Law.CONSTANT_POWER, 3, 4),
        Branch("light", Law.CONSTANT_CURRENT, 3, 4),
        Branch("lamp", Law.POWER_LAW, 2, 4),
        Branch("strap", Law.RESISTOR, 4, 0),
        Branch("in", Law.CONSTANT_POWER, 2, 4, feeds=10),
        Branch("converter", Law.REGULATED, 5, 4),
        Branch("far", Law.RESISTOR, 5, 4),
    ),
)
VALUES: list[tuple[float, ...]] = [
    (12.6, 0.02, 0.05),
    (13.9, 80.0, 0.004),
    (14.8, 5.0, 0.002),
    (0.004,),
    (0.03, 0.17 / 40**2),
    (250.0,),
    (3.0,),
    (6.0, 12.0, 0.55),
    (0.003,),
    (0.9, 2.0),
    (5.0, 20.0, 0.01),
    (0.5,),
]
READINGS = [Reading(3, 4), Reading(4), Reading(1), Reading(5, 4)]


def test_each_derivative_is_the_limit_of_the_difference() -> None:
    point = solve_one(NETWORK, VALUES)
    found = sensitivities(NETWORK, point, VALUES, READINGS)
    for branch, values in enumerate(VALUES):
        for position, value in enumerate(values):
            step = 1e-5 * max(abs(value), 1e-3)
            ends = []
            for sign in (1, -1):
                moved = [list(given) for given in VALUES]
                moved[branch][position] += sign * step
                ends.append(solve_one(NETWORK, [tuple(given) for given in moved]))
            for reading, one in zip(READINGS, found, strict=True):
                high, low = (end.node_v[reading.plus] - end.node_v[reading.minus] for end in ends)
                # The volts of both ends are known to 1e-12: what that leaves of the difference is allowed.
                expected = (high - low) / (2 * step)
                assert one.per_unit_v[branch][position] == pytest.approx(
                    expected, rel=2e-5, abs=1e-11 / step
                ), (NETWORK.branches[branch].name, position, reading)


def test_no_derivatives_without_a_point() -> None:
    network = Network(
        ("minus", "plus"), (Branch("cell", Law.BATTERY, 1, 0), Branch("load", Law.CONSTANT_POWER, 1, 0))
    )
    values = [(12.0, 1.0, 1.0), (100.0,)]
    with pytest.raises(NetworkError, match="no working point"):
        sensitivities(network, solve_one(network, values), values, [Reading(1)])


def test_all_derivatives_are_finite() -> None:
    found = sensitivities(NETWORK, solve_one(NETWORK, VALUES), VALUES, READINGS)
    assert all(np.isfinite(by).all() for one in found for by in one.per_unit_v)
