"""Small jobs with wires to be chosen, for the tests of choosing."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import replace

from groundstrap.design import Design, choose
from groundstrap.model import Fitted, Installation, Stock, StockItem
from groundstrap.units import parse_size
from tests.support.installations import Builder, Cable, Device

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
) -> Builder:
    """One battery and one lamp, a fuse at the battery, as much cable back as out, all in 20 degC."""
    job = Builder()
    job.battery()
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
