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

from groundstrap.locate.figures import FITS
from groundstrap.physics.distributions import chi_square_exceeds
from groundstrap.records import dataclass

__all__ = ["Belief", "Known", "believe", "expected_bits", "misfit_of"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]

_LEAST_WEIGHT: Final = 1e-4
_BINS: Final = 32
_SHARES: Final = np.arange(1, _BINS) / _BINS
_LOOKED_AT: Final = 48
"""Candidates whose information is reckoned, the most telling by a rougher measure. [1]"""
_FAR: Final = 6.0
"""Deviations beyond which it is all one how far two values lie apart. [1]"""


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


def believe(known: Known, taken: Ints, values: Floats, *, widened: bool = False) -> Belief:
    """Return the chances after readings `taken` (their numbers) showed `values`.

    `widened`: where they fit nothing, they are off by more than they are said to be, and count for less.

    Source: of the factor that widens, R. T. Birge, Phys. Rev. 40 (1932) 207, from memory.
    """
    if taken.size == 0:
        return _unread(known)
    weighed = _weighed(known, taken, values)
    weights, misfit = weighed.weights, weighed.misfit
    if widened and chi_square_exceeds(misfit, taken.size) < FITS:
        # What was ruled out before stays so, whatever is read.
        before = np.log(np.maximum(known.chance, 1e-300))
        weights = before + np.where(known.chance > 0.0, (weights - before) * (taken.size / misfit), -np.inf)
    chance = np.exp(weights - weights.max())
    chance /= chance.sum()
    # What is as good as ruled out keeps what it showed before: nothing is read for its sake.
    some = np.flatnonzero(chance > _LEAST_WEIGHT / 100.0)
    mean = known.start + weighed.share[:, None] * known.way
    way, spread = known.way.copy(), known.flow[:, None] ** 2 * np.diag(known.spread)
    flow2 = known.flow[some, None, None] ** 2
    gain = flow2 * np.linalg.solve(weighed.covariance[some], known.spread[None, taken]).swapaxes(1, 2)
    shown = (values - mean[:, taken])[some]
    mean[some] += np.einsum("hqu,hu->hq", gain, shown)
    way[some] -= np.einsum("hqu,hu->hq", gain, known.way[np.ix_(some, taken)])
    spread[some] -= flow2[:, 0] * np.einsum("hqu,qu->hq", gain, known.spread[:, taken])
    return Belief(
        chance=chance,
        share=weighed.share,
        share_variance=weighed.variance,
        mean=mean,
        way=way,
        variance=np.maximum(spread, 0.0) + known.own + known.shape**2,
        misfit=misfit,
    )


def misfit_of(known: Known, taken: Ints, values: Floats) -> float:
    """Return the chi-square of readings under the stretch that is likeliest by them. [1]"""
    return _weighed(known, taken, values).misfit if taken.size else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Weighed:
    """Stretches weighed by readings."""

    weights: Floats
    """Logarithms, but for what is common to all."""
    share: Floats
    variance: Floats
    covariance: Floats
    misfit: float


