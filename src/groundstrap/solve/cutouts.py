"""Loads that open below a voltage and come back above another: what the network settles to.

This is a layer above the solver and never part of it. Everything that is switched on starts on; while a load
stands below its cut-out, or there is no working point, exactly one opens. Where an opened load would then see
enough to come back, the network never settles: it cycles, which is the complaint that is heard in the field.
"""

import itertools
from collections.abc import Iterable, Mapping
from enum import StrEnum
from typing import Final

import numpy as np

from groundstrap.errors import NetworkError
from groundstrap.records import dataclass
from groundstrap.solve.loadability import smallest_cut
from groundstrap.solve.network import Array, Branch, Law, Network, Parameters
from groundstrap.solve.results import Point, Status
from groundstrap.solve.run import solve_one, solve_rows

#: With more such loads the other sets of running loads are not looked for.
MOST_ENUMERATED: Final = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class CutOut:
    """When a load opens and when it comes back (``restart_v`` None: not by itself).

    Loads that are not critical open before critical ones, then those of lower ``priority`` before higher.
    """

    cut_v: float
    restart_v: float | None = None
    critical: bool = False
    priority: int = 0


class Outcome(StrEnum):
    """How it ends; the list is closed. The last one says that the tool could not tell."""

    WORKS = "works"
    WORKS_WITHOUT = "works without"
    CYCLES = "cycles"
    NO_WORKING_POINT = "no working point"
    DOES_NOT_START_COLD = "does not start cold"
    TOO_HOT = "too hot to settle"
    UNSOLVED = "unsolved"


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """What the network settles to.

    ``without`` are the loads that opened, in that order, and ``cycling`` those of them that would come back;
    ``point`` is the working point with them open. ``alternatives`` are other sets of running loads that would
    hold as well, each as large as can be; ``enumerated`` says whether they were looked for.
    """

    outcome: Outcome
    without: tuple[str, ...]
    cycling: tuple[str, ...]
    point: Point
    alternatives: tuple[frozenset[str], ...]
    enumerated: bool


def settle(
    network: Network, parameters: Parameters, cutouts: Mapping[str, CutOut], *, heat: bool = True
) -> Settled:
    """Return what a network with cut-outs settles to; the cut-outs are by the names of their branches."""
    _check(network, cutouts)
    opened: list[str] = []
    while True:
        values = switched_off(network, parameters, opened)
        point = solve_one(network, values, heat=heat)
        running = {name: one for name, one in cutouts.items() if name not in opened}
        opens = _next_to_open(network, values, point, running, heat=heat)
        if opens is None:
            break
        opened.append(opens)
    if not point.found:
        return _settled(Outcome(point.status.value), opened, point)
    if not opened:
        return _settled(Outcome.WORKS, opened, point, enumerated=True)
    cycling = [name for name in opened if _comes_back(network, point, name, cutouts[name])]
    outcome = Outcome.CYCLES if cycling else Outcome.WORKS_WITHOUT
    enumerated = len(cutouts) <= MOST_ENUMERATED
    others = _maximal_sets(network, parameters, cutouts, heat=heat) if enumerated else []
    here = frozenset(cutouts) - frozenset(opened)
    return Settled(
        outcome=outcome,
        without=tuple(opened),
        cycling=tuple(cycling),
        point=point,
        alternatives=tuple(running for running in others if running != here),
        enumerated=enumerated,
    )


def _settled(outcome: Outcome, opened: list[str], point: Point, *, enumerated: bool = False) -> Settled:
    return Settled(
        outcome=outcome,
        without=tuple(opened),
        cycling=(),
        point=point,
        alternatives=(),
        enumerated=enumerated,
    )


def _check(network: Network, cutouts: Mapping[str, CutOut]) -> None:
    for name, cutout in cutouts.items():
        network.index_of(name)
        restart_v = cutout.cut_v if cutout.restart_v is None else cutout.restart_v
        if not (cutout.cut_v > 0 and restart_v >= cutout.cut_v):
            raise NetworkError(
                f"{name!r} opens below {cutout.cut_v:g} V and comes back above {restart_v:g} V",
                wanted="a cut-out above 0 V and a restart at or above it",
                where=(name,),
            )


