"""Sources at their limit beside batteries that charge reluctantly, and converters that follow themselves.

Between a source's limit and a battery's rest the volts are held by next to nothing: what takes constant power
lets them fall through. By hand each point below is one quadratic, with the battery on its discharging line.
"""

from __future__ import annotations

import numpy as np
import pytest

from groundstrap.solve import (
    Branch,
    Law,
    Network,
    Point,
    Status,
    loadability,
    solve_one,
    solve_rows,
)
from groundstrap.solve.block import prepare, start_state
from groundstrap.solve.kernel import stride
from groundstrap.solve.newton import newton
from groundstrap.solve.topology import compile_topology

DRIVING = Network(
    nodes=("minus", "plus", "far"),
    branches=(
        Branch("battery", Law.BATTERY, 1, 0),
        Branch("alternator", Law.REGULATED, 1, 0),
        Branch("cable", Law.HEATED, 1, 2),
        Branch("inverter", Law.CONSTANT_POWER, 2, 0),
    ),
)
BOOSTER = Network(
    nodes=("minus", "start", "in", "in minus", "out", "house"),
    branches=(
        Branch("start battery", Law.BATTERY, 1, 0),
        Branch("alternator", Law.REGULATED, 1, 0),
        Branch("own draw", Law.CONSTANT_CURRENT, 1, 0),
        Branch("feed", Law.HEATED, 1, 2),
        Branch("return", Law.RESISTOR, 3, 0),
        Branch("booster in", Law.CONSTANT_POWER, 2, 3, feeds=6),
        Branch("booster out", Law.REGULATED, 4, 3),
        Branch("output", Law.HEATED, 4, 5),
        Branch("house battery", Law.BATTERY, 5, 3),
    ),
)


def both_ways(network: Network, values: list[tuple[float, ...]], *, heat: bool = True) -> Point:
    """One case by itself and as a row among others: the same point, and it closes."""
    point = solve_one(network, values, heat=heat)
    assert point.status is Status.FOUND
    rows = solve_rows(network, [tuple(np.array([v, v]) for v in some) for some in values], heat=heat)
    assert rows.found.all()
    assert rows.node_v[:, 1] == pytest.approx(point.node_v, abs=1e-8)
    assert point.worst_kirchhoff_a < 2e-9
    return point


@pytest.mark.parametrize("kappa_per_a2", [0.0, 1e-6])
@pytest.mark.parametrize("watts", [760.0, 900.0, 1200.0, 2000.0])
def test_an_inverter_beyond_the_alternator_is_fed_by_the_battery(watts: float, kappa_per_a2: float) -> None:
    """No other source says so: Kirchhoff alone; 12.8 V behind 4 mohm and 60 A bear 2900 W behind 10 mohm."""
    values = [(12.8, 0.004, 0.3), (14.3, 60.0, 0.002), (0.010, kappa_per_a2), (watts,)]
    point = both_ways(DRIVING, values)
    amps = point.branch_a[3]
    open_v, ohm = 12.8 + 0.004 * 60.0, 0.004 + 0.010 / (1 - kappa_per_a2 * amps**2)
    assert amps == pytest.approx((open_v - (open_v**2 - 4 * ohm * watts) ** 0.5) / (2 * ohm), rel=1e-9)
    assert point.branch_a[1] == -60.0
    assert point.branch_a[0] == pytest.approx(60.0 - amps, rel=1e-9)
    # Down on the battery's own line is an easy answer: no path has to be walked for it.
    assert solve_rows(DRIVING, values, rows=1, plainly=True).found.all()


def test_what_falls_on_the_battery_bears_more_up_to_its_own_end() -> None:
    """By hand (12.8 + 0.004 * 60)^2/(4 * 0.014) = 3036.5 W: the fall to the battery is not the end."""
    values = [(12.8, 0.004, 0.3), (14.3, 60.0, 0.002), (0.010, 0.0), (700.0,)]
    assert loadability(DRIVING, values).factor * 700.0 == pytest.approx(13.04**2 / 0.056, rel=1e-6)
    beyond = [*values[:3], (3040.0,)]
    assert solve_one(DRIVING, beyond).status is Status.NO_WORKING_POINT


@pytest.mark.parametrize("limit_a", [20.0, 40.0, 60.0])
@pytest.mark.parametrize("feed_ohm", [0.002, 0.008, 0.02])
def test_a_booster_and_an_alternator_both_at_their_limit(limit_a: float, feed_ohm: float) -> None:
    values = [
        (12.6, 0.007, 0.22),
        (14.2, 45.0, 0.002),
        (35.0,),
        (feed_ohm, 0.0),
        (1e-6,),
        (0.87, 0.0),
        (14.4, limit_a, 0.002),
        (0.005, 0.0),
        (12.7, 0.004, 0.01),
    ]
    point = both_ways(BOOSTER, values)
    # Out: the battery's charging line behind the cable. In: the power of that over the efficiency.
    watts = limit_a * (12.7 + limit_a * 0.015) / 0.87
    open_v, ohm = 12.6 + 0.007 * (45.0 - 35.0), 0.007 + feed_ohm + 1e-6
    amps = (open_v - (open_v**2 - 4 * ohm * watts) ** 0.5) / (2 * ohm)
    assert point.branch_a[6] == -limit_a
    assert point.branch_a[5] == pytest.approx(
        amps, rel=1e-5
    )  # the return's microhm lifts the output a little
    assert point.branch_a[0] == pytest.approx(10.0 - amps, rel=1e-5)


