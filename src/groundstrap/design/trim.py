"""Take back what the bound currents asked for too much: one size down where every check still passes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Passes", "TrimItem", "trim"]

Passes = Callable[[Mapping[str, NDArray[np.intp]]], NDArray[np.bool_]]
"""Whether each row of choices (circuit -> index of its size, one a row) passes every check."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimItem:
    """A circuit that may get thinner, down to `least`; `cost` of each index from 0 on."""

    name: str
    least: int
    length_m: float
    cost: tuple[float, ...]


def trim(items: tuple[TrimItem, ...], start: Mapping[str, int], passes: Passes) -> Mapping[str, int]:
    """Return choices in which no circuit can go one size down with every check still passing.

    The one that saves most goes first; of equal savings the longest, then the first by name, so that the
    answer does not depend on the order of entries. All candidates of a round are rows of one batch.
    """
    at = dict(start)
    while True:
        lower = [item for item in items if at[item.name] > item.least]
        lower.sort(key=lambda i: (-(i.cost[at[i.name]] - i.cost[at[i.name] - 1]), -i.length_m, i.name))
        lower = [i for i in lower if i.cost[at[i.name]] >= i.cost[at[i.name] - 1]]
        if not lower:
            return at
        rows = {name: np.full(len(lower), index, dtype=np.intp) for name, index in at.items()}
        for row, item in enumerate(lower):
            rows[item.name][row] -= 1
        good = passes(rows)
        first = next((item for item, ok in zip(lower, good, strict=True) if ok), None)
        if first is None:
            return at
        at[first.name] -= 1
