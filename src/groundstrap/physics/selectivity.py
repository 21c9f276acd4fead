"""Two fuses in series: at which currents the upper one may open before the lower one has.

The upper fuse counts with its fastest curve, the lower one with its slowest. Both are straight in logarithms
between their gates, so where they cross is solved for and no grid decides.
"""

import math
from functools import lru_cache
from itertools import pairwise
from typing import Final

from groundstrap.physics._gates import check_gates
from groundstrap.physics._range import POSITIVE, within
from groundstrap.physics.fuse import fastest_opening_s, slowest_opening_s
from groundstrap.records import dataclass

_JUST: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """One side of a fuse's band, in amps: currents, rising, with a time at each."""

    currents_a: tuple[float, ...]
    times_s: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AmpsRange:
    """Currents from `low_a` to `high_a`."""

    low_a: float
    high_a: float


@within(most_a=POSITIVE)
def unselective_ranges(*, upper: Band, lower: Band, most_a: float) -> tuple[AmpsRange, ...]:
    """Currents through both at which the upper of two fuses may open first.

    Source: fastest curve of the upper (staircase, heat integral beyond its last gate) against the slowest of
    the lower; what flows through the upper one beside is not counted.

    Parameters
    ----------
    upper : Band
        Shortest times of the upper fuse; up to its first current it holds.
    lower : Band
        Longest times of the lower fuse; below its first current it may never open.
    most_a : float
        Most current that can flow through both. [A]

    Examples
    --------
    The upper one holds 20 A, 10 s up to 40 A and 1 s up to 80 A; the lower one opens within 100 s at 13.5 A
    and within 1 s at 40 A: by hand 100 * (I / 13.5)^-4.24 s, 10 s at 23.2 A, where it is the sooner one.

    >>> upper = Band(currents_a=(20, 40, 80), times_s=(360000, 10, 1))
    >>> lower = Band(currents_a=(13.5, 40), times_s=(100, 1))
    >>> found = unselective_ranges(upper=upper, lower=lower, most_a=70)
    >>> [(round(each.low_a, 1), round(each.high_a, 1)) for each in found]
    [(20, 23.2)]
    """
    for name, band in (("upper", upper), ("lower", lower)):
        check_gates(f"unselective_ranges: {name}", band.currents_a, band.times_s)
    edges = {a for a in (*upper.currents_a, *lower.currents_a) if a < most_a}
    points = [min(*upper.currents_a, *lower.currents_a) * 0.5, *sorted(edges), most_a]
    found: list[AmpsRange] = []
    for left_a, right_a in pairwise(points):
        if right_a <= left_a:
            continue
        piece = _in_piece(upper, lower, left_a, right_a)
        if piece is None:
            continue
        if found and piece.low_a <= found[-1].high_a * (1 + 2 * _JUST):
            piece = AmpsRange(low_a=found.pop().low_a, high_a=piece.high_a)
        found.append(piece)
    return tuple(found)


@lru_cache(maxsize=4096)
def _in_piece(upper: Band, lower: Band, left_a: float, right_a: float) -> AmpsRange | None:
    """Where in a stretch without any gate inside the upper one may open first."""
    inside_a = (left_a * (1 + _JUST), right_a * (1 - _JUST))
    if inside_a[0] >= inside_a[1]:
        return None
    left, right = (_lead(upper, lower, amps) for amps in inside_a)
    if left <= 0.0 and right <= 0.0:
        return None
    if left > 0.0 and right > 0.0:
        return AmpsRange(low_a=left_a, high_a=right_a)
    # Straight in logarithms: the share of the way at which the lead is gone.
    met_a = left_a * (right_a / left_a) ** (left / (left - right))
    return AmpsRange(low_a=left_a, high_a=met_a) if left > 0.0 else AmpsRange(low_a=met_a, high_a=right_a)


def _lead(upper: Band, lower: Band, amps: float) -> float:
    """Logarithm of the lower one's longest time over the upper one's shortest; above 0 it is too slow."""
    if amps <= upper.currents_a[0]:
        return -1.0
    slow_s = slowest_opening_s(amps, gate_multiples=lower.currents_a, gate_most_s=lower.times_s).chord_s
    if math.isinf(slow_s):
        return 1.0
    fast_s = fastest_opening_s(amps, gate_multiples=upper.currents_a, gate_least_s=upper.times_s)
    return math.log(slow_s / fast_s)
