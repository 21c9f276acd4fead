"""The whole choice: least sizes, exact search on bound currents, the true network, trim, then the fuses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import ReasonKind
from groundstrap.assess.drops import ChoiceDrops, drop_cases, drops_for_rows
from groundstrap.assess.limits import drop_limit, is_charging, is_feeder
from groundstrap.assess.regions import guards
from groundstrap.assess.wiring import Case, Wiring, size_rows, wire_up
from groundstrap.design.bound import drop_items, drop_limits
from groundstrap.design.fuses import choose_fuses
from groundstrap.design.local import Least, Local, least_sizes
from groundstrap.design.results import Binding, Design, Unsolved
from groundstrap.design.search import Item, Limit, least_cost
from groundstrap.design.shelf import Shelf, open_circuits, shelf_of
from groundstrap.design.trim import TrimItem, trim
from groundstrap.model import Installation, LoadEstimate, Wire
from groundstrap.solve import solve_rows

__all__ = ["choose"]

_MOST_LOOP_CHOICES = 2000
"""Sizes of circuits that close loops are tried together as one batch up to so many rows."""

Choices = Mapping[str, NDArray[np.intp]]


def choose(installation: Installation, estimates: Mapping[str, LoadEstimate]) -> Design:
    """Return the least copper (least price where the stock has prices) that meets everything."""
    task = _Task.of(installation, estimates)
    least = least_sizes(task.local)
    least, charging_lost = _charging_least(task, least)
    picked, lost, body = _search(task, least)
    least = replace(least, index={n: k for n, k in least.index.items() if n in picked})
    judge = _Judge(task, least, body)
    start = judge.repair(picked)
    index = _loops(task, least, judge, trim(task.trim_items(least), start, judge.passes))
    sizes = {wire.name: task.shelf.sizes[k] for name, k in index.items() for wire in task.open_wires[name]}
    sized = installation.with_choices(sizes, {})
    fuses = choose_fuses(wire_up(sized, estimates))
    ratings = {name: (choice.rating_a, choice.family) for name, choice in fuses.items()}
    return Design(
        installation=sized.with_choices({}, ratings),
        sizes=sizes,
        fuses=fuses,
        bindings={name: judge.binding(index, name) for name in index},
        unsolved=(*least.unsolved, *charging_lost, *lost),
        copper_cm3=_copper_cm3(task, index),
        price=_price(task, index) if task.shelf.priced else None,
        lifted=tuple(name for name in sorted(index) if index[name] > least.index[name]),
    )


@dataclass(frozen=True, slots=True)
class _Task:
    """What stays the same through a choice."""

    wiring: Wiring
    shelf: Shelf
    open_wires: Mapping[str, tuple[Wire, ...]]
    local: Local

    @classmethod
    def of(cls, installation: Installation, estimates: Mapping[str, LoadEstimate]) -> _Task:
        wiring = wire_up(installation, estimates)
        shelf, wires = shelf_of(installation), open_circuits(installation)
        found = guards(wiring.topology, wiring.tree)
        return cls(wiring, shelf, wires, Local(wiring, shelf, wires, found))

    def trim_items(self, least: Least) -> tuple[TrimItem, ...]:
        return tuple(
            TrimItem(
                name=name,
                least=first,
                length_m=sum(wire.length_m for wire in self.open_wires[name]),
                cost=tuple(self.shelf.cost(self.open_wires[name], size) for size in self.shelf.sizes),
            )
            for name, first in sorted(least.index.items())
        )


def _charging_least(task: _Task, least: Least) -> tuple[Least, tuple[Unsolved, ...]]:
    """A charging run's drop is its own affair: its limit raises its least size."""
    installation = task.wiring.installation
    index, bindings, lost = dict(least.index), dict(least.bindings), []
    for name in least.index:
        circuit = installation.circuits[name]
        if not is_charging(installation, circuit):
            continue
        items = drop_items(task.wiring, task.shelf, task.open_wires, {name: least.index[name]})
        limits = [x for x in drop_limits(task.wiring, task.open_wires, {name: 0}, "typical") if x.items]
        budget_v = min(
            (x.budget_v for x in limits),
            default=drop_limit(installation, circuit, installation.system_v).limit_v,
        )
        for option in items[0].options:
            if option.drop_v <= budget_v * (1 + 1e-9):
                index[name] = option.index
                break
            bindings[name] = Binding(
                kind=ReasonKind.DROP,
                smaller=task.shelf.sizes[option.index],
                where=name,
                value=option.drop_v,
                limit=budget_v,
            )
        else:
            del index[name]
            lost.append(Unsolved(circuit=name, kind=ReasonKind.DROP, where=name, limit=budget_v))
    return Least(index, bindings, least.unsolved), tuple(lost)