def switched_off(network: Network, parameters: Parameters, names: Iterable[str]) -> list[tuple[float, ...]]:
    """Return the parameters with some branches switched off."""
    chosen = set(names)
    values = [
        _off(branch, tuple(given)) if branch.name in chosen else tuple(given)
        for branch, given in zip(network.branches, parameters, strict=True)
    ]
    for branch in network.branches:
        if branch.name in chosen and branch.feeds is not None:
            values[branch.feeds] = _off(network.branches[branch.feeds], values[branch.feeds])
    return values


def _off(branch: Branch, values: tuple[float, ...]) -> tuple[float, ...]:
    """Parameters of the branch when it is switched off; a converter is switched off by its output."""
    if branch.feeds is not None:
        return values
    if branch.law in {Law.RESISTOR, Law.HEATED}:
        return (float("inf"), *values[1:])
    if branch.law is Law.BATTERY:
        return (values[0], float("inf"), float("inf"))
    if branch.law is Law.REGULATED:
        return (values[0], 0.0, values[2])
    return (0.0, *values[1:])


def _next_to_open(
    network: Network, values: Parameters, point: Point, running: Mapping[str, CutOut], *, heat: bool
) -> str | None:
    """Return the load that opens next, or None where all that run may."""
    if not point.found:
        return None if point.status is Status.UNSOLVED else _to_be_shed(network, values, running, heat=heat)
    volts = {name: point.branch_v[network.index_of(name)] for name in running}
    below = [name for name, cutout in running.items() if volts[name] < cutout.cut_v]
    if not below:
        return None
    return min(
        below,
        key=lambda name: (
            running[name].critical,
            running[name].priority,
            volts[name] / running[name].cut_v,
            network.index_of(name),
        ),
    )


def _to_be_shed(
    network: Network, values: Parameters, running: Mapping[str, CutOut], *, heat: bool
) -> str | None:
    """Without a working point: the load that needs the smallest cut, else the largest; critical ones last."""
    for critical in (False, True):
        group = frozenset(name for name, cutout in running.items() if cutout.critical is critical)
        culprit = smallest_cut(network, values, heat=heat, among=group, failing=True) if group else None
        if culprit is not None:
            return culprit.branch
    taking = {
        name: values[index][0]
        for name in running
        if network.branches[index := network.index_of(name)].law is Law.CONSTANT_POWER
        and network.branches[index].feeds is None
    }
    if not taking:
        return None
    return min(taking, key=lambda name: (running[name].critical, running[name].priority, -taking[name]))


def _comes_back(network: Network, point: Point, name: str, cutout: CutOut) -> bool:
    no_load_v = point.branch_v[network.index_of(name)]
    return cutout.restart_v is not None and no_load_v >= cutout.restart_v


def _maximal_sets(
    network: Network, parameters: Parameters, cutouts: Mapping[str, CutOut], *, heat: bool
) -> list[frozenset[str]]:
    """Solve every set of running loads as one row; return those that hold and are part of no other."""
    names = list(cutouts)
    on = np.array(list(itertools.product((True, False), repeat=len(names)))).T
    columns: list[tuple[float | Array, ...]] = [tuple(values) for values in parameters]
    off = switched_off(network, parameters, names)
    position = {name: index for index, name in enumerate(names)}
    for index, branch in enumerate(network.branches):
        by = branch.name if branch.name in position else _input_of(network, index)
        if by in position:
            is_on = on[position[by]]
            columns[index] = tuple(
                np.where(is_on, running, opened)
                for running, opened in zip(parameters[index], off[index], strict=True)
            )
    rows = solve_rows(network, columns, heat=heat, rows=on.shape[1])
    holds = rows.found
    for name, cutout in cutouts.items():
        with np.errstate(invalid="ignore"):
            holds = holds & (~on[position[name]] | (rows.branch_v[network.index_of(name)] >= cutout.cut_v))
    sets = [
        frozenset(name for name, is_on in zip(names, on[:, row], strict=True) if is_on)
        for row in np.flatnonzero(holds)
    ]
    return [one for one in sets if not any(one < other for other in sets)]


def _input_of(network: Network, output: int) -> str:
    """Return the name of the converter input that feeds a branch; empty where none does."""
    return next((branch.name for branch in network.branches if branch.feeds == output), "")
