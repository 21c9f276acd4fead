"""Random vehicles with a converter: it charges a second battery, or holds a bus of another voltage.

Both machines of a vehicle may stand at their limit, and either battery may charge or discharge there: the
ranges are chosen so that all of it is met. Figures are invented within what the trade uses.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace

from .plain import Case, Element


def converter_case(seed: int, *, heated: bool) -> Case:
    """Return the vehicle of a seed: alternator and start battery, a converter, and what it feeds."""
    rng = random.Random(seed)
    elements: list[Element] = []
    nodes = 1

    def node() -> int:
        nonlocal nodes
        nodes += 1
        return nodes - 1

    def add(law: str, start: int, end: int, *values: float, feeds: int | None = None) -> None:
        elements.append(Element(law=law, start=start, end=end, values=values, feeds=feeds))  # type: ignore[arg-type]

    def cable(start: int, end: int, ohm: float) -> None:
        # A cable of this resistance that is at ease heats by a few per cent of it.
        add("HEATED", start, end, ohm, rng.uniform(0.02, 0.2) / 100.0**2) if heated else add(
            "RESISTOR", start, end, ohm
        )

    volts = rng.choice((12.0, 12.0, 24.0))
    start = node()
    add("BATTERY", start, 0, volts / 12 * rng.uniform(12.3, 12.8), *_ohms(rng))
    add(
        "REGULATED",
        start,
        0,
        volts / 12 * rng.uniform(13.8, 14.6),
        rng.choice((0.0, 35.0, 45.0, 90.0)),
        0.002,
    )
    add("CONSTANT_CURRENT", start, 0, rng.uniform(5.0, 50.0))
    feed, minus = node(), 0
    cable(start, feed, rng.choice((0.003, 0.008, 0.02, 0.04)))
    if rng.random() < 0.7:
        minus = node()
        cable(minus, 0, rng.choice((0.001, 0.008, 0.02)))
    out = node()
    traits = {"converter"}
    if rng.random() < 0.75:
        set_v, traits = rng.uniform(14.0, 14.6), traits | {"two batteries"}
        house, earth = node(), node()
        cable(out, house, rng.choice((0.002, 0.005, 0.015)))
        add("BATTERY", house, earth, rng.uniform(12.2, 13.5), *_ohms(rng))
        add("RESISTOR", earth, 0, 0.002)
    else:
        set_v, house, earth = rng.uniform(12.0, 13.8), out, minus
    limit_a = rng.choice((10.0, 20.0, 30.0, 60.0))
    add("REGULATED", out, minus, set_v, limit_a, 0.002)
    add(
        "CONSTANT_POWER", feed, minus, rng.uniform(0.8, 0.95), rng.choice((0.0, 5.0)), feeds=len(elements) - 1
    )
    for _ in range(rng.choice((0, 1, 2))):
        load = node()
        cable(house, load, rng.choice((0.01, 0.03)))
        add("CONSTANT_POWER", load, earth, 12.0 * rng.uniform(0.05, 0.6) * limit_a)
    if rng.random() < 0.5:
        add("RESISTOR", house, earth, rng.uniform(0.5, 5.0))
    flat = tuple(
        0.0 if k in {0, minus, earth} else volts if k in {start, feed} else 11.0 for k in range(nodes)
    )
    return Case(seed=seed, node_count=nodes, elements=tuple(elements), start_v=flat, traits=frozenset(traits))


def _ohms(rng: random.Random) -> tuple[float, float]:
    """Ohms while discharging, and the far larger ones while charging: its kink is what makes it hard."""
    discharge_ohm = rng.uniform(0.003, 0.01)
    return discharge_ohm, discharge_ohm * rng.choice((1.0, 10.0, 30.0))


def with_frozen_inputs(case: Case, node_v: Sequence[float]) -> Case:
    """Replace each converter's input by the constant power that its output asks for at these volts."""

    def frozen(element: Element) -> Element:
        if element.feeds is None:
            return element
        output, (efficiency, idle_w) = case.elements[element.feeds], element.values
        set_v, limit_a, droop_ohm = output.values
        output_v = node_v[output.start] - node_v[output.end]
        given_a = min(max((set_v - output_v) / droop_ohm, 0.0), limit_a)
        return replace(element, values=(output_v * given_a / efficiency + idle_w,), feeds=None)

    return replace(case, elements=tuple(frozen(element) for element in case.elements))
