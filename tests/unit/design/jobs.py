"""Small jobs with wires to be chosen, for the tests of choosing."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from groundstrap.design import Design, choose
from groundstrap.design.choose import search, settle
from groundstrap.design.judge import Judge
from groundstrap.design.local import least_sizes
from groundstrap.model import Fitted, Installation, Stock, StockItem
from groundstrap.units import parse_size
from tests.support.installations import Builder, Cable, Device

Floats = NDArray[np.float64]

ROOM = "room"
FUSE = Device("fuse", zone=ROOM)


def lamp_job(
    watts: float | None,
    length_m: float,
    *,
    exponent: float = -1.0,
    fuse: Device | None = FUSE,
    size: str | None = None,
    fitted: Fitted | None = None,
    ohm: float = 0.02,
) -> Builder:
    """One battery and one lamp, a fuse at the battery, as much cable back as out, all in 20 degC.

    Of itself it is a small battery, at which a blade breaks the fault (1000 A, iso-8820-3).
    """
    job = Builder()
    job.battery(ohm=ohm)
    job.load("lamp", watts, exponent=exponent, fitted=fitted or Fitted())
    cable = Cable(length_m, size, zone=ROOM)
    guard = [] if fuse is None else [fuse]
    job.circuit("lamp", ["battery +", *guard, cable, "lamp +"], ["lamp -", cable, "battery -"])
    return job


def chosen(job: Builder, *, stock: Sequence[tuple[str, float | None]] = ()) -> Design:
    """Choose for a job, with what is on the shelf (size, price for a metre) where anything is."""
    return choose(with_stock(job.build(), stock), job.estimates)


def with_stock(installation: Installation, stock: Sequence[tuple[str, float | None]]) -> Installation:
    """Put wires on the shelf of an installation."""
    if not stock:
        return installation
    items = tuple(StockItem(kind="wire", size=parse_size(text), price=price) for text, price in stock)
    return replace(installation, stock=Stock(file="shelf.csv", items=items))


def sizes(design: Design) -> Mapping[str, str]:
    """Chosen size of each circuit, as text."""
    circuit = {wire.name: wire.circuit for wire in design.installation.wires()}
    return {circuit[name]: size.text for name, size in design.sizes.items()}


def random_job(
    seed: int, *, feeders: tuple[int, int] = (1, 2), branches: tuple[int, int] = (2, 4)
) -> Builder:
    """Feeders to blocks with branches behind them and one shared negative, all to be chosen."""
    draw = random.Random(seed)
    job = Builder()
    job.battery()
    job.block("bus")
    job.circuit("negative", ["bus", Cable(draw.uniform(1.0, 3.0), zone=ROOM), "battery -"])
    blocks = [f"block {k}" for k in range(draw.randint(*feeders))]
    for block in blocks:
        job.block(block)
        job.circuit(f"{block} feed", ["battery +", FUSE, Cable(draw.uniform(1.0, 4.0), zone=ROOM), block])
    for k in range(draw.randint(*branches)):
        name = f"load {k}"
        job.load(name, draw.choice([12.0, 40.0, 90.0, 150.0]), exponent=draw.choice([-1.0, 0.0, 0.55, 1.0]))
        job.circuit(
            name,
            [blocks[k % len(blocks)], FUSE, Cable(draw.uniform(1.0, 8.0), zone=ROOM), f"{name} +"],
            [f"{name} -", Cable(draw.uniform(0.5, 3.0), zone=ROOM), "bus"],
        )
    return job


@dataclass(frozen=True)
class Tried:
    """The cheapest choice that the true network passes, by trying every one cheaper than what was chosen."""

    cost: float
    chosen_cost: float
    passes: bool
    """Whether what was chosen passes."""
    raised: bool
    """Whether the sizes from the design currents had to be raised on the true network."""
    rows: int


def try_everything(job: Builder) -> Tried:
    """Choose, and try every choice that costs less, each size from its circuit's own least one up."""
    installation = job.build()
    settled = settle(installation, job.estimates)
    task = settled.task
    least = least_sizes(task.local)
    found = search(task, least)
    assert not found.lost
    judge = Judge(task, least, found.body)
    raised = dict(judge.repair(found.picked)) != dict(found.picked)
    circuit = {wire.name: wire.circuit for wire in installation.wires()}
    index = {circuit[name]: task.shelf.sizes.index(size) for name, size in settled.design.sizes.items()}
    names = sorted(index)
    cost = {n: np.array([task.shelf.cost(task.open_wires[n], s) for s in task.shelf.sizes]) for n in names}
    chosen_cost = float(sum(cost[n][index[n]] for n in names))
    rows = _cheaper(names, cost, least.index, chosen_cost)
    totals = sum((cost[n][rows[n]] for n in names), np.zeros(len(rows[names[0]])))
    each = zip(*(rows[name].tolist() for name in names), strict=True)
    good = np.array(judge.passes([dict(zip(names, one, strict=True)) for one in each]), dtype=np.bool_)
    return Tried(
        cost=float(totals[good].min()) if good.any() else chosen_cost,
        chosen_cost=chosen_cost,
        passes=judge.passes([index])[0],
        raised=raised,
        rows=int(totals.size),
    )


def _cheaper(
    names: Sequence[str], cost: Mapping[str, Floats], least: Mapping[str, int], below: float
) -> dict[str, NDArray[np.intp]]:
    """Every choice from the least sizes up that costs less than so much, as rows."""
    floor = sum(float(cost[n][least[n]]) for n in names)
    ranges = []
    for n in names:
        affordable = floor - cost[n][least[n]] + cost[n] < below * (1 - 1e-9)
        ranges.append([k for k in range(least[n], len(cost[n])) if affordable[k]])
    grid = np.array(np.meshgrid(*ranges, indexing="ij"), dtype=np.intp).reshape(len(names), -1)
    total = sum((cost[n][grid[k]] for k, n in enumerate(names)), np.zeros(grid.shape[1]))
    return {n: grid[k][total < below * (1 - 1e-9)] for k, n in enumerate(names)}
