"""Every fault at every size, and every spread of sound vehicles, solved as rows in each case of interest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.topology import Topology
from groundstrap.assess.wiring import Case, Wiring
from groundstrap.errors import CallError
from groundstrap.locate.faults import (
    Change,
    Fault,
    Spread,
    columns,
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
from groundstrap.solve import Network, Rows, solve_rows

__all__ = ["Laid", "lay", "place_of_nodes"]

Floats = NDArray[np.float64]
Values = list[tuple[float | Floats, ...]]


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


def lay(wiring: Wiring, cases: tuple[Case, ...], load: str | None) -> Laid:
    """Solve what may be wrong with a load's supply, or with everything that runs; the first case leads."""
    network, segments = with_unknown(wiring), segments_of(wiring.topology)
    values = [sound_values(wiring, case) for case in cases]
    number = None if load is None else wiring.index(load)
    first: tuple[tuple[Change, ...], ...] = ((), () if number is None else (without_load(wiring, number),))
    start = solve_rows(network, columns(values[0], first), rows=2)
    if not start.found.all():
        raise _without_point(cases[0])
    amps = np.asarray(start.branch_a[:, 0])
    flowing = np.asarray(np.abs(amps) >= LEAST_A)
    on_way = flowing if number is None else on_the_way(amps, start.branch_a[:, 1], number)
    if not on_way.any():
        raise _without_current(cases[0], load)
    faults = faults_of(wiring, segments, amps, on_way)
    spreads = spreads_of(wiring, frozenset().union(*(case.running for case in cases)))
    changes = ((), *(each.changes for each in spreads), *(size for fault in faults for size in fault.sizes))
    return Laid(
        wiring=wiring,
        cases=cases,
        segments=segments,
        on_way=on_way,
        faults=faults,
        spreads=spreads,
        solved=_solved(network, cases, [columns(own, changes) for own in values], len(changes)),
    )


def _solved(
    network: Network, cases: tuple[Case, ...], values: Sequence[Values], rows: int
) -> tuple[Rows, ...]:
    """Solve each case once: where everything is looked at, the second is the first."""
    found: list[Rows] = []
    for number, case in enumerate(cases):
        first = cases.index(case)
        found.append(found[first] if first < number else solve_rows(network, values[number], rows=rows, plainly=True))
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
