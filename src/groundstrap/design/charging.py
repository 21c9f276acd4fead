"""Runs that charge: their drop is their own affair, at a current that no case of the true network holds."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess import ReasonKind
from groundstrap.assess.chargers import charging_drop, holds
from groundstrap.assess.drops import limit_of
from groundstrap.assess.limits import is_charging
from groundstrap.design.bound import drop_items, drop_limits, own_chain
from groundstrap.design.judge import Task
from groundstrap.design.local import Least
from groundstrap.design.results import Binding, Unsolved
from groundstrap.design.search import Limit
from groundstrap.design.sized import sized_alone
from groundstrap.records import dataclass, replace

__all__ = ["Charging", "charging_least", "never_met"]


@dataclass(frozen=True, slots=True)
class Charging:
    """Least sizes with those of charging runs raised to their limit, and the runs that no size helps."""

    least: Least
    lost: tuple[Unsolved, ...]


@dataclass(frozen=True, slots=True)
class _Options:
    drop_v: Mapping[int, float]
    """Index of a size -> what the run loses with it, up to the first that will do."""
    limit: Limit


def charging_least(task: Task, least: Least) -> Charging:
    """Raise the least size of every run to a battery, or into a converter that charges one, to its limit."""
    installation = task.wiring.installation
    index, bindings, lost = dict(least.index), dict(least.bindings), []
    for name in least.index:
        circuit = installation.circuits[name]
        into_charger = circuit.converter is not None and not holds(task.wiring, circuit.converter)
        if is_charging(installation, circuit):
            found = _to_battery(task, name, least.index[name])
        elif into_charger:
            found = _into_charger(task, name, least.index[name])
        else:
            continue
        limit = found.limit
        for number, drop_v in found.drop_v.items():
            if drop_v <= limit.budget_v * (1 + 1e-9):
                index[name] = number
                break
            bindings[name] = Binding(
                kind=ReasonKind.DROP,
                smaller=task.shelf.sizes[number],
                where=name,
                value=limit.fixed_v + drop_v,
                limit=limit.most_v,
            )
        else:
            del index[name]
            lost.append(never_met(task, name, min(found.drop_v.values(), default=float("inf")), limit))
    return Charging(Least(index, bindings, least.unsolved), tuple(lost))


def never_met(task: Task, culprit: str, least_v: float, limit: Limit) -> Unsolved:
    """Return a circuit whose limit no size meets: the least drop that there can be, against the limit."""
    return Unsolved(
        circuit=culprit,
        kind=ReasonKind.DROP,
        where=limit.about,
        value=limit.fixed_v + least_v,
        limit=limit.most_v,
        size=task.shelf.sizes[-1],
        chain=limit.name,
    )


def _own_limit(task: Task, name: str) -> Limit:
    limit_v = limit_of(task.wiring, task.wiring.installation.circuits[name]).limit_v
    return Limit(own_chain(name), limit_v, frozenset({name}), name, most_v=limit_v)


def _to_battery(task: Task, name: str, first: int) -> _Options:
    """Drop of a run to a battery by the index of its size, as it is judged in the end, and its limit."""
    wiring, parts = task.wiring, task.wiring.installation.circuits[name].parts
    fixed_v = sum(
        (wiring.currents.pieces[part.name].continuous_a or 0.0) * wiring.ends[part.name].typical
        for part in parts
        if part.name in wiring.ends
    )
    own = _own_limit(task, name)
    limit = replace(own, budget_v=own.budget_v - fixed_v, fixed_v=fixed_v)
    found: dict[int, float] = {}
    for number in range(first, len(task.shelf.sizes)):
        sizes = {wire.name: task.shelf.sizes[number] for wire in task.open_wires[name]}
        wiring = sized_alone(task.wiring, sizes)
        circuit = wiring.installation.circuits[name]
        if any(wiring.currents.pieces[wire.name].continuous_a is None for wire in circuit.wires):
            # What nobody knows no size can be judged by.
            return _Options({first: 0.0}, limit)
        drop_v = charging_drop(wiring, circuit, limit_of(wiring, circuit)).drop_v
        found[number] = float("inf") if drop_v is None else drop_v - fixed_v
        if found[number] <= limit.budget_v * (1 + 1e-9):
            break
    return _Options(found, limit)


def _into_charger(task: Task, name: str, first: int) -> _Options:
    items = drop_items(task.hot, task.shelf, task.open_wires, {name: first})
    limits = [x for x in drop_limits(task.wiring, task.open_wires, {name: 0}, "typical") if x.items]
    tightest = min(limits, key=lambda x: x.budget_v, default=_own_limit(task, name))
    return _Options({option.index: option.drop_v for option in items[0].options}, tightest)
