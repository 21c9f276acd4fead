"""Drops: every circuit, source to load and back, in the worst case of the question, as rows of one batch."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.alone import HighestVolts, alone_cases, highest_in_rows
from groundstrap.assess.chargers import charging_drop, holds, into_charger_drop
from groundstrap.assess.dropbase import blank_drop, certain, decided, nominal_of
from groundstrap.assess.few import FEW_ROWS, solve_each
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.limits import DropLimit, drop_limit, is_charging, is_feeder
from groundstrap.assess.positions import alternatives, applies, may_run, running_loads
from groundstrap.assess.results import DropAssessment, ElementDrop
from groundstrap.assess.shedding import to_shed
from groundstrap.assess.topology import PieceKind
from groundstrap.assess.tree import consuming
from groundstrap.assess.wiring import Case, Level, Wiring, parameters, parameters_rows
from groundstrap.model import Circuit, Part, Passage, Situation, Supply, SupplyKind, Wire
from groundstrap.records import dataclass, replace
from groundstrap.solve import Rows, Volts, solve_rows

__all__ = [
    "DropGauge",
    "DropRows",
    "assess_drop",
    "common_pieces",
    "drop_cases",
    "drop_of_load",
    "solve_drops",
]

BODY_ENDS = ("typical", "low", "high")


@dataclass(frozen=True, slots=True)
class DropRows:
    """The cases that drops are looked for in, solved; three rows a question, by the body's ends."""

    cases: tuple[Case, ...]
    rows: Rows
    shed: frozenset[str] = frozenset()
    """Loads without which the rest works: nothing holds them up, so their drop has no value."""
    highest_v: Mapping[str, float] = field(default_factory=dict)
    """Highest volts at each load: alone, on a cold network, supplies at their high end. [V]"""


def drop_cases(wiring: Wiring) -> tuple[Case, ...]:
    """Return the drop's cases: supplies held at their low end, everything on that may run, conductors hot.

    Loads that only run with the engine are looked at in that situation as solved, and held at the low end.
    """
    return at_any_length(wiring, "cases of the drop", _drop_cases)


def _drop_cases(wiring: Wiring) -> tuple[Case, ...]:
    installation = wiring.installation
    covered: set[str] = set()
    cases: list[Case] = []
    order = (Situation.RESTING, Situation.MAINS, Situation.DRIVING, Situation.IDLING, Situation.CRANKING)
    for situation in order:
        if not applies(installation, situation) and situation is not Situation.RESTING:
            continue
        wanted = set(may_run(installation, situation)) - covered
        while wanted:
            first = next(name for name in installation.loads if name in wanted)
            together = frozenset(running_loads(installation, situation, first))
            for turn in alternatives(wiring.topology):
                case = Case(situation=situation, running=together, level=Level.LOW, open=turn)
                cases += [replace(case, body=end) for end in BODY_ENDS]
            wanted -= together
            covered |= together
    if not cases:
        blank = Case(situation=Situation.RESTING, running=frozenset(), level=Level.LOW)
        cases = [replace(blank, body=end) for end in BODY_ENDS]
    return tuple(cases)


def solve_drops(wiring: Wiring) -> DropRows:
    """Solve the drop's cases of an installation, and those of the highest volts."""
    cases, alone = drop_cases(wiring), alone_cases(wiring)
    highest: Mapping[str, float]
    if len(cases) + len(alone) > FEW_ROWS:
        rows = _solve(wiring, (*cases, *alone))
        highest = highest_in_rows(wiring, rows, len(cases), alone)
    else:
        rows, highest = _solve(wiring, cases), HighestVolts(wiring, alone)
    shed: frozenset[str] = frozenset()
    while True:
        failing = next((k for k, c in enumerate(cases) if c.body == "typical" and not rows.found[k]), None)
        more = to_shed(wiring, cases[failing]) if failing is not None else frozenset()
        if not more:
            return DropRows(cases, rows, shed, highest)
        shed |= more
        cases = tuple(replace(case, running=case.running - more) for case in cases)
        rows = _solve(wiring, cases)


def _solve(wiring: Wiring, cases: Sequence[Case]) -> Rows:
    if len(cases) <= FEW_ROWS:
        return solve_each(wiring.network, [parameters(wiring, case) for case in cases])
    return solve_rows(wiring.network, parameters_rows(wiring, cases), rows=len(cases))


def _posts_of(wiring: Wiring, supply: Supply, draw: str) -> tuple[int, int]:
    """Nodes of the supply that a draw counts its drop from: of a bank, those that it spans."""
    if supply.kind is not SupplyKind.BATTERY or supply.series == 1:
        return wiring.node(supply.plus), wiring.node(supply.minus)
    pieces = [
        p
        for p in wiring.topology.pieces
        if p.kind is PieceKind.BATTERY and p.supply is supply and draw in wiring.tree.draws_of_piece[p.name]
    ]
    if not pieces:
        return wiring.node(supply.plus), wiring.node(supply.minus)
    top = max(pieces, key=lambda p: p.position)
    bottom = min(pieces, key=lambda p: p.position)
    return top.start, bottom.end


