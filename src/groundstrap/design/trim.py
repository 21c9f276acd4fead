"""Take back what the bound currents asked for too much: one size down where every check still passes.

Where nothing can go down alone, one size up that lets others go down by more is looked for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import combinations
from typing import NamedTuple

from groundstrap.records import dataclass

__all__ = ["Choice", "Passes", "Promising", "Swap", "TrimItem", "exchange", "trim"]

Choice = Mapping[str, int]
"""Circuit -> index of its size."""

Passes = Callable[[Sequence[Choice]], Sequence[bool]]
"""Whether each of some choices passes every check."""


class Swap(NamedTuple):
    """A circuit one size up for which others go one down."""

    up: str
    downs: tuple[str, ...]


MayPass = Callable[[Swap], bool]
"""Whether a swap from a choice may pass, as far as can be told without trying it."""

Promising = Callable[[Choice], MayPass]
"""What tells that of swaps from a choice."""

_FEW_DOWNS = 6
"""Of so many downs at most every smaller set is looked at before one is tried."""

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
    pairs = _pairs(items, at)
    if not pairs:
        return []
    wanted, may_pass = _Cheaper(items, at), promising(at)
    downs: dict[str, list[str]] = {}
    for up, (down,) in filter(may_pass, pairs):
        downs.setdefault(up, []).append(down)
    sets = [Swap(up, tuple(names)) for up, names in downs.items() if wanted.pays(Swap(up, tuple(names)))]
    tried = [swap for swap in sets if may_pass(swap)]
    good = [
        swap for swap, ok in zip(tried, passes([wanted.after(swap) for swap in tried]), strict=True) if ok
    ]
    found = [wanted.after(swap) for swap in good]
    for swap in sets:
        if swap not in good:
            found += _with_fewer(wanted, swap, passes, may_pass)
    return found


@dataclass(frozen=True, slots=True)
class _Cheaper:
    """What counts as cheaper than a choice."""

    items: tuple[TrimItem, ...]
    at: Choice

    def after(self, swap: Swap) -> Choice:
        """The choice with one up and others down."""
        downs = {down: self.at[down] - 1 for down in swap.downs}
        return {**self.at, swap.up: self.at[swap.up] + 1, **downs}

    def pays(self, swap: Swap) -> bool:
        """Whether that costs less."""
        return _total(self.items, self.after(swap)) < _total(self.items, self.at) * CHEAPER


def _with_fewer(wanted: _Cheaper, swap: Swap, passes: Passes, may_pass: MayPass) -> list[Choice]:
    """Swaps with some of the downs, of which all together do not pass: each alone, and those that can.

    Only a down that pays for the up by itself, or without which the others do, is tried alone.
    """
    up, downs = swap
    smaller = (Swap(up, some) for count in range(1, len(downs)) for some in combinations(downs, count))
    if len(downs) <= _FEW_DOWNS and not any(wanted.pays(some) and may_pass(some) for some in smaller):
        return []
    alone = {down: Swap(up, (down,)) for down in downs}
    rest = {down: Swap(up, tuple(other for other in downs if other != down)) for down in downs}
    asked = [down for down in downs if wanted.pays(alone[down]) or wanted.pays(rest[down])]
    tried = passes([wanted.after(alone[down]) for down in asked])
    good = {down for down, passing in zip(asked, tried, strict=True) if passing}
    found = [wanted.after(alone[down]) for down in asked if down in good and wanted.pays(alone[down])]
    left = Swap(up, tuple(down for down in downs if down in good or down not in asked))
    if 1 < len(left.downs) < len(downs) and wanted.pays(left):
        fewer = wanted.after(left)
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
            pairs += [Swap(up.name, (name,)) for name in near]
    return pairs
