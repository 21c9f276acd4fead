"""What readings say about which place it is: chances of every fault, and what another reading would add.

A fault of unknown size runs along a line in the space of readings, straight from one of its sizes to the
next. How well a stretch explains what was read is a Gaussian integral along it, which has a closed form; so
the sizes need not lie close, however sharp the meter. What sound vehicles differ by is a covariance that all
readings share, with the meter's gain in it; what each reading has alone (digits, contact of the leads, a
battery that wanders) stands on its diagonal.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.records import dataclass

__all__ = ["Belief", "Known", "believe", "expected_bits"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]

_POINTS: Final = 61
_WIDE: Final = 5.0
_LEAST_WEIGHT: Final = 1e-4


def _erf(values: Floats) -> Floats:
    return np.array([math.erf(value) for value in values.tolist()])


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known before a reading is taken, of all readings that could be.

    `start` and `way` are stretches x readings: what each stretch of sizes shows at its smaller end, and by
    how much more at its larger; `spread` is readings x readings, `own` the variance that each has alone.
    """

    start: Floats
    way: Floats
    chance: Floats
    """Of each stretch, before any reading; together 1. [1]"""
    place: Ints
    """The place that each stretch belongs to; -1 for nothing wrong."""
    spread: Floats
    own: Floats
    flow: Floats
    """Of each stretch: times that more flows than in the sound circuit; the spread grows with it. [1]"""
    shape: Floats
    """Stretches x readings: how far each may be off by what the model leaves out. [V, A]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Belief:
    """Chances after some readings, and what is then expected of every other one."""

    chance: Floats
    """Of each stretch. [1]"""
    share: Floats
    """How far along its stretch each is likeliest: 0 the smaller end. [1]"""
    share_variance: Floats
    mean: Floats
    """Stretches x readings: what each would show now."""
    way: Floats
    """By how much that still moves along the stretch."""
    variance: Floats
    """Stretches x readings: by what sound vehicles differ by and the meter."""
    misfit: float
    """Chi-square of the readings under the likeliest stretch. [1]"""

    def of_places(self, places: Ints) -> Mapping[int, float]:
        """Return the chance of each place."""
        numbers, index = np.unique(places, return_inverse=True)
        sums = np.bincount(index, weights=self.chance)
        return dict(zip(numbers.tolist(), sums.tolist(), strict=True))


def believe(known: Known, taken: Ints, values: Floats) -> Belief:
    """Return the chances after readings `taken` (their numbers) showed `values`."""
    if taken.size == 0:
        return _unread(known)
    among = known.spread[np.ix_(taken, taken)]
    covariance = known.flow[:, None, None] ** 2 * among
    covariance[:, range(taken.size), range(taken.size)] += known.own[taken] + known.shape[:, taken] ** 2
    factor = np.linalg.cholesky(covariance)
    raw = values - known.start[:, taken]
    off = np.linalg.solve(factor, raw[:, :, None])[:, :, 0].T
    along = np.linalg.solve(factor, known.way[:, taken, None])[:, :, 0].T
    size = 2.0 * np.log(factor[:, range(taken.size), range(taken.size)]).sum(axis=1)
    length2 = (along**2).sum(axis=0)
    best = np.divide(
        (off * along).sum(axis=0), length2, out=np.full(length2.size, 0.5), where=length2 > 1e-12
    )
    logs, share, variance = _along(off, along, length2, best)
    with np.errstate(divide="ignore"):
        weights = np.log(known.chance) + logs - 0.5 * size
    chance = np.exp(weights - weights.max())
    chance /= chance.sum()
    left = off - share * along
    solved = np.linalg.solve(covariance, known.spread[None, taken])
    gain = known.flow[:, None, None] ** 2 * solved.swapaxes(1, 2)
    shown = raw - share[:, None] * known.way[:, taken]
    cut = known.flow[:, None] ** 2 * np.einsum("hqu,qu->hq", gain, known.spread[:, taken])
    return Belief(
        chance=chance,
        share=share,
        share_variance=variance,
        mean=known.start + share[:, None] * known.way + np.einsum("hqu,hu->hq", gain, shown),
        way=known.way - np.einsum("hqu,hu->hq", gain, known.way[:, taken]),
        variance=np.maximum(known.flow[:, None] ** 2 * np.diag(known.spread) - cut, 0.0)
        + known.own
        + known.shape**2,
        misfit=float((left[:, int(chance.argmax())] ** 2).sum()),
    )


def _unread(known: Known) -> Belief:
    return Belief(
        chance=known.chance,
        share=np.full(known.chance.size, 0.5),
        share_variance=np.full(known.chance.size, 1 / 12),
        mean=known.start + 0.5 * known.way,
        way=known.way,
        variance=known.flow[:, None] ** 2 * np.diag(known.spread) + known.own + known.shape**2,
        misfit=0.0,
    )


def _along(off: Floats, along: Floats, length2: Floats, best: Floats) -> tuple[Floats, Floats, Floats]:
    """Log of the mean likelihood along each stretch, where it is largest, and how sure that is."""
    nearest = (off**2).sum(axis=0) - best**2 * length2
    flat = length2 < 1e-12
    length = np.sqrt(np.where(flat, 1.0, length2))
    upper, lower = length * (1.0 - best), -length * best
    # In the far tail both ends of the integral vanish: there the nearer end of the stretch stands for it.
    inside = 0.5 * (_erf(upper / math.sqrt(2)) - _erf(lower / math.sqrt(2)))
    share = np.clip(best, 0.0, 1.0)
    at_end = ((off - share * along) ** 2).sum(axis=0)
    with np.errstate(divide="ignore"):
        full = -0.5 * nearest + np.log(inside * math.sqrt(2 * math.pi) / length)
        # From that end on it falls as an exponential, which has gone by the other end or not.
        slope = np.maximum(np.abs(best - share) * length2, 1e-12)
        ended = -0.5 * at_end + np.log(-np.expm1(-slope) / slope)
    logs = np.where(flat, -0.5 * (off**2).sum(axis=0), np.where(inside > 1e-12, full, ended))
    variance = np.minimum(np.where(flat, 1 / 12, 1.0 / np.maximum(length2, 1e-12)), 1 / 12)
    return logs, share, variance


def expected_bits(belief: Belief, places: Ints, candidates: Ints) -> Floats:
    """Return what each candidate reading is expected to tell about the place. [bit]

    The grid spans all that may be shown. Where an open piece would show volts more than all the rest, places
    that lie closer than a step fall together, and less is said than the reading would tell: before the first
    reading down to half of it; what comes out first was worth 93 % of the best or more in four vehicles.

    Source: mutual information of place and reading, by quadrature over the reading; D. V. Lindley, Ann. Math.
    Statist. 27 (1956) 986, from memory.
    """
    heavy = np.flatnonzero(belief.chance > _LEAST_WEIGHT)
    weight = belief.chance[heavy] / belief.chance[heavy].sum()
    labels, index = np.unique(places[heavy], return_inverse=True)
    if labels.size < 2:
        return np.zeros(candidates.size)
    mean = belief.mean[np.ix_(heavy, candidates)]
    deviation = np.sqrt(
        belief.variance[np.ix_(heavy, candidates)]
        + belief.way[np.ix_(heavy, candidates)] ** 2 * belief.share_variance[heavy, None]
    )
    low, high = (mean - _WIDE * deviation).min(axis=0), (mean + _WIDE * deviation).max(axis=0)
    grid = low + (high - low) * np.linspace(0.0, 1.0, _POINTS)[:, None]
    step = (high - low) / (_POINTS - 1)
    # A narrow bell between two points of the grid is made as wide as the grid is: it loses no mass.
    wide = np.maximum(deviation, 0.6 * step)
    of_place = np.zeros((labels.size, _POINTS, candidates.size))
    for number in range(heavy.size):
        z = (grid - mean[number]) / wide[number]
        of_place[index[number]] += (
            weight[number] / (wide[number] * math.sqrt(2 * math.pi)) * np.exp(-0.5 * z**2)
        )
    whole = of_place.sum(axis=0)
    share = np.bincount(index, weights=weight)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(of_place > 1e-300, of_place / (share[:, None, None] * whole), 1.0)
    bits = (of_place * np.log2(ratio)).sum(axis=(0, 1)) * step
    return np.maximum(np.asarray(bits, dtype=np.float64), 0.0)
