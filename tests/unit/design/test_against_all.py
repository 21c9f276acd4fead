"""What is chosen, beside every cheaper choice there is, each solved on the true network."""

from __future__ import annotations

from statistics import mean

import pytest

from tests.unit.design.jobs import Tried, random_job, try_everything

SEEDS = range(60)


@pytest.fixture(scope="module")
def tried() -> dict[int, Tried]:
    return {seed: try_everything(random_job(seed, branches=(2, 3))) for seed in SEEDS}


def test_what_is_chosen_passes_on_the_true_network(tried: dict[int, Tried]) -> None:
    assert [seed for seed, found in tried.items() if not found.passes] == []


def test_on_trees_the_true_network_never_asks_for_more(tried: dict[int, Tried]) -> None:
    assert [seed for seed, found in tried.items() if found.raised] == []


def test_what_is_chosen_is_hardly_dearer_than_the_cheapest(tried: dict[int, Tried]) -> None:
    # The search is exact on currents that no wire changes; trim and exchange on the true network then leave
    # at most 1.006 times the least in the mean (the requirement; 1.003 over 200 seeds, the worst 1.11).
    # One step of a size is some 60 % of its copper, so that a single job may miss by more.
    ratios = [found.chosen_cost / found.cost for found in tried.values()]
    assert sum(found.rows for found in tried.values()) > 100_000
    assert mean(ratios) <= 1.006
    assert max(ratios) < 1.10
    assert sum(ratio > 1.02 for ratio in ratios) <= len(ratios) / 20