def _search(task: _Task, least: Least) -> tuple[Mapping[str, int], tuple[Unsolved, ...], str]:
    """Sizes by the exact search; limits that no size meets are told and left out.

    The body counts at its high end; where nothing meets that, at its typical one (verdict then unknown).
    """
    items = drop_items(task.wiring, task.shelf, task.open_wires, least.index)
    for body in ("high", "typical"):
        limits = drop_limits(task.wiring, task.open_wires, least.index, body)
        picked = least_cost(items, limits)
        if picked is not None:
            return picked, (), body
    limits = drop_limits(task.wiring, task.open_wires, least.index, "typical")
    lost: dict[str, Unsolved] = {}
    while (hopeless := _hopeless(items, limits)) is not None:
        limits.remove(hopeless)
        culprit = _owner(task, hopeless)
        lost[culprit] = Unsolved(
            circuit=culprit, kind=ReasonKind.DROP, where=hopeless.name, limit=hopeless.budget_v
        )
    picked = least_cost(items, limits) or {}
    return {n: k for n, k in picked.items() if n not in lost}, tuple(lost.values()), "typical"


def _hopeless(items: Sequence[Item], limits: Sequence[Limit]) -> Limit | None:
    """A limit that even the thickest of everything does not meet."""
    least_v = {item.name: min((o.drop_v for o in item.options), default=float("inf")) for item in items}
    for limit in limits:
        if sum(least_v[name] for name in limit.items) > limit.budget_v + 1e-12:
            return limit
    return None


def _owner(task: _Task, limit: Limit) -> str:
    """The circuit that a limit is told of: the one with fewest loads behind it."""
    circuits = task.wiring.tree.circuits
    return min(limit.items, key=lambda name: (len(circuits[name].draws), name))


class _Judge:
    """The true network as the judge of rows of choices."""

    def __init__(self, task: _Task, least: Least, body: str) -> None:
        """Take the drop's cases with the body at the end that was asked for."""
        self.task, self.least = task, least
        self.cases = [case for case in drop_cases(task.wiring) if case.body == body]
        self.circuits = _limited(task.wiring)

    def drops(self, rows: Choices) -> list[ChoiceDrops]:
        """Drops of every case."""
        return [self._case(case, rows) for case in self.cases]

    def _case(self, case: Case, rows: Choices) -> ChoiceDrops:
        wiring = self.task.wiring
        count = len(next(iter(rows.values()))) if rows else 1
        values = size_rows(wiring, case, rows, self.task.shelf.sizes)
        solved = solve_rows(wiring.network, values, rows=count)
        return drops_for_rows(wiring, case, solved, self.circuits)

    def passes(self, rows: Choices) -> NDArray[np.bool_]:
        """Rows in which every circuit keeps its limit in every case."""
        good = [found.passes for found in self.drops(rows)]
        return np.asarray(np.logical_and.reduce(good), dtype=np.bool_)

    def repair(self, picked: Mapping[str, int]) -> Mapping[str, int]:
        """Raise sizes until the true network passes; on trees it does from the start.

        What even the thickest wire can't mend (a written wire that drops too much) is no reason to raise
        others: such circuits are left out of the judgement.
        """
        index = dict(picked)
        top = len(self.task.shelf.sizes) - 1
        thickest = {name: np.array([top], dtype=np.intp) for name in index}
        spoiled = {
            name
            for found in self.drops(thickest)
            for name, drop_v, limit_v in zip(found.circuits, found.drop_v[:, 0], found.limit_v, strict=True)
            if not drop_v <= limit_v * (1 + 1e-9)
        }
        self.circuits = tuple(name for name in self.circuits if name not in spoiled)
        while (
            self.circuits and not self.passes({n: np.array([k], dtype=np.intp) for n, k in index.items()})[0]
        ):
            higher = [name for name in sorted(index) if index[name] < top]
            if not higher:
                break
            index[self._best_step(index, higher)] += 1
        return index

    def _best_step(self, index: Mapping[str, int], higher: Sequence[str]) -> str:
        rows = {name: np.full(len(higher), k, dtype=np.intp) for name, k in index.items()}
        for row, name in enumerate(higher):
            rows[name][row] += 1
        over = np.zeros(len(higher))
        for found in self.drops(rows):
            over += np.maximum(found.drop_v - found.limit_v[:, None], 0.0).sum(axis=0)
        return higher[int(np.argmin(over))]

    def binding(self, index: Mapping[str, int], name: str) -> Binding:
        """What stopped the next smaller wire of one circuit."""
        if index[name] <= self.least.index[name]:
            return self.least.bindings[name]
        rows = {n: np.array([k - (n == name)], dtype=np.intp) for n, k in index.items()}
        worst: Binding | None = None
        for found in self.drops(rows):
            over = found.drop_v[:, 0] - found.limit_v
            row = int(np.argmax(over))
            if worst is None or (worst.value or 0.0) - (worst.limit or 0.0) < over[row]:
                worst = Binding(
                    kind=ReasonKind.DROP,
                    smaller=self.task.shelf.sizes[index[name] - 1],
                    where=found.circuits[row],
                    value=float(found.drop_v[row, 0]),
                    limit=float(found.limit_v[row]),
                )
        return worst or self.least.bindings[name]


