"""The relaxed and the whole answer over patterns of cutting, by HiGHS.

Prices of the relaxed answer say what a piece of each length is worth; the pattern that is worth most beyond
its reel is found by a knapsack over whole lengths.
"""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from typing import TYPE_CHECKING, Final

import numpy as np
import numpy.typing as npt

from groundstrap.records import dataclass

if TYPE_CHECKING:
    from types import ModuleType

    import highspy

__all__ = ["Pattern", "Relaxed", "Task", "Whole", "generated", "listed", "whole"]

_PRICINGS: Final = 20_000
"""Lengths that are looked at for new patterns, over all rounds."""
_WORK: Final = 40_000
"""Nodes of the search for whole numbers, times its columns: a count and no time, so that a slow machine gives
the same answer."""
_STEPS: Final = 200_000
_PATTERNS: Final = 20_000
"""Steps of the listing, and patterns in it, before it gives up."""
_PRICED: Final = 1e-7
"""Beyond its reel by this share a pattern is worth no more: as exact as the solver's prices are. [1]"""

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Task:
    """Lengths of pieces, the longest first, how many of each, and the reels that there are."""

    lengths: tuple[int, ...]
    wanted: tuple[int, ...]
    reels: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Pattern:
    """How many pieces of each length one reel gives."""

    reel: int
    counts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Relaxed:
    """The answer where a part of a reel may be bought: a bound for every other."""

    total: float
    prices: tuple[float, ...]
    """What a piece of each length is worth. [cm]"""
    patterns: tuple[Pattern, ...]
    """Those that were found on the way."""
    complete: bool
    """Whether no pattern is missing that could lower it."""


@dataclass(frozen=True, slots=True)
class Whole:
    """Whole reels, each with its pattern; `optimal` over the patterns that were to choose from."""

    patterns: tuple[Pattern, ...]
    total: int
    optimal: bool


@contextmanager
def _without_banner() -> Iterator[None]:
    """HiGHS writes its name to the process's standard output when it is made; that belongs to the answer."""
    sys.stdout.flush()
    try:
        kept = os.dup(1)
    except OSError:
        # Nothing is open there, so nothing is written either.
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


@cache
def _highs() -> ModuleType:
    """HiGHS takes as long to load as a small pack to make, and few jobs have need of it."""
    return importlib.import_module("highspy")


def _solver() -> highspy.Highs:
    with _without_banner():
        solver: highspy.Highs = _highs().Highs()
        solver.silent()
    for option, value in (("threads", 1), ("random_seed", 0), ("mip_rel_gap", 0.0)):
        solver.setOptionValue(option, value)
    return solver


def _started(task: Task) -> highspy.Highs:
    """A solver that knows how many pieces are wanted, and no pattern."""
    solver = _solver()
    for count in task.wanted:
        solver.addRow(float(count), _highs().kHighsInf, 0, np.array([], dtype=np.int32), np.array([]))
    return solver


def _add(solver: highspy.Highs, pattern: Pattern, cost: float) -> None:
    used = [place for place, count in enumerate(pattern.counts) if count]
    values = np.array([float(pattern.counts[place]) for place in used])
    solver.addCol(cost, 0.0, _highs().kHighsInf, len(used), np.array(used, dtype=np.int32), values)


