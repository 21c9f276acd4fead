"""Small networks whose answer is worked out beside them, on paper's own terms."""

from __future__ import annotations

import math

import pytest

from groundstrap.solve import Branch, Law, Network, Point, Status, solve_one, solve_rows

EXACT = {"rel": 1e-12, "abs": 1e-12}


def both_ways(network: Network, values: list[tuple[float, ...]], *, heat: bool = True) -> Point:
    """Solve as one case and as a row; the two have to agree, then either will do."""
    point, row = solve_one(network, values, heat=heat), solve_rows(network, values, heat=heat, rows=1).row(0)
    assert point.status is row.status
    assert point.node_v == pytest.approx(row.node_v, abs=1e-9, nan_ok=True)
    assert point.branch_a == pytest.approx(row.branch_a, abs=1e-9, nan_ok=True)
    assert (point.off, point.unfed) == (row.off, row.unfed)
    return point


def test_series_and_parallel_resistors_share_by_ohms_law() -> None:
    # 12 V behind 0.1 ohm feeds 0.4 ohm in series with 6 and 3 ohm in parallel (2 ohm): 12/2.5 = 4.8 A.
    network = Network(
        ("minus", "plus", "split"),
        (
            Branch("cell", Law.BATTERY, 1, 0),
            Branch("wire", Law.RESISTOR, 1, 2),
            Branch("six", Law.RESISTOR, 2, 0),
            Branch("three", Law.RESISTOR, 0, 2),
        ),
    )
    point = both_ways(network, [(12.0, 0.1, 0.1), (0.4,), (6.0,), (3.0,)])
    assert point.status is Status.FOUND
    assert point.branch_a == pytest.approx((-4.8, 4.8, 1.6, -3.2), **EXACT)
    assert point.node_v == pytest.approx((0.0, 11.52, 9.6), **EXACT)
    assert point.branch_w[0] == pytest.approx(-4.8 * 11.52, **EXACT)


def test_constant_power_takes_the_upper_root_of_its_quadratic() -> None:
    # 600 W at 12.6 V behind 20 mohm: V^2 - 12.6 V + 0.02 * 600 = 0, which is 11.562 V and 51.89 A.
    network = Network(
        ("minus", "plus", "load"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("cable", Law.RESISTOR, 1, 2),
            Branch("inverter", Law.CONSTANT_POWER, 2, 0),
        ),
    )
    point = both_ways(network, [(12.6, 0.005, 0.005), (0.015,), (600.0,)])
    expected_v = (12.6 + math.sqrt(12.6**2 - 4 * 0.02 * 600)) / 2
    assert point.branch_v[2] == pytest.approx(expected_v, abs=1e-10)
    assert point.branch_v[2] == pytest.approx(11.562, abs=0.0005)
    assert point.branch_a[2] == pytest.approx(51.89, abs=0.005)


def test_alternator_at_its_limit_gives_the_limit_and_the_battery_the_rest() -> None:
    # 30 A go into the rail, the load takes 50 A: the battery gives 20 A, at 12.6 - 20 * 0.01 V.
    network = Network(
        ("minus", "rail"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("alternator", Law.REGULATED, 1, 0),
            Branch("load", Law.CONSTANT_CURRENT, 1, 0),
        ),
    )
    point = both_ways(network, [(12.6, 0.01, 0.03), (14.4, 30.0, 0.002), (50.0,)])
    assert point.branch_a == pytest.approx((-20.0, -30.0, 50.0), **EXACT)
    assert point.node_v[1] == pytest.approx(12.4, **EXACT)


def test_alternator_below_its_limit_follows_its_droop_and_charges() -> None:
    # Alternator 14.4 V less 2 mohm, battery 12.6 V plus 58 mohm when charged: 1.8 V / 60 mohm = 30 A.
    network = Network(
        ("minus", "rail"),
        (Branch("battery", Law.BATTERY, 1, 0), Branch("alternator", Law.REGULATED, 1, 0)),
    )
    point = both_ways(network, [(12.6, 0.01, 0.058), (14.4, 90.0, 0.002)])
    assert point.branch_a == pytest.approx((30.0, -30.0), **EXACT)
    assert point.node_v[1] == pytest.approx(14.34, **EXACT)


def test_alternator_below_the_battery_stands_by() -> None:
    network = Network(
        ("minus", "rail"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("alternator", Law.REGULATED, 1, 0),
            Branch("load", Law.RESISTOR, 1, 0),
        ),
    )
    point = both_ways(network, [(13.0, 0.01, 0.01), (12.8, 90.0, 0.002), (6.49,)])
    assert point.off == ("alternator",)
    assert point.branch_a == pytest.approx((-2.0, 0.0, 2.0), **EXACT)


def test_two_batteries_level_out_through_the_charging_resistance() -> None:
    # 12.8 V behind 20 mohm charges 12.2 V, 40 mohm when charged, through 60 mohm: 0.6/0.12 = 5 A.
    network = Network(
        ("minus", "one", "other"),
        (
            Branch("full", Law.BATTERY, 1, 0),
            Branch("link", Law.RESISTOR, 1, 2),
            Branch("low", Law.BATTERY, 2, 0),
        ),
    )
    point = both_ways(network, [(12.8, 0.02, 0.9), (0.06,), (12.2, 0.9, 0.04)])
    assert point.branch_a == pytest.approx((-5.0, 5.0, 5.0), **EXACT)
    assert point.node_v == pytest.approx((0.0, 12.7, 12.4), **EXACT)


