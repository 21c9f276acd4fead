"""Networks to measure speed with: the example's own, and a larger one of twelve circuits.

The larger one has two batteries, an alternator and real returns. It is invented for measuring speed alone;
its values are of the size met in vehicles (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from groundstrap import api
from groundstrap.assess import Case, drop_cases, parameters, wire_up
from groundstrap.design import choose
from groundstrap.model import Situation
from groundstrap.solve import Branch, Law, Network
from groundstrap.solve.network import Array, RowParameters
from groundstrap.vet import vet

_EXAMPLE = Path(__file__).resolve().parent.parent / "examples" / "hive-pickup.job.yaml"
_CIRCUITS = 12


@dataclass
class Vehicle:
    """A network being built, with its values and what may vary in them."""

    nodes: list[str] = field(default_factory=lambda: ["battery minus"])
    branches: list[Branch] = field(default_factory=list)
    values: list[tuple[float, ...]] = field(default_factory=list)

    def node(self, name: str) -> int:
        """Add a node."""
        self.nodes.append(name)
        return len(self.nodes) - 1

    def add(self, law: Law, start: int, end: int, *values: float) -> None:
        """Add a branch."""
        self.branches.append(Branch(f"{law.value} {len(self.branches)}", law, start, end))
        self.values.append(values)

    def wire(self, start: int, end: int, ohm: float, hottest_a: float) -> None:
        """Add a conductor that rises by a third of its resistance at a current."""
        self.add(Law.HEATED, start, end, ohm, 0.25 / hottest_a**2)

    def run(self, start: int, end: int, name: str, *, ohm: float, hottest_a: float, joints: int) -> None:
        """Add wires with joints between them."""
        here = start
        for index in range(joints):
            joint, wire = self.node(f"{name} joint {index}"), self.node(f"{name} wire {index}")
            self.wire(here, joint, ohm / (joints + 1), hottest_a)
            self.add(Law.RESISTOR, joint, wire, 4e-4)
            here = wire
        self.wire(here, end, ohm / (joints + 1), hottest_a)

    @property
    def network(self) -> Network:
        """The network as built."""
        return Network(tuple(self.nodes), tuple(self.branches))


def hive_pickup() -> tuple[Network, tuple[tuple[float, ...], ...]]:
    """Return the example's network with the sizes chosen for it, on the road with every load running."""
    job = api.read_job_file(_EXAMPLE)
    estimates = {name: found.estimate for name, found in vet(job.installation).loads.items()}
    wiring = wire_up(choose(job.installation, estimates).installation, estimates)
    running = frozenset[str]().union(*(case.running for case in drop_cases(wiring)))
    case = Case(situation=Situation.DRIVING, running=running)
    return wiring.network, tuple(parameters(wiring, case))


def twelve_circuits() -> Vehicle:
    """Return the vehicle: about 110 nodes, twelve circuits on two blocks, ring of chassis straps."""
    car = Vehicle()
    chassis = [car.node(f"chassis {index}") for index in range(3)]
    start_plus, house_plus = car.node("start plus"), car.node("house plus")
    house_minus, alternator = car.node("house minus"), car.node("alternator")
    block_a, block_b, bar = car.node("block a"), car.node("block b"), car.node("return bar")
    car.add(Law.BATTERY, start_plus, 0, 12.5, 0.008, 0.02)
    car.add(Law.BATTERY, house_plus, house_minus, 12.7, 0.006, 0.018)
    car.add(Law.REGULATED, alternator, chassis[0], 14.3, 90.0, 0.002)
    car.wire(0, chassis[0], 6e-4, 400)
    car.add(Law.RESISTOR, chassis[0], chassis[1], 8e-4)
    car.add(Law.RESISTOR, chassis[1], chassis[2], 1.2e-3)
    car.add(Law.RESISTOR, chassis[2], chassis[0], 2e-3)
    car.run(house_minus, chassis[1], "house return", ohm=1e-3, hottest_a=250, joints=1)
    car.run(alternator, start_plus, "charge", ohm=2e-3, hottest_a=200, joints=1)
    car.run(start_plus, house_plus, "link", ohm=4e-3, hottest_a=160, joints=2)
    car.run(start_plus, block_a, "feed a", ohm=3e-3, hottest_a=140, joints=2)
    car.run(house_plus, block_b, "feed b", ohm=3e-3, hottest_a=180, joints=2)
    car.run(bar, chassis[2], "bar return", ohm=2e-3, hottest_a=140, joints=1)
    for index in range(_CIRCUITS):
        _add_circuit(car, index, (block_a, block_b)[index % 2], (bar, *chassis)[index % 4])
    return car


def _add_circuit(car: Vehicle, index: int, block: int, back: int) -> None:
    watts = (40.0, 90.0, 350.0, 55.0, 120.0, 21.0, 180.0, 65.0, 30.0, 500.0, 8.0, 110.0)[index]
    plus, minus = car.node(f"load {index} plus"), car.node(f"load {index} minus")
    amps = watts / 12
    car.run(block, plus, f"circuit {index}", ohm=0.25 / amps, hottest_a=2.0 * amps, joints=2)
    joints = 1 if index < 4 else 0
    car.run(minus, back, f"return {index}", ohm=0.15 / amps, hottest_a=2.0 * amps, joints=joints)
    law = index % 6
    if law in {0, 2, 3}:
        car.add(Law.CONSTANT_POWER, plus, minus, watts)
    elif law == 1:
        car.add(Law.RESISTOR, plus, minus, 144 / watts)
    elif law == 4:
        car.add(Law.POWER_LAW, plus, minus, amps, 12.0, 1.5)
    elif index == 5:
        car.add(Law.CONSTANT_CURRENT, plus, minus, amps)
    else:
        car.add(Law.POWER_LAW, plus, minus, amps, 12.0, 0.55)


def vary(network: Network, values: list[tuple[float, ...]], rows: int, seed: int) -> RowParameters:
    """Return rows with other wires, joints, loads and sources in each."""
    rng = np.random.default_rng(seed)

    def spread(value: float, sigma: float) -> Array:
        return value * np.exp(rng.normal(0.0, sigma, rows))

    varied: list[tuple[float | Array, ...]] = []
    for branch, given in zip(network.branches, values, strict=True):
        if branch.law in {Law.RESISTOR, Law.HEATED}:
            varied.append((spread(given[0], 0.3), *given[1:]))
        elif branch.law in {Law.CONSTANT_POWER, Law.CONSTANT_CURRENT, Law.POWER_LAW}:
            varied.append((given[0] * rng.uniform(0.5, 1.1, rows), *given[1:]))
        elif branch.law is Law.BATTERY:
            varied.append(
                (given[0] + rng.normal(0.0, 0.2, rows), spread(given[1], 0.2), spread(given[2], 0.2))
            )
            # A battery is never charged through less than it is discharged through.
            varied[-1] = (varied[-1][0], varied[-1][1], np.maximum(varied[-1][1], varied[-1][2]))
        else:
            varied.append((given[0] + rng.normal(0.0, 0.1, rows), *given[1:]))
    return varied