@dataclass(frozen=True, slots=True)
class _Place:
    """Where the drop of one draw is read, and in which rows."""

    draw: str
    ends: tuple[int, int, int, int]
    """Nodes of its source's plus and minus and of its own two."""
    rows: tuple[int, ...]
    """Those that it runs in with a typical body."""
    nominal_v: float

    def source_v(self, rows: Rows, row: int) -> float:
        """Volts at its source in a row. [V]"""
        plus, minus, _, _ = self.ends
        return float(rows.node_v[plus, row] - rows.node_v[minus, row])

    def load_v(self, rows: Rows, row: int) -> float:
        """Volts at itself in a row. [V]"""
        _, _, start, end = self.ends
        return float(rows.node_v[start, row] - rows.node_v[end, row])

    def drop_v(self, rows: Rows, row: int) -> float:
        """Drop out and back in a row. [V]"""
        return self.source_v(rows, row) - self.load_v(rows, row)


def _served_in(wiring: Wiring, draw: str) -> frozenset[Situation]:
    """Situations in which a source reaches a draw."""
    number = wiring.settings[0].flows.draws.index(draw)
    return frozenset(
        situation
        for setting in wiring.settings
        if setting.flows.served[number]
        for situation in setting.situations
    )


def _ends_of(wiring: Wiring, draw: str) -> tuple[int, int, int, int] | None:
    """Nodes between which a draw's drop counts: its source's plus and minus, its own two."""
    supply = wiring.installation.supplies.get(wiring.currents.draws[draw].source or "")
    if supply is None:
        return None
    piece = wiring.topology.pieces[wiring.index(draw)]
    return (*_posts_of(wiring, supply, draw), piece.start, piece.end)


def _runs(
    wiring: Wiring, cases: Sequence[Case], draw: str, circuit: Circuit | None = None
) -> NDArray[np.bool_]:
    """Cases in which a draw runs."""
    is_input = wiring.topology.pieces[wiring.index(draw)].kind is PieceKind.INPUT
    served = _served_in(wiring, draw)
    shut = frozenset() if circuit is None else frozenset(part.name for part in circuit.parts)
    return np.array(
        [
            (draw in case.running or is_input) and case.situation in served and not (case.open & shut)
            for case in cases
        ]
    )


def _place_of(wiring: Wiring, solved: DropRows, draw: str, circuit: Circuit) -> _Place | None:
    def find(bare: Wiring) -> _Place | None:
        ends, runs = _ends_of(bare, draw), _runs(bare, solved.cases, draw, circuit)
        rows = tuple(k for k, c in enumerate(solved.cases) if runs[k] and c.body == "typical")
        return None if ends is None else _Place(draw, ends, rows, nominal_of(bare, draw))

    # Of the cases only what was shed hangs on lengths.
    return at_any_length(wiring, ("place of drop", draw, circuit.name, solved.shed), find)


def limit_of(wiring: Wiring, circuit: Circuit) -> DropLimit:
    """Return what a circuit may lose, at the nominal voltage of what feeds it."""
    return at_any_length(wiring, ("limit of drop", circuit.name), lambda bare: _limit_of(bare, circuit.name))


def _limit_of(wiring: Wiring, name: str) -> DropLimit:
    circuit = wiring.installation.circuits[name]
    feeding = wiring.tree.circuits[circuit.name]
    own = _own_draws(circuit, feeding.draws)
    first = own[0] if own else (feeding.draws[0] if feeding.draws else "")
    return drop_limit(wiring.installation, circuit, nominal_of(wiring, first))


def _own_draws(circuit: Circuit, draws: Sequence[str]) -> list[str]:
    return [d for d in draws if d in circuit.loads or d == f"{circuit.converter} input"]


def assess_drop(wiring: Wiring, solved: DropRows, circuit: Circuit) -> DropAssessment:
    """Return the worst drop of one circuit."""
    own = _own_draws(circuit, wiring.tree.circuits[circuit.name].draws)
    limit = limit_of(wiring, circuit)
    if is_charging(wiring.installation, circuit):
        return charging_drop(wiring, circuit, limit)
    if circuit.converter is not None and not holds(wiring, circuit.converter):
        return into_charger_drop(wiring, circuit, limit)
    if own:
        return _of_draws(wiring, solved, circuit, own, limit)
    if is_feeder(wiring.installation, circuit):
        return _of_feeder(wiring, solved, circuit, limit)
    if circuit.drop_v is not None or circuit.drop_pct is not None:
        return _of_feeder(wiring, solved, circuit, limit)
    return replace(_of_feeder(wiring, solved, circuit, limit), limit_v=None, limit_pct=None, decided=None)


