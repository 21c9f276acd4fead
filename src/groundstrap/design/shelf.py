"""Sizes to choose from: the standard ones of the job's system, or what the stock has, with their cost."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from groundstrap.assess.wiring import is_open
from groundstrap.model import Circuit, Installation, StockItem, Wire
from groundstrap.records import dataclass
from groundstrap.tables import standard_sizes
from groundstrap.units import ConductorSize, parse_size

__all__ = ["Shelf", "open_circuits", "shelf_of"]


@dataclass(frozen=True, slots=True)
class Shelf:
    """Sizes in rising order of copper; `prices` per metre, only where the stock prices every one of them."""

    sizes: tuple[ConductorSize, ...]
    prices: Mapping[str, float]
    from_stock: bool

    @property
    def priced(self) -> bool:
        """Whether cost means money and not copper."""
        return bool(self.prices)

    def cost(self, wires: tuple[Wire, ...], size: ConductorSize) -> float:
        """Price of some wires of one size, or their copper in cm3 (mm2 times m).

        >>> Shelf((parse_size("4 mm2"),), {}, False).cost((), parse_size("4 mm2"))
        0.0
        """
        return _metres(wires) * self._per_metre(size)

    def costs(self, wires: tuple[Wire, ...]) -> tuple[float, ...]:
        """Return the same of every size."""
        metres = _metres(wires)
        return tuple(metres * self._per_metre(size) for size in self.sizes)

    def _per_metre(self, size: ConductorSize) -> float:
        return self.prices[size.text] if self.prices else size.area_mm2


def _metres(wires: tuple[Wire, ...]) -> float:
    return sum(wire.length_m * wire.parallel for wire in wires)


def shelf_of(installation: Installation) -> Shelf:
    """Return what the wires of an installation may be chosen from."""
    items = [] if installation.stock is None else [i for i in installation.stock.items if _is_copper_wire(i)]
    if not items:
        return Shelf(_standard(installation.sizes), {}, from_stock=False)
    by_size: dict[ConductorSize, list[StockItem]] = {}
    for item in items:
        if item.size is not None:
            by_size.setdefault(item.size, []).append(item)
    sizes = tuple(sorted(by_size, key=lambda size: (size.area_mm2, size.text)))
    cheapest = {
        size.text: min(prices)
        for size, rows in by_size.items()
        if (prices := [row.price for row in rows if row.price is not None])
    }
    return Shelf(sizes, cheapest if len(cheapest) == len(sizes) else {}, from_stock=True)


def _is_copper_wire(item: StockItem) -> bool:
    return item.kind == "wire" and item.material in {None, "copper", "tinned copper"}


@lru_cache(maxsize=4)
def _standard(system: str) -> tuple[ConductorSize, ...]:
    return tuple(parse_size(size.label) for size in standard_sizes("awg" if system == "awg" else "metric"))


def open_circuits(installation: Installation) -> Mapping[str, tuple[Wire, ...]]:
    """Return circuits that have wires to be chosen, each with those wires, in the order of their names."""
    found = {name: _open_wires(circuit) for name, circuit in sorted(installation.circuits.items())}
    return {name: wires for name, wires in found.items() if wires}


def _open_wires(circuit: Circuit) -> tuple[Wire, ...]:
    return tuple(wire for wire in circuit.wires if is_open(wire))