def _weighed(known: Known, taken: Ints, values: Floats) -> _Weighed:
    among = known.spread[np.ix_(taken, taken)]
    covariance = known.flow[:, None, None] ** 2 * among
    covariance[:, range(taken.size), range(taken.size)] += known.own[taken] + known.shape[:, taken] ** 2
    factor = np.linalg.cholesky(covariance)
    both = np.stack([values - known.start[:, taken], known.way[:, taken]], axis=2)
    solved = np.linalg.solve(factor, both)
    off, along = solved[:, :, 0].T, solved[:, :, 1].T
    size = 2.0 * np.log(factor[:, range(taken.size), range(taken.size)]).sum(axis=1)
    length2 = (along**2).sum(axis=0)
    best = np.divide(
        (off * along).sum(axis=0), length2, out=np.full(length2.size, 0.5), where=length2 > 1e-12
    )
    logs, share, variance = _along(off, along, length2, best)
    with np.errstate(divide="ignore"):
        weights = np.log(known.chance) + logs - 0.5 * size
    likeliest = int(weights.argmax())
    misfit = float(((off - share * along)[:, likeliest] ** 2).sum())
    return _Weighed(weights=weights, share=share, variance=variance, covariance=covariance, misfit=misfit)


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

    What may be shown is cut into bins that each hold about as much of the whole chance, so that volts that
    lie close are told apart beside an open piece that would show volts more. Bins only lose: what comes out
    is what a reading tells at least.

    Source: mutual information of place and reading; D. V. Lindley, Ann. Math. Statist. 27 (1956) 986, from
    memory. That bins only lose is the data-processing inequality.
    """
    heavy = np.flatnonzero(belief.chance > _LEAST_WEIGHT)
    weight = belief.chance[heavy] / belief.chance[heavy].sum()
    labels, index = np.unique(places[heavy], return_inverse=True)
    if labels.size < 2:
        return np.zeros(candidates.size)
    order = np.argsort(index, kind="stable")
    heavy, weight, index = heavy[order], weight[order], index[order]
    firsts = np.searchsorted(index, np.arange(labels.size))
    bits = np.zeros(candidates.size)
    mean = belief.mean[np.ix_(heavy, candidates)]
    moves = belief.way[np.ix_(heavy, candidates)] ** 2 * belief.share_variance[heavy, None]
    deviation = np.sqrt(belief.variance[np.ix_(heavy, candidates)] + moves)
    some = _worth_a_look(mean, deviation, weight)
    of_place = _in_bins(mean[:, some], deviation[:, some], weight, firsts)
    share = np.add.reduceat(weight, firsts)
    whole = of_place.sum(axis=1, keepdims=True)
    ratio = of_place / np.maximum(share[None, :, None] * whole, 1e-30)
    bits[some] = (of_place * np.log2(np.maximum(ratio, 1e-30))).sum(axis=(1, 2))
    return np.maximum(bits, 0.0)


def _worth_a_look(mean: Floats, deviation: Floats, weight: Floats) -> Ints:
    """The candidates that differ most over the stretches, against their own doubt."""
    if mean.shape[1] <= _LOOKED_AT:
        return np.arange(mean.shape[1])
    off = np.clip((mean - weight @ mean) / deviation, -_FAR, _FAR)
    return np.sort(np.argsort(-(weight @ off**2), kind="stable")[:_LOOKED_AT])


def _in_bins(mean: Floats, deviation: Floats, weight: Floats, firsts: Ints) -> Floats:
    """Chance of each place and each bin, for every candidate: candidates x places x bins."""
    count = int(np.clip(240 // weight.size, 6, 60))
    z = np.linspace(-1.0, 1.0, count) * min(2.5 + count / 20, 4.5)
    bell = np.exp(-0.5 * z**2)
    marks = (mean.T[:, :, None] + deviation.T[:, :, None] * z).reshape(mean.shape[1], -1)
    heavier = (weight[:, None] * bell / bell.sum()).reshape(-1)
    order = np.argsort(marks, axis=1)
    reached = np.cumsum(heavier[order], axis=1)
    number = np.array([np.searchsorted(row, _SHARES) for row in reached])
    at = np.minimum(number, heavier.size - 1)
    edges = np.take_along_axis(marks, np.take_along_axis(order, at, axis=1), axis=1)
    z_edges = ((edges[:, None, :] - mean.T[:, :, None]) / deviation.T[:, :, None]).astype(np.float32)
    below = _normal_share(z_edges) * weight.astype(np.float32)[None, :, None]
    of_place = np.add.reduceat(below, firsts, axis=1).astype(float)
    share = np.add.reduceat(weight, firsts)[None, :, None]
    ends = np.broadcast_to(share, (len(of_place), share.size, 1))
    whole = np.concatenate([np.zeros_like(ends), of_place, ends], axis=2)
    return np.maximum(np.diff(whole, axis=2), 0.0)


def _normal_share(z: NDArray[np.float32]) -> NDArray[np.float32]:
    """Share of a normal distribution below z, within 3e-4: the bins need no more.

    Source: E. Page, Appl. Statist. 26 (1977) 75, from memory.
    """
    half = np.float32(0.5)
    inner = np.float32(math.sqrt(2.0 / math.pi)) * z * (1 + np.float32(0.044715) * z * z)
    return np.asarray(half + half * np.tanh(inner))
