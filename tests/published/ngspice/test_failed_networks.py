"""Every single failure of 20 random vehicles: the volts of what is left against ngspice.

Source of the reference values: ngspice, dc sweep of the same network without what has opened. A row counts as
silent where ngspice has no accepted answer; at most 3 % may be.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from groundstrap.assess import wire_up
from groundstrap.assess.failure_rows import (
    Scenario,
    failure_network,
    failure_values,
    scenarios,
    solve_failures,
)
from groundstrap.job import read_job
from groundstrap.solve import Law, Network
from groundstrap.vet import vet
from tests.support.plain import Case, Element
from tests.support.spice import working_points

VEHICLES = 20
MOST_SILENT = 0.03
Vector = npt.NDArray[np.float64]


def random_job(seed: int) -> str:
    """A vehicle with an engine on its strap, returns by body, bar or engine, and often a second battery."""
    rng = np.random.default_rng(800_000 + seed)

    def size() -> str:
        return f"{rng.choice([1.0, 1.5, 2.5, 4.0, 6.0, 10.0])} mm2"

    second = rng.random() < 0.6
    lines = [
        "groundstrap: 1",
        "title: random",
        "system: 12 V",
        "supplies:",
        f"  battery: {{kind: battery, at: engine bay, capacity: {rng.integers(45, 110)} Ah}}",
        f"  alternator: {{kind: alternator, at: engine bay, rating: {rng.integers(60, 150)} A}}",
    ]
    if second:
        lines.append(f"  leisure: {{kind: battery, at: cabin, capacity: {rng.integers(45, 130)} Ah}}")
    lines += ["gear:", "  engine: {kind: block, at: engine bay}", "  bar: {kind: block, at: cabin}", "loads:"]
    starter_a = rng.integers(120, 260)
    lines.append(f"  starter: {{kind: starter, at: engine bay, claims: {{current: {starter_a} A}}}}")
    count = int(rng.integers(2, 7))
    for k in range(count):
        kind = rng.choice(["led", "heater", "lamp", "pump", "fan", "electronics"])
        lines.append(f"  load{k}: {{kind: {kind}, at: cabin, claims: {{power: {rng.integers(10, 300)} W}}}}")
    lines += [
        "circuits:",
        "  starter: {path: [battery, starter], return: [engine], length: 1 m, wire: 35 mm2}",
        f"  strap: {{path: [engine, {{wire: {rng.choice([16, 25, 35])} mm2, length: 40 cm}}, battery -]}}",
        f"  second strap: {{path: [engine, {{wire: {size()}, length: 1 m}}, chassis at bay]}}",
        "  body earth: {path: [chassis at bay, {wire: 16 mm2, length: 50 cm}, battery -]}",
        f"  bar earth: {{path: [bar, {{wire: {size()}, length: 2 m}}, battery -]}}",
    ]
    if rng.random() < 0.5:
        lines.append(f"  bar strap: {{path: [bar, {{wire: {size()}, length: 1 m}}, chassis at cabin]}}")
    if second:
        gear = "{relay: 100 A, closes: 13.3 V, opens: 12.8 V}"
        lines.append(
            f"  split: {{path: [battery, fuse: 60 A, {gear}, leisure], length: 4 m, wire: {size()}}}"
        )
        lines.append(f"  leisure earth: {{path: [leisure -, {{wire: {size()}, length: 1 m}}, bar]}}")
    for k in range(count):
        source = rng.choice(["battery", "leisure"]) if second else "battery"
        back = rng.choice(["[engine]", "[bar]", "chassis at cabin", "chassis at bay"])
        keys = f"return: {back}, length: {rng.integers(1, 6)} m, wire: {size()}"
        lines.append(f"  load{k}: {{path: [{source}, fuse: 30 A, load{k}], {keys}}}")
    return "\n".join(lines) + "\n"


def left_of(network: Network, values: list[tuple[float, ...]], seed: int) -> tuple[Case, list[int]]:
    """What hangs together with the reference once open branches are away, and the nodes that it has."""
    closed = [
        (branch, value)
        for branch, value in zip(network.branches, values, strict=True)
        if not (branch.law in {Law.RESISTOR, Law.HEATED} and np.isinf(value[0]))
    ]
    nodes, grown = {0}, True
    while grown:
        more = {n for b, _ in closed for n in (b.start, b.end) if {b.start, b.end} & nodes}
        grown, nodes = not more <= nodes, nodes | more
    order = sorted(nodes)
    place = {node: k for k, node in enumerate(order)}
    elements = tuple(
        Element(
            law="RESISTOR" if branch.law is Law.HEATED else branch.law.name,
            start=place[branch.start],
            end=place[branch.end],
            values=value[:1] if branch.law is Law.HEATED else value,
        )
        for branch, value in closed
        if branch.start in place
    )
    return Case(seed=seed, node_count=len(order), elements=elements, start_v=(0.0,) * len(order)), order


def test_what_is_left_stands_where_ngspice_has_it(ngspice: str) -> None:
    cases: list[Case] = []
    ours: list[Vector] = []
    opened = set()
    for seed in range(VEHICLES):
        installation = read_job(random_job(seed)).installation
        wiring = wire_up(installation, {n: x.estimate for n, x in vet(installation).loads.items()})
        rows = scenarios(wiring.topology)
        solved = solve_failures(wiring, rows)
        assert solved.found.all(), f"seed {seed}: a network of resistances and sources has a working point"
        network, values = failure_network(wiring), failure_values(wiring, rows)
        for column, row in enumerate(rows):
            opened.add((row.situation, bool(row.open), bool(row.closed)))
            here = [tuple(float(np.broadcast_to(v, len(rows))[column]) for v in each) for each in values]
            case, nodes = left_of(network, here, seed)
            cases.append(case)
            ours.append(solved.node_v[nodes, column])
    assert len(opened) == 5, (
        f"met only {opened}: both situations with nothing and with something open, a link"
    )
    spice = working_points(ngspice, cases)
    silent = [case.seed for case, found in zip(cases, spice, strict=True) if found is None]
    assert len(silent) <= MOST_SILENT * len(cases), f"ngspice is silent on seeds {silent}"
    for case, mine, found in zip(cases, ours, spice, strict=True):
        if found is not None:
            np.testing.assert_allclose(mine, found, rtol=0, atol=1e-6, err_msg=f"seed {case.seed}")
    assert len(cases) >= 10 * VEHICLES, f"only {len(cases)} rows"


def test_a_scenario_with_nothing_failed_is_the_start_of_each_situation() -> None:
    installation = read_job(random_job(0)).installation
    wiring = wire_up(installation, {n: x.estimate for n, x in vet(installation).loads.items()})
    rows = scenarios(wiring.topology)
    for row in rows:
        assert Scenario(row.situation, row.body) in rows
