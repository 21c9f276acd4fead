"""Situations as solved: volts at every point, amps through every circuit, and how each one ends."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from groundstrap.assess.figures import STAND_IN_THICK, STAND_IN_THIN
from groundstrap.assess.positions import alternatives, applies, running_loads
from groundstrap.assess.results import Outcome, SituationAssessment
from groundstrap.assess.shape import MOST_CASES
from groundstrap.assess.topology import PieceKind, UnionFind
from groundstrap.assess.wiring import Case, Wiring, open_pieces, parameters, stand_in
from groundstrap.model import Passage, Situation
from groundstrap.records import dataclass, replace
from groundstrap.solve import CutOut, Point, Status, settle, smallest_cut, switched_off

__all__ = ["situation_case", "solve_situations"]

_NOTHING_A = 1e-6


@dataclass(frozen=True, slots=True)
class _Ending:
    outcome: Outcome
    point: Point
    without: tuple[str, ...] = ()
    culprit: str | None = None
    culprit_power_w: float | None = None
    culprit_v: float | None = None
    alternatives: tuple[frozenset[str], ...] = ()


def solve_situations(wiring: Wiring) -> Mapping[Situation, SituationAssessment]:
    """Return every situation that applies, everything on that may run in it."""
    result = {}
    for situation in Situation:
        if not applies(wiring.installation, situation):
            continue
        running = frozenset(running_loads(wiring.installation, situation))
        known = frozenset(name for name in running if wiring.currents.draws[name].known)
        case = Case(situation=situation, running=known, open=alternatives(wiring.topology)[0])
        ending = _decided(wiring, case, _solve(wiring, case))
        result[situation] = _assessment(wiring, case, ending)
    return result


def situation_case(wiring: Wiring, solved: SituationAssessment) -> Case:
    """Return the question that a situation's answer is the answer to: with the loads that end up running."""
    opened = alternatives(wiring.topology)[0]
    return Case(situation=solved.situation, running=solved.running, open=opened)


def _decided(wiring: Wiring, case: Case, ending: _Ending) -> _Ending:
    """The ending with the sizes that stand in; not solved where thin or thick ones would end otherwise."""
    stands = {
        name: wiring.currents.pieces[name].peak_a or 0.0
        for name in wiring.stand_ins
        if not case.running.isdisjoint(wiring.tree.loads_behind[name])
    }
    if not stands or ending.outcome is Outcome.UNSOLVED:
        return ending
    for a_per_mm2, least_mm2 in (STAND_IN_THIN, STAND_IN_THICK):
        sizes = {
            name: stand_in(amps / _parallel(wiring, name), a_per_mm2, least_mm2)
            for name, amps in stands.items()
        }
        other = _solve(wiring, replace(case, sizes=sizes), named=False)
        if (other.outcome, set(other.without)) != (ending.outcome, set(ending.without)):
            return replace(ending, outcome=Outcome.UNSOLVED)
    return ending


def _parallel(wiring: Wiring, name: str) -> int:
    wire = wiring.topology.pieces[wiring.index(name)].wire
    return wire.parallel if wire is not None else 1


def _rests_on(wiring: Wiring, point: Point) -> tuple[str, ...]:
    """Stand-ins that some current passes; all of them where nothing was solved."""
    if not point.found:
        return tuple(sorted(wiring.stand_ins))
    return tuple(n for n in sorted(wiring.stand_ins) if abs(point.branch_a[wiring.index(n)]) > _NOTHING_A)


def _solve(wiring: Wiring, case: Case, *, named: bool = True) -> _Ending:
    """How a case ends; where it has no working point, with the load to be named for it if that is asked."""
    values = parameters(wiring, case)
    settled = settle(wiring.network, values, _cutouts(wiring, case))
    outcome = Outcome(settled.outcome.value)
    if settled.point.found or settled.point.status is Status.UNSOLVED:
        return _Ending(
            outcome, settled.point, settled.cycling or settled.without, alternatives=settled.alternatives
        )
    left = switched_off(wiring.network, values, settled.without)
    culprit = smallest_cut(wiring.network, left, failing=True) if named else None
    if culprit is None:
        return _Ending(outcome, settled.point, settled.without)
    return _Ending(
        outcome,
        settled.point,
        settled.without,
        culprit=culprit.branch,
        culprit_power_w=culprit.power_w,
        culprit_v=culprit.at_v,
    )