def test_a_converter_that_lifts_its_own_minus_settles() -> None:
    """Each watt in lifts the common minus, so that a battery behind it draws more: 0.7 W for each watt."""
    values = [
        (12.6, 0.0055, 0.0055),
        (14.4, 0.0, 0.002),
        (0.0,),
        (0.008, 0.0),
        (0.02,),
        (0.87, 0.0),
        (14.4, 60.0, 0.002),
        (0.015, 0.0),
        (13.0, 0.0066, 0.0066),
    ]
    network = Network(BOOSTER.nodes, (*BOOSTER.branches[:8], Branch("house battery", Law.BATTERY, 5, 0)))
    point = both_ways(network, values)
    in_w, out_w = point.branch_w[5], point.branch_w[6]
    assert in_w == pytest.approx(-out_w / 0.87, abs=1e-8)
    lifted_v = point.node_v[3]
    assert lifted_v == pytest.approx(0.02 * (point.branch_a[5] + point.branch_a[6]), abs=1e-9)


def test_two_batteries_at_rest_stand_still() -> None:
    """Equal batteries that nothing loads: the sign of a current of rounding is no kink."""
    network = Network(
        ("minus", "start", "house", "house minus"),
        (
            Branch("start battery", Law.BATTERY, 1, 0),
            Branch("house battery", Law.BATTERY, 2, 3),
            Branch("link", Law.RESISTOR, 1, 2),
            Branch("earth", Law.RESISTOR, 3, 0),
            Branch("ring", Law.RESISTOR, 3, 0),
        ),
    )
    for volts in (12.85, 12.65, 25.3, 12.749, 51.2):
        values = [(volts, 0.00714, 0.2583), (volts, 0.0113, 0.31), (0.0031,), (0.0007,), (0.0013,)]
        point = both_ways(network, values)
        assert point.node_v[1] == pytest.approx(volts, abs=1e-12)


@pytest.mark.parametrize(("set_v", "limit_a"), [(13.8, 5.0), (12.0, 30.0), (27.6, 7.3), (13.4, 60.0)])
def test_a_load_that_takes_just_the_limit_is_fed(set_v: float, limit_a: float) -> None:
    """Nothing but the source's own line holds its bus, and rounding may not take it off that line."""
    network = Network(
        ("minus", "plus", "out"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("in", Law.CONSTANT_POWER, 1, 0, feeds=2),
            Branch("out", Law.REGULATED, 2, 0),
            Branch("load", Law.CONSTANT_CURRENT, 2, 0),
        ),
    )
    point = both_ways(network, [(58.4, 1e-5, 1e-5), (0.87, 0.0), (set_v, limit_a, 0.002), (limit_a,)])
    assert point.node_v[2] == pytest.approx(set_v - 0.002 * limit_a, abs=1e-9)


def test_a_source_thrown_from_its_limit_to_standing_by_lands_between() -> None:
    """A battery of 12.5 V behind 20 mohm, a source of 12 V with 1 mohm of droop and 40 A at most, 45 A taken.

    By hand: (12.5 - v)/0.02 + (12 - v)/0.001 = 45, so v = 12580/1050. Standing by leaves 11.6 V, where the
    source is at its limit; at its limit it leaves 12.4 V, where it stands by.
    """
    network = Network(
        ("minus", "plus"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("source", Law.REGULATED, 1, 0),
            Branch("load", Law.CONSTANT_CURRENT, 1, 0),
        ),
    )
    values = [(12.5, 0.02, 0.02), (12.0, 40.0, 0.001), (45.0,)]
    block = prepare(compile_topology(network), values, 0, 1, stride=stride)
    for begin_v in (11.6, 12.4):
        state = start_state(block)
        state.active_v[:] = begin_v
        with np.errstate(all="ignore"):
            run = newton(block, state, np.ones_like(block.watts), hot=False, clipped=True, most=6)
        assert run.found.all()
        assert run.state.node_v[1, 0] == pytest.approx(12580 / 1050, abs=1e-12)


@pytest.mark.parametrize("charge_ohm", [20.0, 1.5e3, 1e5])
def test_the_next_weaker_source_holds_the_volts_beside_a_full_battery(charge_ohm: float) -> None:
    """A full battery of 12.26 V, sources of 13.05 V with 0.1455 A, 12.77 V with 2.11 A and 12.52 V with 30 A.

    By hand: 11.27 W take 0.88 A. The first gives all it may, the last stands by, and the second gives the
    rest on its line: 12.77 V less 3 mohm of droop and 18 mohm of wire at some 0.77 A.
    """
    network = Network(
        ("minus", "bus", "first", "second", "third"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            *(Branch(f"source {node}", Law.REGULATED, node, 0) for node in (2, 3, 4)),
            *(Branch(f"wire {node}", Law.HEATED, node, 1) for node in (2, 3, 4)),
            Branch("load", Law.CONSTANT_POWER, 1, 0),
        ),
    )
    sources = [(13.05, 0.1455, 0.003), (12.77, 2.11, 0.003), (12.52, 30.32, 0.003)]
    wires = [(ohm, 1e-5) for ohm in (0.026, 0.018, 0.015)]
    point = both_ways(network, [(12.26, 0.023, charge_ohm), *sources, *wires, (11.27,)])
    bus_v, given_a = point.node_v[1], -point.branch_a[2]
    assert point.branch_a[1] == pytest.approx(-0.1455, rel=1e-12)
    assert point.branch_a[3] == 0.0
    assert given_a == pytest.approx(11.27 / bus_v + (bus_v - 12.26) / charge_ohm - 0.1455, abs=1e-9)
    assert bus_v == pytest.approx(12.77 - 0.021 * given_a, abs=1e-6)
