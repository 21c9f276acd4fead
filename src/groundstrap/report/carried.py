"""What the fuses and cable of a load alone stand of its current, above which a reading is no good one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from groundstrap.assess import FuseAssessment
from groundstrap.assess.figures import SHORT_RUN_S
from groundstrap.model import Uncertain
from groundstrap.records import dataclass, replace
from groundstrap.report.plan import Plan

__all__ = ["Carried", "carried", "short_run_s", "within"]

_ALONE: Final = 1 + 1e-6
"""What carries more than so many times a load's own current carries others, too."""


@dataclass(frozen=True, slots=True)
class Carried:
    """The piece that stands least."""

    most_a: float
    """For hours, or for its runs. [A]"""
    name: str
    run_s: float | None
    """How long the load runs at a time, where that is short; None where it runs for hours. [s]"""


def carried(plan: Plan, load: str) -> Carried | None:
    """Return what stands least of what carries a load's current and no other; None where nobody knows any.

    Of a load that runs for ten minutes at most by its written duty only fuses count, for the cable rests in
    between; they carry then what the air of their place leaves of their rating.
    """
    assessed = plan.assessment.loads.get(load)
    if assessed is None or assessed.continuous_a is None:
        return None
    run_s = plan.installation.loads[load].duty.run_s
    short = run_s is not None and run_s <= SHORT_RUN_S
    found = _fuses(plan, assessed.circuits, assessed.continuous_a)
    pieces = [*found] if short else [*found, *_wires(plan, assessed.circuits, load)]
    least = min(pieces, default=None)
    return None if least is None else Carried(least[0], least[1], run_s if short else None)


def short_run_s(plan: Plan, fuse: FuseAssessment) -> float | None:
    """Return how long what is behind a fuse runs at a time, where all of it makes short runs only. [s]"""
    loads = [plan.installation.loads[name] for name in plan.installation.circuits[fuse.circuit].loads]
    runs_s = [load.duty.run_s for load in loads if load.duty.run_s is not None]
    if not runs_s or len(runs_s) < len(loads) or max(runs_s) > SHORT_RUN_S:
        return None
    return max(runs_s)


def within(current_a: Uncertain, found: Carried | None) -> Uncertain:
    """Return a current with no more above it than carries it, where it is within that itself."""
    if found is None or not current_a.value <= found.most_a < current_a.high:
        return current_a
    return replace(current_a, high=found.most_a)


def _fuses(plan: Plan, circuits: tuple[str, ...], own_a: float) -> Iterator[tuple[float, str]]:
    for name in circuits:
        for fuse in plan.assessment.circuits[name].fuses.values():
            alone = fuse.continuous_a is not None and fuse.continuous_a <= own_a * _ALONE
            if alone and fuse.rating_a is not None and fuse.carries_pct is not None:
                yield fuse.rating_a * fuse.carries_pct / 100.0, fuse.name


def _wires(plan: Plan, circuits: tuple[str, ...], load: str) -> Iterator[tuple[float, str]]:
    for name in circuits:
        for wire in plan.assessment.circuits[name].wires.values():
            if wire.ampacity_a is not None and wire.loads == (load,):
                yield wire.ampacity_a, wire.name