def _cutouts(wiring: Wiring, case: Case) -> dict[str, CutOut]:
    """Cut-outs of the loads that have one: where the voltage they work from is written."""
    result = {}
    for name in case.running:
        load = wiring.installation.loads[name]
        if load.works is None or name not in wiring.topology.index or load.works.low <= 0.0:
            continue
        cut_v = load.works.low
        restart_v = None if load.restart_v is None else max(load.restart_v, cut_v)
        result[name] = CutOut(cut_v=cut_v, restart_v=restart_v, critical=load.critical)
    return {name: result[name] for name in wiring.installation.loads if name in result}


def _assessment(wiring: Wiring, case: Case, ending: _Ending) -> SituationAssessment:
    point = ending.point
    solved = point.found
    live = _live(wiring, case) if solved else frozenset()
    loads = [n for n in wiring.installation.loads if n in wiring.topology.index]
    amps = {name: point.branch_a[wiring.index(name)] for name in loads} if solved else {}
    volts = {name: point.branch_v[wiring.index(name)] for name in loads} if solved else {}
    return SituationAssessment(
        situation=case.situation,
        outcome=ending.outcome,
        without=ending.without,
        volts_v={name: point.node_v[node] for name, node in wiring.topology.node_of.items() if node in live},
        circuits_a=_circuits_a(wiring, point) if solved else {},
        loads_a=amps,
        loads_v=volts,
        supplies_a=_supplies_a(wiring, point) if solved else {},
        running=case.running - set(ending.without),
        culprit=ending.culprit,
        culprit_power_w=ending.culprit_power_w,
        culprit_v=ending.culprit_v,
        alternatives=ending.alternatives,
        rests_on=_rests_on(wiring, point),
    )


def _live(wiring: Wiring, case: Case) -> frozenset[int]:
    """Nodes that hang together with the reference; a point beyond an open switch has no volts of its own."""
    shut = open_pieces(wiring, case)
    kept = wiring.topology.kept
    find = partial(_hanging_together, wiring, case, shut)
    return kept.lately("live", (shut, case.running), find, most=MOST_CASES)


def _hanging_together(wiring: Wiring, case: Case, shut: frozenset[str]) -> frozenset[int]:
    sets = UnionFind(len(wiring.topology.nodes))
    for piece in wiring.topology.pieces:
        source = piece.kind in {PieceKind.BATTERY, PieceKind.MACHINE}
        loads = piece.kind is PieceKind.LOAD and piece.name in case.running
        if source or loads or (piece.conducts and piece.name not in shut):
            sets.join(piece.start, piece.end)
    return frozenset(n for n in range(len(wiring.topology.nodes)) if sets.root(n) == sets.root(0))


def _circuits_a(wiring: Wiring, point: Point) -> dict[str, float]:
    result = {}
    for name in wiring.tree.circuits:
        circuit = wiring.installation.circuits[name]
        first = next(
            (e.name for e in circuit.path if not isinstance(e, Passage) and e.name in wiring.topology.index),
            None,
        )
        if first is not None:
            result[name] = point.branch_a[wiring.index(first)]
    return result


def _supplies_a(wiring: Wiring, point: Point) -> dict[str, float]:
    result: dict[str, float] = {}
    for number, piece in enumerate(wiring.topology.pieces):
        if piece.supply is None or piece.kind not in {
            PieceKind.BATTERY,
            PieceKind.MACHINE,
            PieceKind.PANEL,
        }:
            continue
        out = -point.branch_a[number]
        if piece.supply.name not in result or piece.position == piece.supply.series:
            result[piece.supply.name] = out
    return result
