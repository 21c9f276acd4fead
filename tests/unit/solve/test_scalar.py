"""The plain way through one case: it must not leave to the block code what is ordinary."""

from __future__ import annotations

import pytest

from groundstrap.solve import Branch, Law, Network, solve_one
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


@pytest.mark.parametrize("limit_a", [10.0, 30.0, 54.0, 70.0, 120.0])
def test_a_limited_alternator_beside_a_battery_that_charges_reluctantly(limit_a: float) -> None:
    """Both kinks are crossed on the way; by hand where the battery helps: two quadratics in one unknown."""
    values = [(13.0, 0.004, 0.175), (14.3, limit_a, 0.002), (0.010,), (800.0,)]
    point = solve_plainly(IDLING, compile_topology(IDLING), values, heat=True)
    assert point is not None
    assert point.node_v == pytest.approx(solve_one(IDLING, values).node_v, abs=1e-9)
    # The loads take I with (V1 - 0.010 I) I = 800; where the battery gives, V1 = 13 - 0.004 (I - limit).
    open_v, ohm = 13.0 + 0.004 * limit_a, 0.014
    amps = (open_v - (open_v**2 - 4 * ohm * 800.0) ** 0.5) / (2 * ohm)
    if amps > limit_a:
        assert point.branch_a[3] == pytest.approx(amps, rel=1e-9)
        assert point.node_v[1] == pytest.approx(13.0 - 0.004 * (amps - limit_a), rel=1e-9)
    else:
        assert point.branch_a[0] > 0.0