def generated(task: Task) -> Relaxed:
    """Return the relaxed answer over all patterns there are, found one after the other."""
    patterns = list(_first(task))
    solver = _started(task)
    for pattern in patterns:
        _add(solver, pattern, float(pattern.reel))
    complete = False
    for _ in range(max(1, _PRICINGS // len(task.lengths))):
        solver.run()
        prices = tuple(max(0.0, float(price)) for price in solver.getSolution().row_dual)
        new = [pattern for pattern in _worthy(task, prices) if pattern not in patterns]
        complete = not new
        if complete:
            break
        for pattern in new:
            patterns.append(pattern)
            _add(solver, pattern, float(pattern.reel))
    total = sum(price * count for price, count in zip(prices, task.wanted, strict=True))
    # The prices are scaled so that no pattern is worth more than its reel: then their sum is a bound.
    worst = max((_best(task, prices).worth(reel) / reel for reel in task.reels), default=1.0)
    scale = 1.0 / max(1.0, worst)
    return Relaxed(total * scale, tuple(price * scale for price in prices), tuple(patterns), complete)


def _first(task: Task) -> Iterator[Pattern]:
    """Each length alone on each reel that takes it."""
    for place, (length, wanted) in enumerate(zip(task.lengths, task.wanted, strict=True)):
        for reel in task.reels:
            if reel >= length:
                count = min(wanted, reel // length)
                yield Pattern(reel, tuple(count if n == place else 0 for n in range(len(task.lengths))))


@dataclass(frozen=True, slots=True)
class _Best:
    """Most that pieces within a length are worth, for every length up to the longest reel."""

    values: Floats
    taken: npt.NDArray[np.bool_]
    copies: tuple[tuple[int, int], ...]
    """Length's place and how many pieces of it each line of `taken` stands for."""

    def worth(self, reel: int) -> float:
        """What the best pattern of a reel is worth."""
        return float(self.values[reel])


def _best(task: Task, prices: Sequence[float]) -> _Best:
    """Knapsack with so many of each length, in packets of 1, 2, 4 and so on."""
    room = task.reels[-1]
    values = np.zeros(room + 1)
    copies = tuple(_packets(task, prices))
    taken = np.zeros((len(copies), room + 1), dtype=np.bool_)
    for line, (place, count) in enumerate(copies):
        weight = task.lengths[place] * count
        tried = values[: room + 1 - weight] + prices[place] * count
        better = tried > values[weight:] + 1e-12
        taken[line, weight:] = better
        values[weight:] = np.where(better, tried, values[weight:])
    return _Best(values, taken, copies)


def _packets(task: Task, prices: Sequence[float]) -> Iterator[tuple[int, int]]:
    room = task.reels[-1]
    for place, (length, wanted) in enumerate(zip(task.lengths, task.wanted, strict=True)):
        left = min(wanted, room // length) if prices[place] > 0.0 else 0
        packet = 1
        while left:
            yield place, min(packet, left)
            left -= min(packet, left)
            packet *= 2


def _worthy(task: Task, prices: Sequence[float]) -> Iterator[Pattern]:
    """The best pattern of each reel, where it is worth more than the reel."""
    best = _best(task, prices)
    for reel in task.reels:
        if best.worth(reel) <= reel * (1 + _PRICED):
            continue
        counts, room = [0] * len(task.lengths), reel
        for line in range(len(best.copies) - 1, -1, -1):
            if best.taken[line, room]:
                place, count = best.copies[line]
                counts[place] += count
                room -= task.lengths[place] * count
        yield Pattern(reel, tuple(counts))


def whole(task: Task, patterns: Sequence[Pattern]) -> Whole | None:
    """Return the best answer in whole reels over some patterns; of equal ones that with the fewest reels.

    None where none was found before the search gave up.
    """
    solver = _started(task)
    # A reel more costs less than the least step of a total would, however many there are.
    extra = 0.5 / (sum(task.wanted) + 1)
    for pattern in patterns:
        _add(solver, pattern, pattern.reel + extra)
    for column in range(len(patterns)):
        solver.changeColIntegrality(column, _highs().HighsVarType.kInteger)
    solver.setOptionValue("mip_abs_gap", extra / 2)
    solver.setOptionValue("mip_max_nodes", max(1, _WORK // len(patterns)))
    solver.run()
    solution = solver.getSolution()
    if not solution.value_valid:
        return None
    times = [round(value) for value in solution.col_value]
    chosen = tuple(pattern for pattern, count in zip(patterns, times, strict=True) for _ in range(count))
    optimal = solver.getModelStatus() == _highs().HighsModelStatus.kOptimal
    return Whole(chosen, sum(pattern.reel for pattern in chosen), optimal)


def listed(task: Task, relaxed: Relaxed, most: int) -> tuple[Pattern, ...] | None:
    """Return every pattern that an answer below `most` may have; None where they are too many.

    At the relaxed prices no pattern costs less than nothing, and all of an answer together cost what lies
    between its total and the relaxed one; so one that costs more than that is in none.
    """
    room = most - relaxed.total + 1e-6
    best = _best(task, relaxed.prices).values
    found: list[Pattern] = []
    steps = 0
    for reel in task.reels:
        # Each entry: next length, room left, worth so far, counts so far.
        waiting: list[tuple[int, int, float, tuple[int, ...]]] = [(0, reel, 0.0, ())]
        while waiting:
            place, left, worth, counts = waiting.pop()
            steps += 1
            if steps > _STEPS or len(found) > _PATTERNS:
                return None
            if reel - worth - best[left] > room:
                continue
            if place == len(task.lengths):
                found.append(Pattern(reel, counts))
                continue
            length, price = task.lengths[place], relaxed.prices[place]
            for count in range(min(task.wanted[place], left // length) + 1):
                entry = (place + 1, left - count * length, worth + count * price, (*counts, count))
                waiting.append(entry)
    return tuple(found)