def drop_of_load(wiring: Wiring, solved: DropRows, circuit: Circuit, load: str) -> DropAssessment:
    """Return the worst drop of one of the loads that a circuit ends in."""
    return _of_draws(wiring, solved, circuit, [load], limit_of(wiring, circuit))


def _of_draws(
    wiring: Wiring, solved: DropRows, circuit: Circuit, own: Sequence[str], limit: DropLimit
) -> DropAssessment:
    blank = blank_drop(limit, wiring.tree.circuits[circuit.name].source)
    worst: DropAssessment | None = None
    for draw in own:
        if not certain(wiring, draw):
            return replace(blank, load=draw)
        place = _place_of(wiring, solved, draw, circuit)
        if place is None:
            return replace(blank, load=draw)
        found = _worst(wiring, solved, circuit, place, blank)
        if found.drop_v is None:
            return found
        if worst is None or worst.drop_v is None or found.drop_v > worst.drop_v:
            worst = found
    return worst if worst is not None else blank


def _worst(
    wiring: Wiring, solved: DropRows, circuit: Circuit, place: _Place, blank: DropAssessment
) -> DropAssessment:
    if place.draw in solved.shed:
        # No working point with it: the drop has no value, and the limit is certainly not met.
        return replace(blank, load=place.draw, decided=False)
    rows = solved.rows
    if not place.rows or not all(rows.found[k] for k in place.rows):
        return replace(blank, load=place.draw)
    row = max(place.rows, key=lambda k: place.drop_v(rows, k))
    drop_v = place.drop_v(rows, row)
    # The body's ends stand in the two rows behind each typical one.
    ends = [place.drop_v(rows, k) for k in (row, row + 1, row + 2) if rows.found[k]]
    high_v = max(ends) if len(ends) == len(BODY_ENDS) else None
    return replace(
        blank,
        drop_v=drop_v,
        drop_pct=100.0 * drop_v / place.nominal_v,
        load=place.draw,
        load_v=place.load_v(rows, row),
        source_v=place.source_v(rows, row),
        situation=solved.cases[row].situation,
        low_v=min(ends),
        high_v=high_v,
        decided=decided(min(ends), high_v, blank.limit_v),
        elements=_elements(wiring, rows, circuit, row),
    )


def _elements(wiring: Wiring, rows: Rows, circuit: Circuit, row: int) -> tuple[ElementDrop, ...]:
    result = []
    for element in circuit.path + circuit.back:
        if isinstance(element, Passage) or element.name not in wiring.topology.index:
            continue
        number = wiring.index(element.name)
        result.append(
            ElementDrop(
                name=element.name,
                start=element.start,
                end=element.end,
                drop_v=float(rows.branch_v[number, row]),
                current_a=float(rows.branch_a[number, row]),
            )
        )
    return tuple(result)


@dataclass(frozen=True, slots=True)
class _Losses:
    """Where a feeder loses volts, before whose loads, and whether all that it hangs on is known."""

    draws: tuple[str, ...]
    pieces: tuple[int, ...]
    nominal_v: float
    known: bool


def _losses_of(wiring: Wiring, name: str) -> _Losses:
    return at_any_length(wiring, ("losses of a feeder", name), lambda bare: _find_losses(bare, name))


def _find_losses(wiring: Wiring, name: str) -> _Losses:
    draws = tuple(sorted(consuming(wiring.topology, wiring.tree.circuits[name].draws)))
    if not draws or not all(certain(wiring, draw) for draw in draws):
        return _Losses(draws, (), 0.0, known=False)
    names = common_pieces(wiring, wiring.installation.circuits[name], draws)
    return _Losses(draws, tuple(map(wiring.index, names)), nominal_of(wiring, draws[0]), known=True)


def _of_feeder(wiring: Wiring, solved: DropRows, circuit: Circuit, limit: DropLimit) -> DropAssessment:
    """What every load behind it loses before and after it; of a way back or a strap, what itself loses."""
    blank, of = blank_drop(limit, wiring.tree.circuits[circuit.name].source), _losses_of(wiring, circuit.name)
    if not of.known:
        return blank
    losses = np.abs(solved.rows.branch_v[list(of.pieces)]).sum(axis=0)
    typical = [k for k, c in enumerate(solved.cases) if c.body == "typical"]
    if not solved.shed.isdisjoint(of.draws):
        return replace(blank, load=circuit.end, decided=False)
    if not all(solved.rows.found[k] for k in typical):
        return blank
    row = max(typical, key=lambda k: float(losses[k]))
    drop_v = float(losses[row])
    ends = [float(losses[k]) for k in (row, row + 1, row + 2) if solved.rows.found[k]]
    high_v = max(ends) if len(ends) == len(BODY_ENDS) else None
    return replace(
        blank,
        drop_v=drop_v,
        drop_pct=100.0 * drop_v / of.nominal_v,
        load=circuit.end,
        situation=solved.cases[row].situation,
        low_v=min(ends),
        high_v=high_v,
        decided=decided(min(ends), high_v, limit.limit_v),
        elements=_elements(wiring, solved.rows, circuit, row),
    )


