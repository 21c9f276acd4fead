"""The highest volts that a load may see: alone, on a cold network, supplies at their high end."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from groundstrap.assess.positions import runs_in
from groundstrap.assess.wiring import Case, Level, Warmth, Wiring, parameters
from groundstrap.model import Situation
from groundstrap.solve import Rows, solve_one, what_counts

__all__ = ["HighestVolts", "alone_cases", "highest_in_rows"]


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


class HighestVolts(Mapping[str, float]):
    """Highest volts of each load, alone, each solved when somebody asks; lately solved ones are kept.

    Cable of loads that are off makes no difference, so that an edit there asks for no other solve.
    """

    def __init__(self, wiring: Wiring, cases: Sequence[Case]) -> None:
        """Solve nothing yet."""
        self._wiring, self._cases = wiring, {name: case for case in cases for name in case.running}
        self._found: dict[str, float | None] = {}

    def __getitem__(self, name: str) -> float:
        """Volts at a load; of one that has none, a KeyError. [V]"""
        if name not in self._found:
            self._found[name] = _volts(self._wiring, self._cases[name], name)
        volts = self._found[name]
        if volts is None:
            raise KeyError(name)
        return volts

    def __repr__(self) -> str:
        """All of them."""
        return repr(dict(self))

    def __iter__(self) -> Iterator[str]:
        """Go through the loads that have some."""
        return (name for name in self._cases if self.get(name) is not None)

    def __len__(self) -> int:
        """How many loads have some."""
        return sum(1 for _ in self)


def _volts(wiring: Wiring, case: Case, name: str) -> float | None:
    if wiring.currents.draws[name].source is None:
        return None
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
