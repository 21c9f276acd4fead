"""The exact search on bound currents, by hand and against trying everything."""

from __future__ import annotations

import random
from itertools import product

import pytest

from groundstrap.design.search import Item, Limit, Option, least_cost


def _item(name: str, *pairs: tuple[float, float]) -> Item:
    return Item(name, tuple(Option(k, drop, cost) for k, (drop, cost) in enumerate(pairs)))


def test_a_branch_alone_takes_the_first_size_within_its_limit() -> None:
    branch = _item("branch", (0.9, 1.5), (0.54, 2.5), (0.34, 4.0))
    assert least_cost([branch], [Limit("pump", 0.6, frozenset({"branch"}))]) == {"branch": 1}


def test_one_thicker_feeder_spares_five_thicker_branches() -> None:
    branches = [_item(f"branch {k}", (0.3, 3.0), (0.18, 5.0)) for k in range(5)]
    feeder = _item("feeder", (0.3, 10.0), (0.15, 16.0))
    limits = [Limit(b.name, 0.5, frozenset({b.name, "feeder"})) for b in branches]
    assert least_cost([*branches, feeder], limits) == {**{b.name: 0 for b in branches}, "feeder": 1}


def test_a_limit_on_the_feeder_itself_counts_too() -> None:
    feeder = _item("feeder", (0.3, 10.0), (0.2, 16.0))
    lamp = _item("lamp", (0.05, 1.0))
    limits = [Limit("lamp", 0.6, frozenset({"feeder", "lamp"})), Limit("block", 0.25, frozenset({"feeder"}))]
    assert least_cost([feeder, lamp], limits) == {"feeder": 1, "lamp": 0}


def test_nothing_fits_is_said() -> None:
    assert least_cost([_item("a", (0.5, 1.0))], [Limit("x", 0.4, frozenset({"a"}))]) is None


def _random_problem(seed: int, *, crossing: bool) -> tuple[list[Item], list[Limit]]:
    draw = random.Random(seed)
    feeders = [f"feeder {k}" for k in range(draw.randint(1, 2))]
    returns = [f"return {k}" for k in range(draw.randint(0, 2))] if crossing else []
    names = [*feeders, *returns]
    limits = []
    for k in range(draw.randint(2, 4)):
        chain = {draw.choice(feeders), f"branch {k}", *([draw.choice(returns)] if returns else [])}
        names.append(f"branch {k}")
        limits.append(Limit(f"load {k}", draw.uniform(0.3, 1.2), frozenset(chain)))
    items = []
    for name in names:
        area, amps = draw.uniform(0.5, 4.0), draw.uniform(0.1, 0.9)
        steps = [area * 1.6**k for k in range(4)]
        items.append(_item(name, *((amps * area / a, a * draw.uniform(0.9, 1.1)) for a in steps)))
    return items, limits


def _by_trying(items: list[Item], limits: list[Limit]) -> float | None:
    best = None
    for choice in product(*(item.options for item in items)):
        drops = {item.name: option.drop_v for item, option in zip(items, choice, strict=True)}
        if all(sum(drops[n] for n in limit.items) <= limit.budget_v + 1e-12 for limit in limits):
            cost = sum(option.cost for option in choice)
            best = cost if best is None else min(best, cost)
    return best


@pytest.mark.parametrize("crossing", [False, True])
def test_agrees_with_trying_everything(*, crossing: bool) -> None:
    for seed in range(60):
        items, limits = _random_problem(seed, crossing=crossing)
        found = least_cost(items, limits)
        best = _by_trying(items, limits)
        if found is None:
            assert best is None
            continue
        cost = sum(item.options[found[item.name]].cost for item in items)
        assert cost == pytest.approx(best, abs=1e-9), seed


def test_order_of_entries_does_not_matter() -> None:
    for seed in range(30):
        items, limits = _random_problem(seed, crossing=True)
        shuffled, other = items[::-1], limits[::-1]
        assert least_cost(items, limits) == least_cost(shuffled, other)
