"""The plain way through one case: it must not leave to the block code what is ordinary."""

from __future__ import annotations

import pytest

from groundstrap.solve import Branch, Law, Network, solve_rows
from groundstrap.solve.scalar import solve_plainly
from groundstrap.solve.topology import compile_topology

IDLING = Network(
    nodes=("minus", "plus", "far"),
    branches=(
        Branch("battery", Law.BATTERY, 1, 0),
        Branch("alternator", Law.REGULATED, 1, 0),
        Branch("cable", Law.RESISTOR, 1, 2),
        Branch("loads", Law.CONSTANT_POWER, 2, 0),
    ),
)


@pytest.mark.parametrize("charge_ohm", [0.175, 20.0, 1e5])
@pytest.mark.parametrize("limit_a", [10.0, 30.0, 54.0, 70.0, 120.0])
def test_a_limited_alternator_beside_a_battery_that_charges_reluctantly(
    limit_a: float, charge_ohm: float
) -> None:
    """Both kinks are crossed on the way; by hand where the battery helps: two quadratics in one unknown."""
    values = [(13.0, 0.004, charge_ohm), (14.3, limit_a, 0.002), (0.010,), (800.0,)]
    point = solve_plainly(IDLING, compile_topology(IDLING), values, heat=True)
    assert point is not None
    assert point.node_v == pytest.approx(solve_rows(IDLING, values).node_v[:, 0], abs=1e-9)
    # The loads take I with (V1 - 0.010 I) I = 800; where the battery gives, V1 = 13 - 0.004 (I - limit).
    open_v, ohm = 13.0 + 0.004 * limit_a, 0.014
    amps = (open_v - (open_v**2 - 4 * ohm * 800.0) ** 0.5) / (2 * ohm)
    if amps > limit_a:
        assert point.branch_a[3] == pytest.approx(amps, rel=1e-9)
        assert point.node_v[1] == pytest.approx(13.0 - 0.004 * (amps - limit_a), rel=1e-9)
    else:
        assert point.branch_a[0] > 0.0


def test_a_regulator_that_will_stand_by_does_not_make_a_charger_ask_for_all_it_can_give() -> None:
    """An alternator with 3 A to spare, a charger that may give 10 A, a regulator set lower beside it.

    By hand: the house takes 21 W and its battery next to nothing, so the charger gives 1.46 A on its line and
    asks the alternator for 21/0.87 W. All 10 A would ask for four times what the alternator has left.
    """
    network = Network(
        nodes=("minus", "start", "house"),
        branches=(
            Branch("start battery", Law.BATTERY, 1, 0),
            Branch("alternator", Law.REGULATED, 1, 0),
            Branch("own draw", Law.CONSTANT_CURRENT, 1, 0),
            Branch("charger in", Law.CONSTANT_POWER, 1, 0, feeds=4),
            Branch("charger out", Law.REGULATED, 2, 0),
            Branch("regulator", Law.REGULATED, 2, 0),
            Branch("house battery", Law.BATTERY, 2, 0),
            Branch("loads", Law.CONSTANT_POWER, 2, 0),
        ),
    )
    house = [(14.4, 10.0, 0.002), (13.5, 8.2, 0.002), (14.39, 0.0035, 20.0), (21.0,)]
    values = [(12.99, 0.0057, 20.0), (14.0, 38.25, 0.002), (35.0,), (0.87, 0.0), *house]
    point = solve_plainly(network, compile_topology(network), values, heat=True)
    assert point is not None
    house_v, start_v = point.node_v[2], point.node_v[1]
    given_a = 21.0 / house_v + (house_v - 14.39) / 20.0
    assert point.branch_a[5] == 0.0
    assert house_v == pytest.approx(14.4 - 0.002 * given_a, abs=1e-9)
    asked_a = (house_v * given_a / 0.87) / start_v
    assert -point.branch_a[1] == pytest.approx(35.0 + asked_a + (start_v - 12.99) / 20.0, abs=1e-8)
    assert point.node_v == pytest.approx(solve_rows(network, values).node_v[:, 0], abs=1e-9)
