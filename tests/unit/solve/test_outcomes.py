"""Which answer a row gets: found, or which kind of none; and what is left when branches are open."""

from __future__ import annotations

import math

import numpy as np
import pytest

from groundstrap.solve import Branch, Law, Network, Status, solve_one, solve_rows

OPEN = math.inf
POWER = Network(
    ("minus", "plus", "load"),
    (
        Branch("battery", Law.BATTERY, 1, 0),
        Branch("cable", Law.HEATED, 1, 2),
        Branch("inverter", Law.CONSTANT_POWER, 2, 0),
    ),
)


def test_the_most_power_behind_a_resistance_is_the_boundary() -> None:
    # E^2/(4 R) = 12^2/(4 * 0.02) = 1800 W.
    just, beyond = 1800 * (1 - 1e-6), 1800 * (1 + 1e-6)
    rows = solve_rows(POWER, [(12.0, 0.01, 0.01), (0.01, 0.0), (np.array([just, beyond]),)])
    assert [rows.status(0), rows.status(1)] == [Status.FOUND, Status.NO_WORKING_POINT]
    assert rows.node_v[2, 0] == pytest.approx(6.0, abs=0.01)
    assert np.isnan(rows.node_v[:, 1]).all()


def test_a_load_that_only_a_cold_cable_can_carry_is_too_hot() -> None:
    # Cold 20 mohm carry 1790 W; with a cable of 20 % more they do not (12^2/(4 * 0.022) = 1636 W).
    point = solve_one(POWER, [(12.0, 0.01, 0.01), (0.01, 0.2 / 150**2), (1790.0,)])
    assert point.status is Status.TOO_HOT
    assert solve_one(POWER, [(12.0, 0.01, 0.01), (0.01, 0.2 / 150**2), (1790.0,)], heat=False).found


def test_a_load_that_only_warm_cables_let_start_does_not_start_cold() -> None:
    # Beside the cold heater the rail has 9 V behind 15 mohm, so 9^2/(4 * 0.015) = 1350 W at most; hot, it
    # takes less than 1/sqrt(kappa) = 32 A, which leaves more than 11 V behind 20 mohm: 1.5 kW and more.
    network = Network(
        ("minus", "plus", "rail", "heater"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("cable", Law.RESISTOR, 1, 2),
            Branch("inverter", Law.CONSTANT_POWER, 2, 0),
            Branch("element", Law.HEATED, 2, 3),
            Branch("return", Law.RESISTOR, 3, 0),
        ),
    )
    values = [(12.0, 0.01, 0.01), (0.01,), (1500.0,), (0.05, 1e-3), (0.01,)]
    assert solve_one(network, values, heat=False).status is Status.NO_WORKING_POINT
    assert solve_one(network, values).status is Status.DOES_NOT_START_COLD


def test_a_block_whose_feed_is_open_leaves_its_loads_off_and_the_rest_working() -> None:
    network = Network(
        ("minus", "plus", "block", "other"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("feed", Law.RESISTOR, 1, 2),
            Branch("pump", Law.CONSTANT_POWER, 2, 0),
            Branch("warmer", Law.RESISTOR, 2, 0),
            Branch("wire", Law.RESISTOR, 1, 3),
            Branch("light", Law.CONSTANT_CURRENT, 3, 0),
        ),
    )
    point = solve_one(network, [(12.6, 0.02, 0.02), (OPEN,), (50.0,), (2.0,), (0.18,), (2.0,)])
    assert point.found
    assert point.unfed == ("pump",)
    assert point.node_v == pytest.approx((0.0, 12.56, 0.0, 12.2), abs=1e-12)
    assert point.branch_a == pytest.approx((-2.0, 0.0, 0.0, 0.0, 2.0, 2.0), abs=1e-12)


def test_an_open_return_leaves_both_ends_of_the_load_at_the_plus() -> None:
    network = Network(
        ("minus", "plus", "before", "after"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("wire", Law.RESISTOR, 1, 2),
            Branch("load", Law.RESISTOR, 2, 3),
            Branch("return", Law.RESISTOR, 3, 0),
        ),
    )
    point = solve_one(network, [(12.6, 0.02, 0.02), (0.01,), (2.0,), (OPEN,)])
    assert point.node_v == pytest.approx((0.0, 12.6, 12.6, 12.6), abs=1e-12)
    assert point.branch_v[3] == pytest.approx(12.6, abs=1e-12)


def test_a_converter_without_its_input_leaves_its_side_dead() -> None:
    network = Network(
        ("minus", "plus", "entry", "out minus", "out plus"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("fuse", Law.RESISTOR, 1, 2),
            Branch("in", Law.CONSTANT_POWER, 2, 0, feeds=3),
            Branch("out", Law.REGULATED, 4, 3),
            Branch("load", Law.CONSTANT_POWER, 4, 3),
            Branch("lamp", Law.POWER_LAW, 4, 3),
        ),
    )
    values = [(48.0, 0.02, 0.02), (OPEN,), (0.9, 1.0), (12.0, 20.0, 0.002), (60.0,), (2.0, 12.0, 0.55)]
    point = solve_one(network, values)
    assert point.found
    assert point.unfed == ("in", "load")
    assert point.branch_a == pytest.approx((0.0,) * 6, abs=1e-12)


def test_an_island_with_its_own_battery_and_no_tie_to_the_reference_is_solved() -> None:
    network = Network(
        ("minus", "plus", "far minus", "far plus"),
        (
            Branch("near", Law.BATTERY, 1, 0),
            Branch("near load", Law.RESISTOR, 1, 0),
            Branch("far", Law.BATTERY, 3, 2),
            Branch("far load", Law.CONSTANT_POWER, 3, 2),
        ),
    )
    point = solve_one(network, [(12.0, 1.0, 1.0), (3.0,), (24.0, 1.0, 1.0), (80.0,)])
    assert point.branch_v[1] == pytest.approx(9.0, abs=1e-12)
    assert point.branch_v[3] == pytest.approx(20.0, abs=1e-10)  # V^2 - 24 V + 80 = 0


def test_each_row_has_its_own_open_branches() -> None:
    network = Network(
        ("minus", "plus", "one", "two"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("wire one", Law.RESISTOR, 1, 2),
            Branch("load one", Law.CONSTANT_CURRENT, 2, 0),
            Branch("wire two", Law.RESISTOR, 1, 3),
            Branch("load two", Law.CONSTANT_CURRENT, 3, 0),
        ),
    )
    one, two = np.array([0.1, OPEN, 0.1, OPEN]), np.array([0.1, 0.1, OPEN, OPEN])
    rows = solve_rows(network, [(12.0, 0.1, 0.1), (one,), (3.0,), (two,), (2.0,)])
    assert rows.found.all()
    assert rows.node_v[1] == pytest.approx([11.5, 11.8, 11.7, 12.0], abs=1e-12)
    assert rows.unfed.sum(axis=0).tolist() == [0, 1, 1, 2]
    assert rows.row(1).unfed == ("load one",)


def test_a_disabled_source_gives_nothing_and_is_not_called_standing_by() -> None:
    network = Network(
        ("minus", "plus"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("alternator", Law.REGULATED, 1, 0),
            Branch("load", Law.RESISTOR, 1, 0),
        ),
    )
    point = solve_one(network, [(12.0, 1.0, 1.0), (14.4, 0.0, 0.002), (3.0,)])
    assert (point.off, point.branch_a[1]) == ((), 0.0)
    assert point.node_v[1] == pytest.approx(9.0, abs=1e-12)
