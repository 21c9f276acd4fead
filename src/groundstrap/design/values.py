"""Resistance and heat of every wire to be chosen, at every size on the shelf, reckoned once a choice."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.conductors import conductor, hot_wire
from groundstrap.assess.parts import wire_end_ends
from groundstrap.assess.wiring import Wiring
from groundstrap.design.shelf import Shelf
from groundstrap.model import Basis, Wire
from groundstrap.records import dataclass
from groundstrap.units import ConductorSize

__all__ = ["HotSizes"]

Floats = NDArray[np.float64]


class HotSizes:
    """Hot wires by size, as `assess.wire_values` has them, but all sizes of a wire at a time."""

    def __init__(self, wiring: Wiring, shelf: Shelf) -> None:
        """Remember what the wires lie in and what they may be."""
        self._wiring, self._sizes = wiring, _kept(shelf.sizes)
        self._made: dict[str, tuple[Floats, Floats]] = {}

    def of(self, wire: Wire) -> tuple[Floats, Floats]:
        """Return cold resistance in its air, ends included, and heating constant at each size. [ohm, 1/A2]"""
        if wire.name not in self._made:
            self._made[wire.name] = self._make(wire)
        return self._made[wire.name]

    def drops_v(self, wire: Wire) -> Floats:
        """Volts lost at the drop's design current, at each size; inf where that heats without end. [V]"""
        amps = self._wiring.currents.pieces[wire.name].drop_a or 0.0
        cold_ohm, kappa = self.of(wire)
        rest = 1.0 - kappa * amps * amps
        return np.where(rest > 0.0, cold_ohm * amps / np.where(rest > 0.0, rest, 1.0), np.inf)

    def _make(self, wire: Wire) -> tuple[Floats, Floats]:
        basis = self._wiring.installation.basis
        ohm = _ends(self._sizes, wire.parallel).copy()
        kappa = np.zeros(len(self._sizes.each))
        for lie in self._wiring.lies[wire.name]:
            metre = _metre(wire.material, wire.insulation, basis, self._sizes, lie.ambient_c, lie.share)
            ohm += metre[0] * (lie.length_m / wire.parallel)
            kappa = np.maximum(kappa, metre[1])
        return ohm, kappa / wire.parallel**2


@dataclass(frozen=True, slots=True, eq=False)
class _Sizes:
    """Sizes to choose from; there is one object of each shelf, told apart without a look at every size."""

    each: tuple[ConductorSize, ...]


@lru_cache(maxsize=16)
def _kept(sizes: tuple[ConductorSize, ...]) -> _Sizes:
    return _Sizes(sizes)


@lru_cache(maxsize=64)
def _ends(sizes: _Sizes, parallel: int) -> Floats:
    return np.array([wire_end_ends(size.area_mm2, parallel).typical for size in sizes.each])


@lru_cache(maxsize=1024)
def _metre(
    material: str,
    insulation: str | None,
    basis: Basis,
    sizes: _Sizes,
    ambient_c: float,
    share: float,
) -> tuple[Floats, Floats]:
    """One metre of one conductor at each size: resistance in its air and heating constant."""
    wire = Wire(
        name="",
        circuit="",
        start="",
        end="",
        length_m=1.0,
        stretches=(),
        material=material,
        insulation=insulation,
    )
    each = [hot_wire(conductor(wire, size, basis), ((1.0, ambient_c, share),), 1) for size in sizes.each]
    return np.array([value.cold_ohm for value in each]), np.array([value.kappa_per_a2 for value in each])
