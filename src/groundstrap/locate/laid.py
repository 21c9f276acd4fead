"""Every fault at every size, and every spread of sound vehicles, solved as rows in each case of interest."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.topology import Piece, PieceKind, Topology
from groundstrap.assess.wiring import Case, Wiring
from groundstrap.errors import CallError
from groundstrap.locate.faults import (
    UNKNOWN,
    Change,
    Fault,
    Sound,
    Spread,
    columns,
    drains_of,
    faults_of,
    sound_values,
    spreads_of,
    with_unknown,
    without_load,
)
from groundstrap.locate.figures import LEAST_A
from groundstrap.locate.probes import on_the_way
from groundstrap.locate.segments import Segment, segments_of
from groundstrap.records import dataclass
from groundstrap.solve import Network, Rows, solve_one, solve_rows

__all__ = ["Laid", "Settled", "lay", "place_of_nodes"]

Floats = NDArray[np.float64]
Values = list[tuple[float | Floats, ...]]

_MOST_KEPT: Final = 6
"""Of one wiring's: some cases and complaints, each some megabytes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """A fault that stands: what else is wrong is looked for beside it."""

    place: int
    """Number of its segment."""
    changes: tuple[Change, ...]
    """At its likeliest size."""
    larger: tuple[Change, ...]
    """At one standard deviation more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """Cases solved, rows alike in each: the sound circuit, one a spread, one a size of a fault."""

    wiring: Wiring
    cases: tuple[Case, ...]
    segments: tuple[Segment, ...]
    on_way: NDArray[np.bool_]
    """Of each piece: whether the current that is looked into flows in it."""
    faults: tuple[Fault, ...]
    spreads: tuple[Spread, ...]
    solved: tuple[Rows, ...]
    """Of each case."""

    @property
    def first_fault(self) -> int:
        """Number of the first row that holds a fault."""
        return 1 + len(self.spreads)

    def of_faults(self, table: Floats) -> Floats:
        """Return the columns of a table that belong to sizes of faults."""
        return table[..., self.first_fault :]

    def of_spreads(self, table: Floats) -> Floats:
        """Return the columns of a table that belong to spreads."""
        return table[..., 1 : self.first_fault]


def lay(
    wiring: Wiring,
    cases: tuple[Case, ...],
    load: str | None,
    *,
    flat: bool = False,
    beside: Settled | None = None,
) -> Laid:
    """Solve what may be wrong with a load's supply, or with everything that runs; the first case leads.

    `flat` looks for what draws though nothing runs; `beside` is a fault that stands already.
    """

    def found() -> Laid:
        return _laid(wiring, cases, load, flat=flat, beside=beside)

    asked = tuple((case.situation, case.running) for case in cases)
    laid: Laid = wiring.kept.lately("laid", (asked, load, flat, beside), found, most=_MOST_KEPT)
    return laid


def _laid(
    wiring: Wiring, cases: tuple[Case, ...], load: str | None, *, flat: bool, beside: Settled | None
) -> Laid:
    network, segments = with_unknown(wiring), segments_of(wiring.topology)
    stands = () if beside is None else beside.changes
    values = [_changed(sound_values(wiring, case), stands) for case in cases]
    number = None if load is None else wiring.index(load)
    sound = _sound(wiring, cases[0], values[0], number, flat=flat)
    if not sound.on_way.any():
        raise _without_current(cases[0], load)
    faults = (
        drains_of(wiring, segments, sound)
        if flat
        else faults_of(wiring, segments, sound, but=None if beside is None else beside.place)
    )
    spreads = spreads_of(wiring, frozenset().union(*(case.running for case in cases)))
    spreads = tuple(each for each in spreads if not (flat and each.name == UNKNOWN))
    if beside is not None:
        spreads = (*spreads, Spread(name=segments[beside.place].name, changes=beside.larger))
    changes = ((), *(each.changes for each in spreads), *(size for fault in faults for size in fault.sizes))
    return Laid(
        wiring=wiring,
        cases=cases,
        segments=segments,
        on_way=sound.on_way,
        faults=faults,
        spreads=spreads,
        solved=_solved(network, cases, [columns(own, changes) for own in values], len(changes)),
    )


def _changed(values: list[tuple[float, ...]], changes: tuple[Change, ...]) -> list[tuple[float, ...]]:
    """The parameters with some changes in them."""
    made = list(values)
    for change in changes:
        own = list(made[change.branch])
        own[change.parameter] = change.of(own[change.parameter])
        made[change.branch] = tuple(own)
    return made


def _sound(
    wiring: Wiring, case: Case, values: list[tuple[float, ...]], load: int | None, *, flat: bool
) -> Sound:
    """Where current flows: what a load adds, all that runs, or all that could drain though nothing runs."""
    point = solve_one(with_unknown(wiring), values)
    if not point.found:
        raise _without_point(case)
    amps, node_v = np.array(point.branch_a), np.array(point.node_v)
    if flat:
        on_way = np.array([_may_drain(piece, values[n]) for n, piece in enumerate(wiring.topology.pieces)])
    elif load is None:
        on_way = np.asarray(np.abs(amps) >= LEAST_A)
    else:
        without = solve_one(with_unknown(wiring), _changed(values, (without_load(wiring, load),)))
        if not without.found:
            raise _without_point(case)
        on_way = on_the_way(amps, np.array(without.branch_a), load)
    return Sound(values=values, node_v=node_v, amps=amps, on_way=on_way)


def _may_drain(piece: Piece, values: tuple[float, ...]) -> bool:
    """Whether a drain at rest could flow through a piece: it is closed, a load, or the battery."""
    closed = piece.conducts and not math.isinf(values[0])
    return closed or piece.kind in {PieceKind.LOAD, PieceKind.BATTERY}


def _solved(
    network: Network, cases: tuple[Case, ...], values: Sequence[Values], rows: int
) -> tuple[Rows, ...]:
    """Solve each case once: where everything is looked at, the second is the first."""
    found: list[Rows] = []
    for number, case in enumerate(cases):
        first = cases.index(case)
        found.append(
            found[first] if first < number else solve_rows(network, values[number], rows=rows, plainly=True)
        )
        if not found[-1].found[0]:
            raise _without_point(case)
    return tuple(found)


def _without_point(case: Case) -> CallError:
    running = ", ".join(sorted(case.running)) or "nothing"
    return CallError(
        f"the sound circuit has no working point, {case.situation.value} with {running} running",
        wanted="a job that can feed them; see what `plan` says of it",
    )


def _without_current(case: Case, load: str | None) -> CallError:
    """Where nothing flows every place would count as sound, whatever was read."""
    what = f"no current of {load}" if load is not None else "no current"
    return CallError(
        f"{what} is known while {case.situation.value}, so nothing can be compared",
        wanted="what it takes (its `claims` or `measured`), and when it `runs`",
    )


def place_of_nodes(topology: Topology) -> Mapping[int, str]:
    """Return the place that each node lies at, as far as something of a place ends there."""
    installation = topology.installation
    found: dict[int, str] = {}
    ends = [(each.plus, each.minus, each.place) for each in installation.loads.values()]
    ends += [(each.plus, each.minus, each.place) for each in installation.supplies.values()]
    ends += [(part.start, part.end, part.place) for part in installation.parts()]
    for start, end, place in ends:
        for point in (start, end):
            if point in topology.node_of:
                found.setdefault(topology.node(point), place)
    for gear in installation.gear.values():
        if gear.name in topology.node_of:
            found.setdefault(topology.node(gear.name), gear.place)
    for point in installation.chassis_points:
        if " at " in point:
            found.setdefault(topology.node(point), point.partition(" at ")[2])
    return found
