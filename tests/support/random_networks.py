"""Seeded generator of random vehicles: invented networks for comparing two independent methods, nothing more.

Each seed gives one vehicle: a meshed chassis, one or two batteries, up to two alternators (many at their
limit or absorbing), fuse blocks that may be fed in a ring, shared returns, mixed loads, and on demand a
tapped 24 V pair, heated wires and a scaling of the loads to within 3 % of collapse. Ranges are of the size
met in vehicles (common practice) and are widened on purpose, so that about a quarter of the vehicles has no
working point.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from .dense_homotopy import DenseNetwork, decide, incidence, nose
from .plain import Case, Element, LawName

_NEAREST: Final = 3e-4
_FARTHEST: Final = 3e-2
# Below every source: one that is alone on its island then comes up to its own voltage and stays determined.
_LOW_START_V: Final = 11.0
_HIGH_START_V: Final = 22.0
_LAMP_EXPONENT: Final = 0.55
_FAN_EXPONENT: Final = 1.5


@dataclass(slots=True)
class _Vehicle:
    """A vehicle being built."""

    rng: np.random.Generator
    elements: list[Element] = field(default_factory=list)
    start_v: list[float] = field(default_factory=lambda: [0.0])
    wires: list[int] = field(default_factory=list)
    traits: set[str] = field(default_factory=set)
    chassis: list[int] = field(default_factory=list)
    returns: list[int] = field(default_factory=lambda: [0])
    rails: list[int] = field(default_factory=list)

    def node(self, start_v: float = 0.0) -> int:
        """Add a node and return its number."""
        self.start_v.append(start_v)
        return len(self.start_v) - 1

    def add(self, law: LawName, start: int, end: int, *values: float) -> None:
        """Add an element."""
        self.elements.append(
            Element(law=law, start=int(start), end=int(end), values=tuple(float(v) for v in values))
        )

    def wire(self, start: int, end: int, ohm: float) -> None:
        """Add a conductor that may be heated later."""
        self.wires.append(len(self.elements))
        self.add("RESISTOR", start, end, ohm)

    def spread(self, low: float, high: float) -> float:
        """Draw log-uniformly."""
        return float(np.exp(self.rng.uniform(np.log(low), np.log(high))))

    def chance(self, probability: float) -> bool:
        """Draw a yes with this probability."""
        return bool(self.rng.random() < probability)

    def one_of(self, nodes: list[int]) -> int:
        """Draw one node."""
        return nodes[int(self.rng.integers(len(nodes)))]


def _add_chassis(car: _Vehicle) -> None:
    car.chassis = [car.node() for _ in range(car.rng.integers(2, 6))]
    car.add("RESISTOR", 0, car.chassis[0], car.spread(0.2e-3, 5e-3))
    for index in range(1, len(car.chassis)):
        joined = car.chassis[int(car.rng.integers(0, index))]
        car.add("RESISTOR", car.chassis[index], joined, car.spread(0.2e-3, 10e-3))
    for _ in range(car.rng.integers(0, len(car.chassis))):
        a, b = car.rng.choice(len(car.chassis), 2, replace=False)
        car.add("RESISTOR", car.chassis[a], car.chassis[b], car.spread(0.2e-3, 10e-3))
        car.traits.add("meshed chassis")
    if car.chance(0.2):
        link = car.node()
        car.add("RESISTOR", car.chassis[-1], link, 20e-6)
        car.chassis.append(link)
        car.traits.add("20 microhm link")


def _add_battery(car: _Vehicle, plus: int, minus: int) -> None:
    discharge_ohm = car.spread(3e-3, 30e-3)
    charge_ohm = discharge_ohm * car.rng.uniform(1.0, 4.0)
    car.add("BATTERY", plus, minus, car.rng.uniform(11.6, 13.1), discharge_ohm, charge_ohm)


def _add_alternator(car: _Vehicle, rail: int, *, set_v: float) -> None:
    plus = car.node(car.start_v[rail])
    limit_a = car.spread(15, 200)
    car.add("REGULATED", plus, car.one_of(car.chassis), set_v, limit_a, car.spread(0.5e-3, 10e-3))
    car.wire(plus, rail, car.spread(1e-3, 8e-3))


def _add_sources(car: _Vehicle) -> None:
    main = car.node(_LOW_START_V)
    car.rails.append(main)
    _add_battery(car, main, 0)
    if car.chance(0.5):
        plus, minus = car.node(_LOW_START_V), car.node()
        _add_battery(car, plus, minus)
        car.wire(minus, car.one_of(car.chassis) if car.chance(0.6) else 0, car.spread(0.5e-3, 5e-3))
        car.wire(main, plus, car.spread(3e-3, 60e-3))
        car.rails.append(plus)
        car.traits.add("two batteries")
    count = int(car.rng.choice(3, p=[0.3, 0.5, 0.2]))
    for _ in range(count):
        set_v = car.rng.uniform(13.3, 14.7) if car.chance(0.75) else car.rng.uniform(11.8, 13.0)
        _add_alternator(car, car.one_of(car.rails), set_v=set_v)
    car.traits.add(("no alternator", "one alternator", "two alternators")[count])


def _add_tapped_pair(car: _Vehicle) -> list[int]:
    """Put a second 12 V battery on top of the first; return the 24 V rails."""
    lower = car.node(_LOW_START_V)
    car.wire(car.rails[0], lower, car.spread(0.5e-3, 5e-3))
    upper = car.node(_HIGH_START_V)
    _add_battery(car, upper, lower)
    if car.chance(0.5):
        _add_alternator(car, upper, set_v=car.rng.uniform(26.6, 29.0))
    car.traits.add("tapped pair")
    return [upper]


def _add_blocks(car: _Vehicle) -> list[int]:
    blocks = list(car.rails)
    for _ in range(car.rng.integers(1, 5)):
        feed, block = car.node(_LOW_START_V), car.node(_LOW_START_V)
        car.wire(car.one_of(blocks), feed, car.spread(1e-3, 5e-3))
        car.wire(feed, block, car.spread(2e-3, 30e-3))
        blocks.append(block)
        if car.chance(0.5):
            bar = car.node()
            car.wire(
                bar, car.one_of(car.returns if car.chance(0.5) else car.chassis), car.spread(2e-3, 30e-3)
            )
            car.returns.append(bar)
            car.traits.add("shared return")
    if len(blocks) > 2 and car.chance(0.5):
        car.wire(blocks[1], blocks[-1], car.spread(3e-3, 60e-3))
        car.traits.add("ring")
    return blocks


def _add_load(car: _Vehicle, rail: int, *, must_be_power: bool) -> None:
    rail_v = car.start_v[rail]
    nominal_v = 13.0 if rail_v < 16 else 26.0
    heavy = car.chance(0.2)
    watts = (
        car.spread(400, 2500)
        if heavy and car.chance(0.3)
        else car.spread(120, 750)
        if heavy
        else car.spread(10, 400)
    )
    leads_ohm = min(0.4, 0.12 * nominal_v**2 / watts * car.spread(0.1, 1.5))
    middle, plus, minus = car.node(rail_v), car.node(rail_v), car.node()
    car.wire(rail, middle, leads_ohm * 0.3)
    car.wire(middle, plus, leads_ohm * 0.4)
    car.wire(minus, car.one_of(car.returns + car.chassis), leads_ohm * 0.3)
    kind = int(car.rng.choice(5, p=[0.45, 0.2, 0.15, 0.1, 0.1]))
    # Heavy currents that do not fall with the voltage are left to the constant-power law: a constant current
    # would drive its own terminals below zero, which no real load does.
    if must_be_power or kind == 0 or (kind == 4 and watts > 150):
        car.add("CONSTANT_POWER", plus, minus, watts)
    elif kind == 1:
        car.add("RESISTOR", plus, minus, nominal_v**2 / watts)
    elif kind == 4:
        car.add("CONSTANT_CURRENT", plus, minus, watts / nominal_v)
    else:
        exponent = _LAMP_EXPONENT if kind == 2 else _FAN_EXPONENT
        car.add("POWER_LAW", plus, minus, watts / nominal_v, nominal_v, exponent)


def _build(
    seed: int, attempt: int, *, tapped: bool | None
) -> tuple[Case, tuple[int, ...], np.random.Generator]:
    car = _Vehicle(np.random.default_rng([seed, attempt]))
    _add_chassis(car)
    _add_sources(car)
    has_pair = car.chance(0.25) if tapped is None else tapped
    high = _add_tapped_pair(car) if has_pair else []
    blocks = _add_blocks(car)
    for index in range(int(car.rng.integers(3, 13))):
        rail = car.one_of(high) if high and car.chance(0.3) else car.one_of(blocks)
        _add_load(car, rail, must_be_power=index == 0)
    case = Case(
        seed=seed,
        node_count=len(car.start_v),
        elements=tuple(car.elements),
        start_v=tuple(car.start_v),
        traits=frozenset(car.traits),
    )
    return case, tuple(car.wires), car.rng


def _heat(case: Case, wires: tuple[int, ...], rng: np.random.Generator) -> Case:
    """Let nine of ten wires heat: kappa such that the cold current gives kappa I^2 of 0.007 to 0.6."""
    cold_v = decide(case).node_v
    if cold_v is None:
        amps = np.full(len(case.elements), 30.0)  # nothing to go by: a middling wire current
    else:
        amps = DenseNetwork(case).amps(incidence(case).T @ cold_v[1:])[0]
    elements = list(case.elements)
    for index in wires:
        if rng.random() < 0.9:
            factor = float(np.exp(rng.uniform(np.log(0.55), np.log(5.0))))
            kappa = 0.18 / (max(abs(float(amps[index])), 1.0) * factor) ** 2
            elements[index] = replace(
                elements[index], law="HEATED", values=(elements[index].values[0], kappa)
            )
    return replace(case, elements=tuple(elements), traits=case.traits | {"heated"})


def _bring_near_collapse(case: Case, rng: np.random.Generator) -> Case | None:
    """Scale the constant-power loads to 0.03 ... 3 % below or above the most that can be carried."""
    limit = nose(case)
    if not 1e-3 < limit < 1e3:
        return None
    offset = float(np.exp(rng.uniform(np.log(_NEAREST), np.log(_FARTHEST)))) * (
        1 if rng.random() < 0.5 else -1
    )
    factor = limit * (1 + offset)
    elements = tuple(
        replace(e, values=(e.values[0] * factor,)) if e.law == "CONSTANT_POWER" else e for e in case.elements
    )
    side = "just beyond collapse" if offset > 0 else "just short of collapse"
    return replace(case, elements=elements, traits=case.traits | {"near collapse", side})


def random_case(
    seed: int, *, heated: bool = False, near_collapse: bool = False, tapped: bool | None = None
) -> Case:
    """Return the random vehicle of this seed; `tapped` None leaves the 24 V pair to chance (one in four)."""
    for attempt in range(20):
        case, wires, rng = _build(seed, attempt, tapped=tapped)
        if heated:
            case = _heat(case, wires, rng)
        if not near_collapse:
            return case
        scaled = _bring_near_collapse(case, rng)
        if scaled is not None:
            return scaled
    raise ValueError(
        f"seed {seed}: twenty vehicles in a row could not be brought near collapse; take another seed"
    )


def mixed_case(seed: int, *, heated: bool = False) -> Case:
    """Return the random vehicle of this seed, every fifth of them near collapse."""
    return random_case(seed, heated=heated, near_collapse=seed % 5 == 0)
