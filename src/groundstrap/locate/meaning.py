"""What a proposed reading would mean: what it shows where nothing is wrong, and where one place is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from groundstrap.locate.belief import Belief
from groundstrap.locate.figures import Z_95
from groundstrap.locate.results import WouldMean
from groundstrap.locate.search import HEALTHY_PLACE, Search
from groundstrap.model import Uncertain

__all__ = ["would_mean"]

_TOLD: Final = 0.01
_LIKELY: Final = 0.05
"""Chance from which a place is named whatever the reading says of it. [1]"""
_POSSIBLE: Final = 0.003
"""Chance from which a place is named that the reading tells from nothing wrong. [1]"""
_MOST: Final = 6


def would_mean(
    looked: Search, belief: Belief, of_place: Mapping[int, float], number: int
) -> tuple[WouldMean, ...]:
    """Return what a reading would show for the places that it speaks of, likeliest first.

    Before anything was read on a walk round, no place is likely: those are named that would show.
    """
    ranked = sorted((p for p in of_place if of_place[p] >= _POSSIBLE), key=lambda p: (-of_place[p], p))
    meant = {place: _of_place(looked, belief, place, number) for place in ranked}
    likely = [p for p in ranked if of_place[p] >= _LIKELY]
    sound = meant.get(HEALTHY_PLACE)
    if sound is not None:
        likely += [p for p in ranked if p not in likely and not _overlap(meant[p].shows, sound.shows)]
    named = likely[:_MOST]
    # What a sound one shows is wanted whatever its chance.
    named += [HEALTHY_PLACE] if sound is not None and HEALTHY_PLACE not in named else []
    return tuple(meant[place] for place in named)


def _overlap(one: Uncertain, other: Uncertain) -> bool:
    """Whether the middle of what one shows lies in the other's interval."""
    return other.low <= one.value <= other.high


def _of_place(looked: Search, belief: Belief, place: int, number: int) -> WouldMean:
    """From the least to the most that any size of a place's faults shows, with its own doubt on each side."""
    here = np.flatnonzero(looked.known.place == place)
    weight = belief.chance[here] / max(float(belief.chance[here].sum()), 1e-300)
    here, weight = here[weight > _TOLD], weight[weight > _TOLD]
    mean = belief.mean[here, number]
    moves = belief.way[here, number] ** 2 * belief.share_variance[here]
    spread = Z_95 * np.sqrt(belief.variance[here, number] + moves)
    middle = float((weight * mean).sum() / max(float(weight.sum()), 1e-300))
    name = None if place == HEALTHY_PLACE else looked.laid.segments[place].name
    low, high = float((mean - spread).min()), float((mean + spread).max())
    # Along a way that loses volts none are gained.
    low = max(low, 0.0) if float(mean.min()) >= 0.0 else low
    return WouldMean(place=name, shows=Uncertain(middle, low, high))
