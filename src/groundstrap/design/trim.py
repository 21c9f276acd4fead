"""Take back what the bound currents asked for too much: one size down where every check still passes.

Where nothing can go down alone, one size up that lets others go down by more is looked for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from groundstrap.records import dataclass

__all__ = ["Choice", "Passes", "Promising", "Swap", "TrimItem", "exchange", "trim"]

Choice = Mapping[str, int]
"""Circuit -> index of its size."""

Passes = Callable[[Sequence[Choice]], Sequence[bool]]
"""Whether each of some choices passes every check."""


class Swap(NamedTuple):
    """A circuit one size up for which another goes one down."""

    up: str
    down: str


Promising = Callable[[Choice, Sequence[Swap]], list[Swap]]
"""Those of some swaps from a choice that may pass, as far as can be told without trying them."""

CHEAPER = 1 - 1e-12
"""What counts as cheaper than before, so that sums in another order do not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimItem:
    """A circuit that may get thinner, down to `least`; `cost` of each index from 0 on."""

    name: str
    least: int
    length_m: float
    cost: tuple[float, ...]
    carries: frozenset[str] = frozenset()
    """Loads whose current passes it: only circuits that have some in common can spare each other."""


def trim(items: tuple[TrimItem, ...], start: Choice, passes: Passes) -> Choice:
    """Return choices in which no circuit can go one size down with every check still passing.

    The one that saves most goes first; of equal savings the longest, then the first by name, so that the
    answer does not depend on the order of entries.
    """
    at = dict(start)
    while True:
        lower = [item for item in items if at[item.name] > item.least]
        lower.sort(key=lambda i: (-(i.cost[at[i.name]] - i.cost[at[i.name] - 1]), -i.length_m, i.name))
        lower = [i for i in lower if i.cost[at[i.name]] >= i.cost[at[i.name] - 1]]
        if not lower:
            return at
        first = _first_down(at, [item.name for item in lower], passes)
        if first is None:
            return at
        at[first] -= 1


def _first_down(at: Choice, names: Sequence[str], passes: Passes) -> str | None:
    """The first of some circuits that can go down; tried in batches that grow, for most often it is early."""
    begin, count = 0, 1
    while begin < len(names):
        some = names[begin : begin + count]
        good = passes([{**at, name: at[name] - 1} for name in some])
        if any(good):
            return next(name for name, passing in zip(some, good, strict=True) if passing)
        begin, count = begin + count, 2 * count
    return None


def exchange(items: tuple[TrimItem, ...], start: Choice, passes: Passes, promising: Promising) -> Choice:
    """Return trimmed choices in which no single size up pays by what it lets the others go down.

    `start` is trimmed. Each up is tried with all its promising downs together, and with fewer where those
    are too many. The cheapest that passes is trimmed, and so on.
    """
    at = dict(start)
    while True:
        swaps = _swaps(items, at, passes, promising)
        if not swaps:
            return at
        at = dict(
            trim(items, min(swaps, key=lambda swap: (_total(items, swap), sorted(swap.items()))), passes)
        )


def _total(items: tuple[TrimItem, ...], at: Choice) -> float:
    return sum(item.cost[at[item.name]] for item in items)


def _swaps(items: tuple[TrimItem, ...], at: Choice, passes: Passes, promising: Promising) -> list[Choice]:
    """Cheaper choices, one size up in one place and down in others, that pass."""
    downs: dict[str, list[str]] = {}
    for up, down in promising(at, _pairs(items, at)):
        downs.setdefault(up, []).append(down)
    wanted = _Cheaper(items, at)
    downs = {up: names for up, names in downs.items() if wanted.pays(up, names)}
    together = [wanted.swapped(up, names) for up, names in downs.items()]
    found: list[Choice] = []
    for (up, names), swap, passing in zip(downs.items(), together, passes(together), strict=True):
        found += [swap] if passing else _with_fewer(wanted, up, names, passes)
    return found


@dataclass(frozen=True, slots=True)
class _Cheaper:
    """What counts as cheaper than a choice."""

    items: tuple[TrimItem, ...]
    at: Choice

    def swapped(self, up: str, downs: Sequence[str]) -> Choice:
        """The choice with one up and others down."""
        return {**self.at, up: self.at[up] + 1, **{down: self.at[down] - 1 for down in downs}}

    def pays(self, up: str, downs: Sequence[str]) -> bool:
        """Whether that costs less."""
        return _total(self.items, self.swapped(up, downs)) < _total(self.items, self.at) * CHEAPER


def _with_fewer(wanted: _Cheaper, up: str, downs: Sequence[str], passes: Passes) -> list[Choice]:
    """Swaps with some of the downs, of which all together do not pass: each alone, and those that can.

    Only a down that pays for the up by itself, or without which the others do, is tried alone.
    """
    asked = [
        down
        for down in downs
        if wanted.pays(up, [down]) or wanted.pays(up, [other for other in downs if other != down])
    ]
    alone = [wanted.swapped(up, [down]) for down in asked]
    good = {down for down, passing in zip(asked, passes(alone), strict=True) if passing}
    found = [wanted.swapped(up, [down]) for down in asked if down in good and wanted.pays(up, [down])]
    left = [down for down in downs if down in good or down not in asked]
    if 1 < len(left) < len(downs) and wanted.pays(up, left):
        fewer = wanted.swapped(up, left)
        found += [fewer] if passes([fewer])[0] else []
    return found


def _pairs(items: tuple[TrimItem, ...], at: Choice) -> list[Swap]:
    """One up and one down of circuits that share a load, where all such downs together would pay for it."""
    saved = {
        i.name: i.cost[at[i.name]] - i.cost[at[i.name] - 1]
        for i in items
        if at[i.name] > i.least and i.cost[at[i.name]] > i.cost[at[i.name] - 1]
    }
    pairs: list[Swap] = []
    for up in items:
        if at[up.name] + 1 == len(up.cost):
            continue
        near = [
            i.name for i in items if i.name in saved and i is not up and not up.carries.isdisjoint(i.carries)
        ]
        if up.cost[at[up.name] + 1] - up.cost[at[up.name]] < sum(saved[name] for name in near):
            pairs += [Swap(up.name, name) for name in near]
    return pairs
