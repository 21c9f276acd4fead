"""The highest volts that a load may see: alone, on a cold network, supplies at their high end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from groundstrap.assess.positions import runs_in
from groundstrap.assess.wiring import Case, Level, Warmth, Wiring, parameters
from groundstrap.model import Situation
from groundstrap.solve import Rows, solve_one, what_counts

__all__ = ["alone_cases", "highest_each", "highest_in_rows"]


def alone_cases(wiring: Wiring) -> tuple[Case, ...]:
    """Return one case a load."""
    return tuple(
        Case(
            situation=_situation_of(wiring, name),
            running=frozenset({name}),
            level=Level.HIGH,
            warmth=Warmth.COLD,
            joints="low",
            body="low",
        )
        for name in wiring.installation.loads
        if name in wiring.topology.index
    )


def highest_in_rows(wiring: Wiring, rows: Rows, first: int, cases: Sequence[Case]) -> Mapping[str, float]:
    """Return the volts at each load whose case was solved as a row, from the first of those rows on. [V]"""
    result = {}
    for row, case in enumerate(cases, start=first):
        (name,) = case.running
        piece = wiring.topology.pieces[wiring.index(name)]
        if rows.found[row] and wiring.currents.draws[name].source is not None:
            result[name] = float(rows.node_v[piece.start, row] - rows.node_v[piece.end, row])
    return result


def highest_each(wiring: Wiring, cases: Sequence[Case]) -> Mapping[str, float]:
    """Return the same with cases solved one by one, lately solved ones from what was kept. [V]

    Cable of loads that are off makes no difference, so that an edit there asks for no other solve.
    """
    result = {}
    for case in cases:
        (name,) = case.running
        if wiring.currents.draws[name].source is not None:
            volts = _volts(wiring, case, name)
            if volts is not None:
                result[name] = volts
    return result


def _volts(wiring: Wiring, case: Case, name: str) -> float | None:
    values, piece = tuple(parameters(wiring, case)), wiring.topology.pieces[wiring.index(name)]

    def find() -> float | None:
        point = solve_one(wiring.network, values)
        return point.node_v[piece.start] - point.node_v[piece.end] if point.found else None

    counts = what_counts(wiring.network, values)
    return wiring.topology.kept.lately(("highest volts", name), counts, find)


def _situation_of(wiring: Wiring, name: str) -> Situation:
    load = wiring.installation.loads[name]
    order = (Situation.DRIVING, Situation.IDLING, Situation.RESTING, Situation.MAINS, Situation.CRANKING)
    return next((s for s in order if runs_in(load, s)), Situation.RESTING)
