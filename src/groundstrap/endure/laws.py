"""What a battery shows and what becomes of its charge, written once for floats and for arrays.

The formulas are handed what they count with: Python's own for one battery on one day, which is small, or
NumPy's for many days side by side. A battery is whatever has the fields of `Batteries`, air whatever has
those of `Air`, and charge both wells.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from typing import Any, Final

import numpy as np

from groundstrap.physics.storage import NEAR_EMPTY
from groundstrap.records import dataclass

__all__ = [
    "ARRAYS",
    "BLOCKED_OHM",
    "NUMBERS",
    "Counting",
    "Shown",
    "change_of",
    "head_of",
    "line",
    "shown_of",
]

BLOCKED_OHM: Final = 1e5
"""In place of a battery's resistance one way where its own protection lets nothing pass. [ohm]"""

_LEAST_A: Final = 1e-6
_LEAST_HEAD: Final = -0.04
"""Below it a battery is a dead weight, and its resistance rises no more. [1]"""


@dataclass(frozen=True, slots=True)
class Counting:
    """The few things that floats and arrays do differently."""

    where: Callable[[Any, Any, Any], Any]
    most: Callable[[Any, Any], Any]
    least: Callable[[Any, Any], Any]


ARRAYS: Final = Counting(np.where, np.maximum, np.minimum)
NUMBERS: Final = Counting(lambda yes, a, b: a if yes else b, max, min)


@dataclass(frozen=True, slots=True)
class Shown:
    """What batteries show to the network at a state."""

    emf_v: Any
    discharge_ohm: Any
    charge_ohm: Any
    keeps: Any
    """Share of the charging current that is stored. [1]"""


def line(keys: list[float], values: list[float]) -> Callable[[float], float]:
    """Return a curve by its points, straight between them, held beyond both ends."""
    slopes = [(b - a) / (y - x) for x, y, a, b in zip(keys, keys[1:], values, values[1:], strict=False)]
    first, last = keys[0], keys[-1]
    inner = keys[1:-1]

    def at(x: float) -> float:
        if x <= first:
            return values[0]
        if x >= last:
            return values[-1]
        number = bisect_right(inner, x)
        return values[number] + slopes[number] * (x - keys[number])

    return at


@dataclass(frozen=True, slots=True)
class Charge:
    """Both wells of a battery. [Ah]"""

    available: Any
    bound: Any


@dataclass(frozen=True, slots=True)
class Rested:
    """What a battery is by its charge alone: its volts, what is missing, what it keeps of a charge."""

    head: Any
    emf_v: Any
    missing_ah: Any
    efficiency: Any


def head_of(count: Counting, battery: Any, air: Any, charge: Charge) -> Any:
    """Head of the available well as the volts follow it. [1]

    Cold keeps charge from flowing, it takes none away: so it counts as missing capacity as far as the
    available well stands below the whole, in full from where a 20 h discharge would put it.
    """
    head = charge.available / (battery.share * battery.total_ah)
    if air.mild:
        return head
    below = (charge.available + charge.bound) / battery.total_ah - head
    counts = count.least(count.most(below / battery.below, 0.0), 1.0)
    return head - counts * (1.0 - head) * (1.0 / air.capacity - 1.0)


def shown_of(count: Counting, battery: Any, air: Any, rested: Rested) -> Shown:
    """Return what the network sees of a battery, by what it is at its charge."""
    held = count.most(rested.head, _LEAST_HEAD)
    bend = 1.0 + battery.ohm_bend * (1.0 - held) / (held + NEAR_EMPTY)
    ohm = battery.full_ohm * air.resistance_times * bend
    stored_a = count.least(
        count.most(rested.missing_ah, 0.0) * battery.per_h * air.accepts_per_h, battery.accepts_a
    )
    takes_a = count.most(stored_a + battery.float_a, _LEAST_A)
    charge_ohm = count.most((battery.absorption_v - rested.emf_v) / takes_a, ohm)
    if not air.all_charge:
        charge_ohm = count.where(air.may_charge, charge_ohm, BLOCKED_OHM)
    return Shown(rested.emf_v, ohm, charge_ohm, rested.efficiency * stored_a / takes_a)


def change_of(count: Counting, battery: Any, air: Any, charge: Charge, charging_a: Any, keeps: Any) -> Charge:
    """Return what becomes of both wells under a current into the battery. [Ah/s]"""
    into = count.where(charging_a > 0.0, keeps * charging_a, charging_a) / 3600.0
    share = battery.share
    flow = battery.rate_per_s * (share * charge.bound - (1.0 - share) * charge.available)
    lost = air.loses_per_s * battery.rated_ah
    return Charge(into + flow - share * lost, -flow - (1.0 - share) * lost)
