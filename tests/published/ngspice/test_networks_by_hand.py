"""Five networks written down by hand, each node voltage against ngspice.

Source of the reference values: ngspice, dc sweep of the same network. The values of the networks are
invented.
"""

from __future__ import annotations

import numpy as np
import pytest

from groundstrap.solve import Status, solve_one
from tests.support.handover import as_network
from tests.support.plain import Case, Element, LawName
from tests.support.spice import working_points


def _case(
    *rows: tuple[LawName, str, str, tuple[float, ...]],
    feeds: dict[int, int] | None = None,
    start_v: dict[str, float] | None = None,
) -> Case:
    """Build a case from rows (law, start, end, values) over named nodes; '0' is the reference.

    `start_v` is where iterations begin, 12 V where nothing is said.
    """
    names = ["0"]
    for _, start, end, _ in rows:
        names += [name for name in (start, end) if name not in names]
    elements = tuple(
        Element(
            law=law,
            start=names.index(start),
            end=names.index(end),
            values=values,
            feeds=(feeds or {}).get(index),
        )
        for index, (law, start, end, values) in enumerate(rows)
    )
    guess_v = (0.0, *((start_v or {}).get(name, 12.0) for name in names[1:]))
    return Case(seed=0, node_count=len(names), elements=elements, start_v=guess_v)


RING_FED_BLOCK = _case(
    ("BATTERY", "plus", "0", (12.7, 0.012, 0.03)),
    ("RESISTOR", "plus", "left", (0.004,)),
    ("RESISTOR", "plus", "right", (0.009,)),
    ("RESISTOR", "left", "right", (0.006,)),
    ("RESISTOR", "left", "lamp", (0.05,)),
    ("POWER_LAW", "lamp", "chassis", (9.2, 13.2, 0.55)),
    ("RESISTOR", "right", "fan", (0.03,)),
    ("POWER_LAW", "fan", "chassis", (18.0, 13.0, 1.5)),
    ("RESISTOR", "left", "radio", (0.08,)),
    ("CONSTANT_POWER", "radio", "chassis", (85.0,)),
    ("RESISTOR", "chassis", "0", (0.0015,)),
)

TWO_BATTERIES_ALTERNATOR_AT_ITS_LIMIT = _case(
    ("BATTERY", "plus", "0", (12.4, 0.008, 0.02)),
    ("BATTERY", "second plus", "second minus", (12.9, 0.006, 0.015)),
    ("RESISTOR", "second minus", "engine", (0.002,)),
    ("RESISTOR", "plus", "second plus", (0.02,)),
    ("REGULATED", "alternator", "engine", (14.4, 60.0, 0.002)),
    ("RESISTOR", "alternator", "plus", (0.003,)),
    ("RESISTOR", "engine", "0", (0.001,)),
    ("RESISTOR", "second plus", "winch", (0.004,)),
    ("CONSTANT_POWER", "winch", "engine", (1400.0,)),
    ("RESISTOR", "plus", "pump", (0.03,)),
    ("CONSTANT_CURRENT", "pump", "0", (12.0,)),
)

SHARED_RETURN = _case(
    ("BATTERY", "plus", "0", (12.6, 0.01, 0.01)),
    ("RESISTOR", "plus", "a plus", (0.04,)),
    ("RESISTOR", "plus", "b plus", (0.06,)),
    ("CONSTANT_POWER", "a plus", "bar", (240.0,)),
    ("POWER_LAW", "b plus", "bar", (8.0, 13.5, 0.55)),
    ("RESISTOR", "bar", "chassis", (0.03,)),
    ("RESISTOR", "chassis", "0", (0.002,)),
    ("RESISTOR", "bar", "0", (0.05,)),
)

HEATED_LEADS_ON_A_TAPPED_PAIR = _case(
    ("BATTERY", "middle", "0", (12.5, 0.006, 0.02)),
    ("BATTERY", "top", "middle", (12.7, 0.006, 0.02)),
    ("HEATED", "top", "drive", (0.012, 1.6e-4)),
    ("CONSTANT_POWER", "drive", "return", (900.0,)),
    ("HEATED", "middle", "light", (0.03, 2.0e-3)),
    ("POWER_LAW", "light", "return", (11.0, 13.2, 0.55)),
    ("HEATED", "return", "0", (0.004, 5.0e-5)),
    ("REGULATED", "top", "0", (28.2, 20.0, 0.004)),
)

CONVERTER = _case(
    ("BATTERY", "plus", "0", (51.2, 0.02, 0.02)),
    ("RESISTOR", "plus", "input", (0.03,)),
    ("CONSTANT_POWER", "input", "0", (0.92, 4.0)),
    ("REGULATED", "output", "0", (13.4, 40.0, 0.003)),
    ("RESISTOR", "output", "load", (0.02,)),
    ("CONSTANT_POWER", "load", "0", (250.0,)),
    ("CONSTANT_CURRENT", "load", "0", (6.0,)),
    ("RESISTOR", "load", "0", (9.0,)),
    feeds={2: 3},
    start_v={"plus": 51.0, "input": 51.0, "output": 13.39, "load": 13.3},
)

NETWORKS = {
    "ring-fed block": RING_FED_BLOCK,
    "two batteries, alternator at its limit": TWO_BATTERIES_ALTERNATOR_AT_ITS_LIMIT,
    "shared return": SHARED_RETURN,
    "heated leads on a tapped pair": HEATED_LEADS_ON_A_TAPPED_PAIR,
    "converter": CONVERTER,
}


@pytest.mark.parametrize("name", NETWORKS)
def test_every_node_stands_where_ngspice_has_it(ngspice: str, name: str) -> None:
    case = NETWORKS[name]
    (spice_v,) = working_points(ngspice, [case])
    assert spice_v is not None, "ngspice found no stable point"
    point = solve_one(*as_network(case))
    assert point.status is Status.FOUND
    np.testing.assert_allclose(point.node_v, spice_v, rtol=0, atol=1e-6)


def test_the_alternator_of_the_second_network_is_at_its_limit(ngspice: str) -> None:
    (spice_v,) = working_points(ngspice, [TWO_BATTERIES_ALTERNATOR_AT_ITS_LIMIT])
    assert spice_v is not None
    set_v, limit_a, droop_ohm = TWO_BATTERIES_ALTERNATOR_AT_ITS_LIMIT.elements[4].values
    output = TWO_BATTERIES_ALTERNATOR_AT_ITS_LIMIT.elements[4]
    assert (set_v - float(spice_v[output.start] - spice_v[output.end])) / droop_ohm > limit_a
