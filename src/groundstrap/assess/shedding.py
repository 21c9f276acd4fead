"""Loads to leave off where there is no working point with all of them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable

from groundstrap.assess.wiring import Case, Wiring, parameters
from groundstrap.records import replace
from groundstrap.solve import smallest_cut, solve_one

__all__ = ["to_shed"]


def to_shed(wiring: Wiring, case: Case) -> frozenset[str]:
    """Return loads of a case that has no working point, without which the rest has one.

    All of them where even nothing that runs has none.
    """
    shed: frozenset[str] = frozenset()
    while more := _next_to_shed(wiring, _without(case, shed)):
        shed |= more
        if _works(wiring, _without(case, shed)):
            break
    return shed


def _next_to_shed(wiring: Wiring, case: Case) -> frozenset[str]:
    """The load whose smallest cut brings a point back; where cutting one is not enough, the largest.

    Of those as many at once as surely go: one more of the largest left off never ends a point, so the number
    that it takes is found by halving. The last of them stays for the smallest cut to choose.
    """
    culprit = smallest_cut(wiring.network, parameters(wiring, case), failing=True)
    if culprit is not None and culprit.branch in case.running:
        return frozenset({culprit.branch})
    size_a = wiring.currents.draws
    ranked = sorted(case.running, key=lambda name: (size_a[name].drop_a, name), reverse=True)
    numbers = range(1, len(ranked))
    found = bisect_left(numbers, x=True, key=lambda n: _works(wiring, _without(case, ranked[:n])))
    return frozenset(ranked[: max(found, 1)])


def _without(case: Case, names: Iterable[str]) -> Case:
    return replace(case, running=case.running.difference(names))


def _works(wiring: Wiring, case: Case) -> bool:
    return solve_one(wiring.network, parameters(wiring, case)).found