def test_heated_wire_follows_its_closed_form() -> None:
    # 10 V across R0 = 1 ohm, kappa = 0.01: I = 2 V/(R0 + sqrt(R0^2 + 4 kappa V^2)) = 20/(1 + sqrt 5).
    network = Network(
        ("minus", "plus", "far"),
        (
            Branch("supply", Law.BATTERY, 1, 0),
            Branch("wire", Law.HEATED, 1, 2),
            Branch("load", Law.RESISTOR, 2, 0),
        ),
    )
    values = [(10.0, 1e-9, 1e-9), (1.0, 0.01), (1e-9,)]
    point = both_ways(network, values)
    amps = 20 / (1 + math.sqrt(5))
    assert point.branch_a[1] == pytest.approx(amps, rel=1e-8)
    assert point.heat_share[1] == pytest.approx(0.01 * amps**2, rel=1e-8)
    assert point.hot_ratio[1] == pytest.approx(1 / (1 - 0.01 * amps**2), rel=1e-8)
    cold = both_ways(network, values, heat=False)
    assert cold.branch_a[1] == pytest.approx(10.0, rel=1e-8)
    assert cold.heat_share[1] == 0


def test_lamp_and_fan_at_their_reference_take_their_reference_current() -> None:
    # The lamp's 4 A and the fan's 5 A at 12 V each: 9 A through 0.1 ohm from 12.9 V leave just 12 V.
    network = Network(
        ("minus", "plus", "rail"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("wire", Law.RESISTOR, 1, 2),
            Branch("lamp", Law.POWER_LAW, 2, 0),
            Branch("fan", Law.POWER_LAW, 2, 0),
        ),
    )
    point = both_ways(network, [(12.9, 0.02, 0.02), (0.08,), (4.0, 12.0, 0.55), (5.0, 12.0, 1.5)])
    assert point.branch_a == pytest.approx((-9.0, 9.0, 4.0, 5.0), abs=1e-9)
    assert point.node_v[2] == pytest.approx(12.0, abs=1e-10)


def test_tapped_pair_of_batteries_gives_twelve_and_twenty_four_volts() -> None:
    # Upper battery carries the 24 V load alone (10 A at constant current), the lower both loads (15 A).
    network = Network(
        ("minus", "tap", "top"),
        (
            Branch("lower", Law.BATTERY, 1, 0),
            Branch("upper", Law.BATTERY, 2, 1),
            Branch("big", Law.CONSTANT_CURRENT, 2, 0),
            Branch("small", Law.CONSTANT_CURRENT, 1, 0),
        ),
    )
    point = both_ways(network, [(12.5, 0.02, 0.02), (12.5, 0.02, 0.02), (10.0,), (5.0,)])
    assert point.branch_a == pytest.approx((-15.0, -10.0, 10.0, 5.0), **EXACT)
    assert point.node_v == pytest.approx((0.0, 12.2, 24.5), **EXACT)


def test_converter_takes_what_it_gives_over_its_efficiency_and_its_idle_watts() -> None:
    # 48 V stiff; out 12 V stiff-ish into 1.2 ohm with 1e-9 ohm droop: 120 W; in (120/0.9 + 2)/48 A.
    network = Network(
        ("minus", "plus", "out minus", "out plus"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("in", Law.CONSTANT_POWER, 1, 0, feeds=2),
            Branch("out", Law.REGULATED, 3, 2),
            Branch("load", Law.RESISTOR, 3, 2),
        ),
    )
    point = both_ways(network, [(48.0, 1e-9, 1e-9), (0.9, 2.0), (12.0, 40.0, 1e-9), (1.2,)])
    assert point.branch_a[1] == pytest.approx((120 / 0.9 + 2) / 48, rel=1e-7)
    assert point.branch_v[3] == pytest.approx(12.0, rel=1e-7)


def test_converter_at_its_limit_lets_its_output_sag() -> None:
    network = Network(
        ("minus", "plus", "out"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("in", Law.CONSTANT_POWER, 1, 0, feeds=2),
            Branch("out", Law.REGULATED, 2, 0),
            Branch("load", Law.RESISTOR, 2, 0),
        ),
    )
    point = both_ways(network, [(48.0, 0.05, 0.05), (0.9, 0.0), (12.0, 5.0, 0.002), (1.2,)])
    assert point.branch_v[3] == pytest.approx(6.0, abs=1e-9)  # 5 A through 1.2 ohm
    assert point.branch_w[1] == pytest.approx(5.0 * 6.0 / 0.9, abs=1e-8)


@pytest.mark.parametrize("held_v", [12.0, 14.8, 16.0, 29.6, 59.2])
@pytest.mark.parametrize("watts", [0.3, 1.2, 3.0, 5.0, 10.0, 40.0])
def test_a_stiff_source_with_little_on_it_has_a_point(held_v: float, watts: float) -> None:
    """59.2 V are known to 7e-15 V: over 10 microhms that is 7e-10 A, and 4e-8 W that nothing takes."""
    network = Network(
        ("minus", "plus", "lamp", "other lamp"),
        (
            Branch("held", Law.BATTERY, 1, 0),
            Branch("own draw", Law.CONSTANT_CURRENT, 1, 0),
            Branch("cable", Law.RESISTOR, 1, 2),
            Branch("lamp", Law.CONSTANT_POWER, 2, 0),
            Branch("other cable", Law.RESISTOR, 1, 3),
            Branch("other lamp", Law.CONSTANT_CURRENT, 3, 0),
        ),
    )
    point = both_ways(network, [(held_v, 1e-5, 1e-5), (0.03,), (0.05,), (watts,), (0.07,), (0.11,)])
    assert point.status is Status.FOUND
    # By hand: the other lamp loses what 10 microhms lose by all three, and 70 mohm by its own 0.11 A.
    all_a = 0.03 + 0.11 + watts / point.branch_v[3]
    assert point.branch_v[5] == pytest.approx(held_v - 1e-5 * all_a - 0.07 * 0.11, rel=1e-9)
