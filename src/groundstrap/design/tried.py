"""One case of the true network with many choices of sizes: few one after the other, many as a batch."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.drops import DropGauge
from groundstrap.records import dataclass
from groundstrap.solve import Alike, Network, Volts, solve_rows

__all__ = ["FEW", "OpenWire", "Tried"]

FEW: Final = 32
"""Up to so many, one by one is quicker: what a batch costs at any size they take in all (measured)."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class OpenWire:
    """A wire that is to be chosen: its branch, the circuit's place in a choice, its values at each size."""

    branch: int
    place: int
    cold_ohm: Floats
    kappa_per_a2: Floats

    def at(self, size: int) -> tuple[float, float]:
        """Return ohms and heating constant at one size. [ohm, 1/A2]"""
        return (float(self.cold_ohm[size]), float(self.kappa_per_a2[size]))


class Tried:
    """Drops in one case of choices, each the index of a size for every circuit."""

    def __init__(
        self,
        network: Network,
        base: Sequence[tuple[float, ...]],
        wires: Sequence[OpenWire],
        gauge: DropGauge,
    ) -> None:
        """Take the case with whatever sizes, and the wires that are to be chosen."""
        self._network, self._base, self._wires, self._gauge = network, list(base), wires, gauge
        self._first: tuple[list[int], Alike] | None = None
        self._by_place: dict[int, list[OpenWire]] = {}
        for wire in wires:
            self._by_place.setdefault(wire.place, []).append(wire)

    @property
    def limit_v(self) -> Floats:
        """What each circuit may drop. [V]"""
        return self._gauge.limit_v

    def drops_v(self, choices: NDArray[np.intp]) -> Floats:
        """Return the drop of each circuit, one column a choice, of choices one a row. [V]"""
        if len(choices) <= FEW:
            return np.array([self._gauge.read_one(self._volts(each)) for each in choices.tolist()]).T
        values: list[tuple[float | Floats, ...]] = list(self._base)
        for wire in self._wires:
            sizes = choices[:, wire.place]
            values[wire.branch] = (wire.cold_ohm[sizes], wire.kappa_per_a2[sizes])
        return self._gauge.read(solve_rows(self._network, values, rows=len(choices)))

    def lost_v(self, choice: list[int]) -> list[float]:
        """Return what the wires of each circuit lose in one choice, in the order of places. [V]"""
        volts, places = self._volts(choice), range(len(choice))
        if not volts.found:
            return [np.nan] * len(choice)
        return [sum(abs(volts.branch_v[w.branch]) for w in self._by_place.get(p, ())) for p in places]

    def _volts(self, choice: list[int]) -> Volts:
        """The first choice is solved from nothing, each other from there."""
        if self._first is None:
            values = self._base.copy()
            for wire in self._wires:
                values[wire.branch] = wire.at(choice[wire.place])
            self._first = (choice, Alike(self._network, values))
        first, alike = self._first
        moved = [place for place, sizes in enumerate(zip(choice, first, strict=True)) if sizes[0] != sizes[1]]
        return alike.volts({w.branch: w.at(choice[w.place]) for p in moved for w in self._by_place[p]})