def _one_row(index: Mapping[str, int]) -> Choices:
    return {name: np.array([k], dtype=np.intp) for name, k in index.items()}


def _limited(wiring: Wiring) -> tuple[str, ...]:
    """Circuits whose drop the network decides: that end at loads or converters, and feeders to blocks."""
    installation = wiring.installation
    result = []
    for name in sorted(wiring.tree.circuits):
        circuit, feeding = installation.circuits[name], wiring.tree.circuits[name]
        known = all(wiring.currents.draws[d].known for d in feeding.draws if d in wiring.currents.draws)
        ends = bool(circuit.loads) or circuit.converter is not None
        if known and feeding.draws and (ends or is_feeder(installation, circuit)):
            result.append(name)
    return tuple(result)


def _loops(task: _Task, least: Least, judge: _Judge, index: Mapping[str, int]) -> Mapping[str, int]:
    """Circuits that close loops share current by size: try all their sizes as one batch, then trim."""
    names = [n for n in sorted(index) if task.wiring.tree.circuits[n].in_loop]
    ranges = [range(least.index[n], len(task.shelf.sizes)) for n in names]
    count = int(np.prod([len(r) for r in ranges])) if names else 0
    if not 1 < count <= _MOST_LOOP_CHOICES:
        return index
    grid = np.array(list(product(*ranges)), dtype=np.intp)
    rows = {n: np.full(len(grid), k, dtype=np.intp) for n, k in index.items()}
    for column, name in enumerate(names):
        rows[name] = grid[:, column]
    costs = sum(
        np.array([task.shelf.cost(task.open_wires[n], task.shelf.sizes[k]) for k in rows[n]]) for n in names
    )
    good = np.flatnonzero(judge.passes(rows))
    if not good.size:
        return index
    best = good[int(np.argmin(np.asarray(costs)[good]))]
    start = {**index, **{name: int(grid[best, column]) for column, name in enumerate(names)}}
    return trim(task.trim_items(least), start, judge.passes)


def _copper_cm3(task: _Task, index: Mapping[str, int]) -> float:
    return sum(
        wire.length_m * wire.parallel * task.shelf.sizes[k].area_mm2
        for name, k in index.items()
        for wire in task.open_wires[name]
    )


def _price(task: _Task, index: Mapping[str, int]) -> float:
    return sum(task.shelf.cost(task.open_wires[name], task.shelf.sizes[k]) for name, k in index.items())
