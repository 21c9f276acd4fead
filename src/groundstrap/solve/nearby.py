"""A case, and others of the same network that begin where it ended: its loads and batteries have moved."""

from __future__ import annotations

from typing import Final

from groundstrap.records import dataclass, replace
from groundstrap.solve.case import Case, State, prepare_case, reach_case
from groundstrap.solve.network import Network, Parameters, check_one
from groundstrap.solve.results import Point
from groundstrap.solve.run import solve_one
from groundstrap.solve.scalar import (
    OUT_OF_THE_ORDINARY,
    Stand,
    fed_case,
    point_at,
    stand_from,
    stand_plainly,
    stands_alone,
)
from groundstrap.solve.topology import compile_topology

_SAME_V: Final = 1e-6
"""Volts by which two ways to the same point may differ; own judgement, far above what either leaves. [V]"""

__all__ = ["Nearby", "begin_nearby"]


@dataclass(frozen=True, slots=True, eq=False)
class Nearby:
    """One case that was solved, where others may begin."""

    network: Network
    parameters: Parameters
    point: Point
    stand: Stand | None
    """None where its answer took more than the ordinary course: then none begins there."""

    def beside(self, parameters: Parameters, *, plainly: bool = False) -> Nearby:
        """Return another case: begun here where it can end nowhere else, and else solved from nothing.

        Parameters
        ----------
        parameters : list of tuples
            Of every branch.
        plainly : bool
            Whether one without an easy answer is left unsolved.
        """
        check_one(self.network, parameters)
        found = None if self.stand is None else _beside(self.stand, parameters)
        point = None if found is None else point_at(self.network, found)
        if point is not None:
            return Nearby(self.network, list(parameters), point, found)
        return begin_nearby(self.network, parameters, plainly=plainly)

    def raised(self, battery: int, by_v: float, *, plainly: bool = False) -> Point:
        """Return the point with the EMF of one battery a little higher, for a slope.

        It stays on the branch of the case: no source and no battery may change what it does. Where one would,
        it is solved from nothing, as the case itself was.

        Parameters
        ----------
        battery : int
            Its branch.
        by_v : float
            By how much it is raised. [V]
        plainly : bool
            Whether one without an easy answer is left unsolved.
        """
        if self.stand is not None:
            found = _raised(self.stand, battery, by_v)
            point = None if found is None else point_at(self.network, found)
            if point is not None:
                return point
        emf_v, *ohms = self.parameters[battery]
        parameters = list(self.parameters)
        parameters[battery] = (emf_v + by_v, *ohms)
        return solve_one(self.network, parameters, plainly=plainly)


def begin_nearby(network: Network, parameters: Parameters, *, plainly: bool = False) -> Nearby:
    """Solve a case from nothing.

    By hand: 12 V behind 1 ohm feed 5 ohm with 2 A; with 0.6 V more it is 2.1 A, and 4 ohm take 2.4 A.

    >>> from groundstrap.solve import Branch, Law, Network
    >>> cell, lamp = Branch("cell", Law.BATTERY, 1, 0), Branch("lamp", Law.HEATED, 1, 0)
    >>> begun = begin_nearby(Network(("minus", "plus"), (cell, lamp)), [(12.0, 1.0, 1.0), (5.0, 1e-12)])
    >>> other = begun.beside([(12.0, 1.0, 1.0), (4.0, 1e-12)])
    >>> [round(each.branch_a[1], 6) for each in (begun.point, begun.raised(0, 0.6), other.point)]
    [2.0, 2.1, 2.4]
    """
    check_one(network, parameters)
    stand = stand_plainly(compile_topology(network), parameters, heat=True)
    point = None if stand is None else point_at(network, stand)
    if point is not None:
        return Nearby(network, list(parameters), point, stand)
    point = solve_one(network, parameters, plainly=plainly)
    return Nearby(network, list(parameters), point, _stand_at(parameters, point) if point.found else None)


def _stand_at(parameters: Parameters, point: Point) -> Stand | None:
    """Where the ordinary course stands at a point that took more to be found; None where it leaves it."""
    network, topology = point.network, compile_topology(point.network)
    case = prepare_case(topology, parameters)
    _switch_off(case, network, point.unfed)
    chain_a = [point.branch_a[chain.parts[0].branch] * chain.parts[0].sign for chain in topology.chains]
    signs = {part.branch: part.sign for chain in topology.chains for part in chain.parts}
    sources = topology.active_branches[topology.regulated_span]
    state = State(
        node_v=[point.node_v[node] for node in topology.kept],
        chain_a=chain_a,
        active_v=[
            point.branch_v[branch] * signs[branch] for branch in topology.active_branches[: topology.actives]
        ],
        hot_a=[chain_a[chain] for chain in topology.heated_chains],
        charging=[chain_a[cell.chain] * cell.sign > 0 for cell in topology.cells],
        off=[
            limit_a <= 0 or network.branches[branch].name in point.off
            for branch, (_, limit_a, _) in zip(sources, case.sources, strict=True)
        ],
        iterations=0,
        conductance_s=[0.0] * len(chain_a),
        ohm=case.cold_ohm,
    )
    try:
        found = stand_from(Stand(case, state), case)
    except OUT_OF_THE_ORDINARY:
        return None
    if found is None:
        return None
    moved_v = max(abs(a - b) for a, b in zip(found.state.node_v, state.node_v, strict=True))
    return found if moved_v < _SAME_V else None


def _switch_off(case: Case, network: Network, unfed: tuple[str, ...]) -> None:
    """Switch off the loads that were found starved: those without a source that have a way to one."""
    starved = [
        chain
        for chain, branch in enumerate(case.topology.active_branches)
        if network.branches[branch].name in unfed and (case.carries is None or case.carries[chain])
    ]
    if starved and case.closed is not None:
        for chain in starved:
            case.closed[chain] = False
        reach_case(case)


def _beside(stand: Stand, parameters: Parameters) -> Stand | None:
    """Where a case ends; None where it could end elsewhere, or where other branches are open than before."""
    # A source at its limit mostly stays there, and then the answer is not sure to be the only one.
    if not stands_alone(stand):
        return None
    before = stand.case
    try:
        case = fed_case(before.topology, parameters)
        if (case.closed, case.carries, case.opened) != (before.closed, before.carries, before.opened):
            return None
        found = stand_from(stand, case)
    except OUT_OF_THE_ORDINARY:
        return None
    return found if found is not None and stands_alone(found) else None


def _raised(stand: Stand, battery: int, by_v: float) -> Stand | None:
    case = stand.case
    try:
        return stand_from(stand, _with_emf(case, battery, by_v))
    except OUT_OF_THE_ORDINARY:
        return None


def _with_emf(case: Case, battery: int, by_v: float) -> Case:
    emf_v, values = case.emf_v.copy(), list(case.values)
    for number, cell in enumerate(case.topology.cells):
        if cell.branch == battery:
            emf_v[number] += by_v * cell.sign
            values[battery] = (values[battery][0] + by_v, *values[battery][1:])
    return replace(case, values=values, emf_v=emf_v)
