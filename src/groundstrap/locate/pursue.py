"""One fault after the other: what one place explains, what it leaves over, and what else would explain that.

Readings that no one fault explains are parted: those that the likeliest place explains stay with it, the
others are set aside. Once a place stands it is a part of the network, as large as it was found to be, and
the search goes on beside it with all readings.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from groundstrap.assess.wiring import Case, Wiring
from groundstrap.locate.belief import Belief
from groundstrap.locate.faults import Change
from groundstrap.locate.figures import FITS, SURE
from groundstrap.locate.laid import Settled
from groundstrap.locate.probes import Probe
from groundstrap.locate.search import HEALTHY_PLACE, Complaint, Search, search
from groundstrap.model import MeterSpec
from groundstrap.physics.distributions import chi_square_exceeds
from groundstrap.records import dataclass

__all__ = ["Pair", "Question", "Standing", "apart", "settled", "stand", "weigh"]

_STEPS: Final = 8
_TRIED: Final = 4
_LEAST_KEPT: Final = 2
"""Readings that must stay with the first place, where others are set aside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is asked of a wiring, and by which readings; as for `search`."""

    wiring: Wiring
    case: Case
    complaint: Complaint | None
    meter: MeterSpec | None = None
    taken: tuple[Probe, ...] = ()
    cases: tuple[Case, ...] = ()
    meters: Mapping[int, MeterSpec] | None = None

    def searched(self, beside: Settled | None = None) -> Search:
        """Return the search, beside a fault that stands if there is one."""
        return search(
            self.wiring,
            self.case,
            self.complaint,
            meter=self.meter,
            taken=self.taken,
            cases=self.cases,
            meters=self.meters,
            beside=beside,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What is known of one search after some readings."""

    looked: Search
    belief: Belief
    kept: tuple[int, ...]
    """Numbers of the readings that it rests on; the others are set aside for what else is wrong."""
    of_place: Mapping[int, float]
    p: float
    """Chance of readings that fit the likeliest story less. [1]"""

    @property
    def top(self) -> int:
        """The likeliest place, or that nothing is wrong."""
        return max(self.of_place, key=lambda place: self.of_place[place])

    @property
    def stands(self) -> bool:
        """Whether one answer is sure, and fits what it rests on."""
        return self.of_place[self.top] >= SURE and self.p >= FITS


@dataclass(frozen=True, slots=True)
class Pair:
    """Two places that are wrong at once."""

    first: Standing
    second: Standing


def weigh(
    looked: Search, taken: Sequence[int], values: Sequence[float], *, may_part: bool = True
) -> Standing:
    """Return what readings say, the fewest of them set aside that no one story explains."""
    kept = list(range(len(taken)))
    p = _p(looked, taken, values, kept)
    while may_part and p < FITS and len(kept) > max(_LEAST_KEPT, (len(taken) + 1) // 2):
        each = [[n for n in kept if n != out] for out in kept]
        fits = [_p(looked, taken, values, some) for some in each]
        best = int(np.argmax(fits))
        kept, p = each[best], fits[best]
    return _on(looked, taken, values, kept)


def _p(looked: Search, taken: Sequence[int], values: Sequence[float], kept: list[int]) -> float:
    misfit = looked.misfit([taken[n] for n in kept], [values[n] for n in kept])
    return chi_square_exceeds(misfit, len(kept)) if kept else 1.0


def _on(looked: Search, taken: Sequence[int], values: Sequence[float], kept: list[int]) -> Standing:
    belief = looked.after([taken[n] for n in kept], [values[n] for n in kept])
    p = chi_square_exceeds(belief.misfit, len(kept)) if kept else 1.0
    of_place = belief.of_places(looked.known.place)
    return Standing(looked=looked, belief=belief, kept=tuple(kept), of_place=of_place, p=p)


def stand(question: Question, first: Standing) -> Search:
    """Return the search for what is wrong beside a first place that stands."""
    return question.searched(settled(first))


def apart(question: Question, whole: Standing, values: Sequence[float]) -> Pair | None:
    """Return the two places that explain together what none does alone; None where no first one stands.

    Which readings belong to the first is tried several ways, each time without the places that were first
    before, until what is beside it explains the rest.
    """
    numbers, looked = range(len(values)), whole.looked
    best: Pair | None = None
    for _ in range(_TRIED):
        first = weigh(looked, numbers, values)
        if not first.stands or first.top == HEALTHY_PLACE:
            break
        pair = Pair(first, weigh(stand(question, first), numbers, values, may_part=False))
        best = pair if best is None or pair.second.p > best.second.p else best
        if best.second.p >= FITS:
            break
        looked = looked.without(first.top)
    return best


def settled(found: Standing) -> Settled:
    """Return the likeliest fault of the likeliest place, as large as it most likely is."""
    looked, belief = found.looked, found.belief
    here = np.flatnonzero(looked.known.place == found.top)
    best = int(here[np.argmax(belief.chance[here])])
    fault, size = looked.laid.faults[looked.fault_of[best]], int(looked.size_of[best])
    low, high = fault.sizes[size], fault.sizes[min(size + 1, len(fault.sizes) - 1)]
    # In steps, so that one reading more seldom needs all faults beside it solved anew.
    share = round(float(belief.share[best]) * _STEPS) / _STEPS
    deviation = math.hypot(math.sqrt(float(belief.share_variance[best])), 0.29 / _STEPS)
    at = _between(low, high, share)
    further = _between(low, high, share + deviation) if len(fault.sizes) > 1 else at
    return Settled(
        place=found.top,
        changes=at,
        larger=tuple(_beyond(a, b) for a, b in zip(at, further, strict=True)),
    )


def _between(low: tuple[Change, ...], high: tuple[Change, ...], share: float) -> tuple[Change, ...]:
    return tuple(_mean(a, b, share) for a, b in zip(low, high, strict=True))


def _mean(low: Change, high: Change, share: float) -> Change:
    if low == high:
        return low
    to = None if low.to is None or high.to is None else low.to + share * (high.to - low.to)
    return Change(
        low.branch,
        low.parameter,
        times=low.times + share * (high.times - low.times),
        plus=low.plus + share * (high.plus - low.plus),
        to=to,
    )


def _beyond(at: Change, further: Change) -> Change:
    """What makes the second of two sizes out of the first."""
    if at == further:
        return Change(at.branch, at.parameter)
    return Change(
        at.branch,
        at.parameter,
        times=further.times / at.times,
        plus=further.plus - at.plus * further.times / at.times,
        to=further.to,
    )
