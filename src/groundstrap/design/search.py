"""The least cost that meets every limit on drop, exactly: step functions merged from leaf to root.

Each item (a circuit) has options (its sizes), each with a drop and a cost. Each limit is a budget for the sum
of the drops of some items (all that stand between the source and one load, out and back). Where the sets of
limits that items stand under are nested, as on any tree of feeders, with one way back or several, the answer
comes from merging 'drop that may stand above me -> least cost'. Items that cross that order are enumerated
around it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product

from groundstrap.records import dataclass, replace

__all__ = ["Item", "Limit", "Option", "least_cost", "least_drop_v"]

ROUND_OFF_V = 1e-12


@dataclass(frozen=True, slots=True)
class Option:
    """One size an item may have: `index` names it to the caller."""

    index: int
    drop_v: float
    cost: float


@dataclass(frozen=True, slots=True)
class Item:
    """Something to be sized; options in rising order of index."""

    name: str
    options: tuple[Option, ...]


@dataclass(frozen=True, slots=True)
class Limit:
    """A budget for the sum of the drops of some items."""

    name: str
    budget_v: float
    items: frozenset[str]
    about: str = ""
    """The load or circuit that it is the limit of."""
    fixed_v: float = 0.0
    """What drops whatever the sizes; no longer in the budget."""
    most_v: float = float("inf")
    """The whole budget, before that was taken off."""


@dataclass(frozen=True, slots=True)
class _Step:
    """One step of a front: `slack_v` may stand above, for `cost`, with these picks."""

    slack_v: float
    cost: float
    picks: tuple[tuple[str, int], ...]


def least_cost(items: Sequence[Item], limits: Sequence[Limit]) -> Mapping[str, int] | None:
    """Return for each item the index of its option in the cheapest choice that keeps every limit, or None.

    The answer is the same for any order of items and limits.

    >>> thin_or_thick = (Option(0, 0.3, 10.0), Option(1, 0.2, 15.0))
    >>> feeder, branch = Item("feeder", thin_or_thick), Item("branch", thin_or_thick)
    >>> least_cost([feeder, branch], [Limit("lamp", 0.5, frozenset({"feeder", "branch"}))])
    {'branch': 0, 'feeder': 1}
    """
    ordered = sorted(items, key=lambda item: item.name)
    if any(not item.options for item in ordered):
        return None
    under = _supports(ordered, limits)
    crossing = _crossing(ordered, under)
    if not crossing:
        found = _nested(ordered, limits, under)
        return None if found is None else dict(sorted(found.picks))
    return _enumerate(ordered, limits, crossing)


def _supports(items: Sequence[Item], limits: Sequence[Limit]) -> dict[str, frozenset[str]]:
    return {i.name: frozenset(limit.name for limit in limits if i.name in limit.items) for i in items}


def _cross(a: frozenset[str], b: frozenset[str]) -> bool:
    return bool(a & b) and not a <= b and not b <= a


def _crossing(items: Sequence[Item], under: Mapping[str, frozenset[str]]) -> list[Item]:
    """Items to be enumerated so that the rest is nested: the one that crosses most others first."""
    left = list(items)
    taken: list[Item] = []
    while True:
        counts = {i.name: sum(_cross(under[i.name], under[j.name]) for j in left) for i in left}
        worst = max(left, key=lambda i: (counts[i.name], i.name), default=None)
        if worst is None or counts[worst.name] == 0:
            return taken
        left.remove(worst)
        taken.append(worst)


def _enumerate(
    items: Sequence[Item], limits: Sequence[Limit], crossing: Sequence[Item]
) -> Mapping[str, int] | None:
    """Try every choice of the crossing items, cheapest first, until nothing dearer can win."""
    rest = [item for item in items if item not in crossing]
    floor = sum(min(option.cost for option in item.options) for item in rest)
    choices = sorted(product(*(item.options for item in crossing)), key=lambda c: sum(o.cost for o in c))
    best: _Step | None = None
    under = _supports(rest, limits)
    for choice in choices:
        cost = sum(option.cost for option in choice)
        if best is not None and cost + floor > best.cost:
            break
        spent = {item.name: option.drop_v for item, option in zip(crossing, choice, strict=True)}
        left = [
            replace(limit, budget_v=limit.budget_v - sum(spent.get(n, 0.0) for n in limit.items))
            for limit in limits
        ]
        found = _nested(rest, left, under)
        if found is None:
            continue
        picks = (*found.picks, *((i.name, o.index) for i, o in zip(crossing, choice, strict=True)))
        step = _Step(found.slack_v, found.cost + cost, tuple(sorted(picks)))
        if best is None or (step.cost, step.picks) < (best.cost, best.picks):
            best = step
    return None if best is None else dict(best.picks)


def _nested(
    items: Sequence[Item], limits: Sequence[Limit], under: Mapping[str, frozenset[str]]
) -> _Step | None:
    """The cheapest choice where supports are nested."""
    budgets = {limit.name: limit.budget_v for limit in limits}
    supports = sorted({s for s in under.values() if s}, key=lambda s: (len(s), sorted(s)))
    members = {s: [i for i in items if under[i.name] == s] for s in supports}
    fronts: dict[frozenset[str], list[_Step]] = {}
    covered: set[frozenset[str]] = set()
    for support in supports:
        below = [s for s in fronts if s <= support and s not in covered]
        covered.update(below)
        inside: frozenset[str] = frozenset().union(*below)
        slack = min((budgets[name] for name in support - inside), default=float("inf"))
        front = [_Step(slack, 0.0, ())]
        for child in below:
            front = _side_by_side(front, fronts[child])
        for item in members[support]:
            front = _in_line(front, item)
        if not front:
            return None
        fronts[support] = front
    if any(limit.budget_v < -ROUND_OFF_V for limit in limits):
        return None
    return _total(items, under, [fronts[s] for s in supports if s not in covered])


def _total(
    items: Sequence[Item], under: Mapping[str, frozenset[str]], roots: Sequence[list[_Step]]
) -> _Step | None:
    cost, slack = 0.0, float("inf")
    picks: list[tuple[str, int]] = []
    for front in roots:
        first = front[0]  # the cheapest; its slack is not negative
        cost, slack = cost + first.cost, min(slack, first.slack_v)
        picks += first.picks
    for item in items:
        if not under[item.name]:
            option = min(item.options, key=lambda o: (o.cost, o.index))
            cost += option.cost
            picks.append((item.name, option.index))
    return _Step(slack, cost, tuple(sorted(picks)))


def _side_by_side(front: list[_Step], other: list[_Step]) -> list[_Step]:
    return _keep_best(
        [
            _Step(min(a.slack_v, b.slack_v), a.cost + b.cost, (*a.picks, *b.picks))
            for a in front
            for b in other
        ]
    )


def _in_line(front: list[_Step], item: Item) -> list[_Step]:
    return _keep_best(
        [
            _Step(step.slack_v - o.drop_v, step.cost + o.cost, (*step.picks, (item.name, o.index)))
            for step in front
            for o in item.options
            if step.slack_v - o.drop_v >= -ROUND_OFF_V
        ]
    )


def _keep_best(steps: list[_Step]) -> list[_Step]:
    """Only steps that leave more slack than every cheaper one, cheapest first."""
    kept: list[_Step] = []
    for step in sorted(steps, key=lambda step: (step.cost, -step.slack_v)):
        if not kept or step.slack_v > kept[-1].slack_v + ROUND_OFF_V:
            kept.append(step)
        elif (step.cost, step.slack_v) == (kept[-1].cost, kept[-1].slack_v):
            # Of equals the first by name, so that the order of entries changes nothing.
            kept[-1] = min(kept[-1], step, key=lambda each: sorted(each.picks))
    return kept


def least_drop_v(items: Sequence[Item], limit: Limit) -> float:
    """Return what the items of a limit lose with the thickest of everything. [V]"""
    return sum(
        min((option.drop_v for option in item.options), default=float("inf"))
        for item in items
        if item.name in limit.items
    )