def common_pieces(wiring: Wiring, circuit: Circuit, draws: Sequence[str]) -> list[str]:
    """Names of the pieces whose losses are a feeder's own: what all draws pass, up to its block and back.

    Of a circuit that is no feeder, its own pieces. A feeder's only branch is not part of the feeder.
    """
    if not is_feeder(wiring.installation, circuit):
        own: tuple[Wire | Part, ...] = (*circuit.wires, *circuit.parts)
        return [element.name for element in own if element.name in wiring.topology.index]
    every = frozenset(draws)
    branches = {c.name for c in wiring.installation.circuits.values() if c.loads or c.converter is not None}
    return [
        piece.name
        for piece in wiring.topology.pieces
        if piece.conducts and piece.circuit not in branches and every <= wiring.tree.drop_draws[piece.name]
    ]


@dataclass(frozen=True, slots=True)
class _Gauge:
    """Where the drop of one circuit is read: between posts and loads, or along its own pieces."""

    limit_v: float
    ends: tuple[tuple[int, int, int, int], ...] | None
    """Nodes of the source's plus and minus and of each load's, of a circuit that ends in loads."""
    pieces: tuple[int, ...] = ()

    def read(self, rows: Rows) -> NDArray[np.float64]:
        """Return the drop in each row. [V]"""
        if self.ends is None:
            return np.asarray(np.abs(rows.branch_v[list(self.pieces)]).sum(axis=0), dtype=np.float64)
        worst, volts = np.zeros(rows.rows), rows.node_v
        for plus, minus, start, end in self.ends:
            worst = np.maximum(worst, (volts[plus] - volts[minus]) - (volts[start] - volts[end]))
        return worst

    def read_one(self, point: Volts) -> float:
        """Return the drop at one working point. [V]"""
        if self.ends is None:
            return sum(abs(point.branch_v[piece]) for piece in self.pieces)
        worst, volts = 0.0, point.node_v
        for plus, minus, start, end in self.ends:
            worst = max(worst, (volts[plus] - volts[minus]) - (volts[start] - volts[end]))
        return worst


class DropGauge:
    """Reads the drops of some circuits in rows that differ in their sizes, all of one case."""

    def __init__(self, wiring: Wiring, case: Case, circuits: Sequence[str]) -> None:
        """Look up once where each drop is read and what it may be."""
        names = tuple(circuits)
        question = ("gauges", case.situation, case.running, case.open, names)
        self._gauges = at_any_length(wiring, question, lambda bare: _gauges(bare, case, names))
        self.limit_v = np.array([gauge.limit_v for gauge in self._gauges])

    def read(self, rows: Rows) -> NDArray[np.float64]:
        """Return the drop of each circuit, one column a row; inf without a point. [V]"""
        drops = np.array([gauge.read(rows) for gauge in self._gauges]).reshape(-1, rows.rows)
        drops[:, ~rows.found] = np.inf
        return drops

    def read_one(self, point: Volts) -> list[float]:
        """Return the drop of each circuit at one working point; inf where there is none. [V]"""
        if not point.found:
            return [np.inf] * len(self._gauges)
        return [gauge.read_one(point) for gauge in self._gauges]


def _gauges(wiring: Wiring, case: Case, circuits: Sequence[str]) -> tuple[_Gauge, ...]:
    return tuple(_gauge(wiring, case, wiring.installation.circuits[name]) for name in circuits)


def _gauge(wiring: Wiring, case: Case, circuit: Circuit) -> _Gauge:
    draws = wiring.tree.circuits[circuit.name].draws
    own = [d for d in draws if d in circuit.loads or d == f"{circuit.converter} input"]
    first = own[0] if own else (draws[0] if draws else "")
    limit_v = drop_limit(wiring.installation, circuit, nominal_of(wiring, first)).limit_v
    if own:
        ends = [_ends_of(wiring, draw) for draw in own if _runs(wiring, [case], draw, circuit)[0]]
        return _Gauge(limit_v, tuple(found for found in ends if found is not None))
    eaters = sorted(consuming(wiring.topology, draws))
    names = common_pieces(wiring, circuit, eaters) if eaters else []
    return _Gauge(limit_v, None, tuple(wiring.index(name) for name in names))
