"""All about starts in one: of loads, through fuses, at neighbours, and of motors that are blocked."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from groundstrap.assess.curves import slowest_clearing_s
from groundstrap.assess.dips import deepest_dips
from groundstrap.assess.ladders import candidates, family_at
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.results import FuseAssessment, LoadAssessment
from groundstrap.assess.selectivity import selectivity_of
from groundstrap.assess.start_results import FuseStart, StartAssessment
from groundstrap.assess.starts import fuse_starts, load_starts
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Assumption
from groundstrap.physics.fuse import slowest_opening_s
from groundstrap.tables import NotTabled, slowest_curve
from groundstrap.words import words

__all__ = ["assess_starts", "start_assumptions"]

_FITTED: Final = "regular blade"
"""What a load with a fuse of its own usually came with; common practice."""


def assess_starts(
    wiring: Wiring, fuses: Mapping[str, FuseAssessment], loads: Mapping[str, LoadAssessment]
) -> StartAssessment:
    """Return what starts do to fuses and to other loads, and how fuses in series stand to each other."""
    starts = load_starts(wiring)
    return StartAssessment(
        loads=starts,
        fuses=_through_fuses(wiring, fuses),
        series=selectivity_of(wiring, fuses),
        stall_clears_s=_stall_times(wiring, fuses),
        dips=deepest_dips(wiring, loads, starts),
    )


def _through_fuses(
    wiring: Wiring, fuses: Mapping[str, FuseAssessment]
) -> Mapping[str, tuple[FuseStart, ...]]:
    result = {}
    for name, found in fuses.items():
        part = wiring.topology.pieces[wiring.index(name)].part
        if part is not None and found.rating_a is not None:
            ladder = candidates(part.family, part.kind, wiring.installation.system_v)
            family = found.family or family_at(ladder, found.rating_a)
            result[name] = _through(wiring, name, family, found.rating_a)
    return result


def _through(wiring: Wiring, fuse: str, family: str, rating_a: float) -> tuple[FuseStart, ...]:
    def find(bare: Wiring) -> tuple[FuseStart, ...]:
        part = bare.topology.pieces[bare.index(fuse)].part
        assert part is not None
        return fuse_starts(bare, part, family, rating_a)

    return at_any_length(wiring, ("starts through", fuse, family, rating_a), find)


def _stall_times(wiring: Wiring, fuses: Mapping[str, FuseAssessment]) -> Mapping[str, float | None]:
    """Return how long the current of each blocked motor may flow at most, by the first fuse that ends it. [s]

    None where nobody knows when a fuse before it opens.
    """
    result = {}
    for name, load in wiring.installation.loads.items():
        if load.stall is None or load.stall.current_a is None or name not in wiring.topology.index:
            continue
        times = [
            _ends_s(wiring, fuse, load.stall.current_a) for fuse in fuses.values() if name in fuse.protects
        ]
        if load.fitted.fuse_a is not None:
            times.append(_fitted_ends_s(load.fitted.fuse_a, load.stall.current_a))
        known = [time_s for time_s in times if time_s is not None]
        if times:
            result[name] = min(known) if len(known) == len(times) else None
    return result


def _ends_s(wiring: Wiring, fuse: FuseAssessment, current_a: float) -> float | None:
    part = wiring.topology.pieces[wiring.index(fuse.name)].part
    if part is None or fuse.rating_a is None or fuse.family is None:
        return None
    return slowest_clearing_s(wiring, part, fuse.family, fuse.rating_a, current_a)


def _fitted_ends_s(rating_a: float, current_a: float) -> float | None:
    """By the fuse that the load came with, taken as a regular blade. [s]"""
    curve = slowest_curve(_FITTED, rating_a)
    if isinstance(curve, NotTabled):
        return None
    multiple = current_a / rating_a
    return slowest_opening_s(multiple, gate_multiples=curve.multiples, gate_most_s=curve.times_s).chord_s


def start_assumptions(found: StartAssessment) -> tuple[Assumption, ...]:
    """Return starts that nobody wrote and that decide: at the most of their kind a fuse may open."""
    deciding = {
        load
        for each in found.fuses.values()
        for start in each
        if not start.written and start.most_share is not None and start.most_share >= 1.0
        for load in start.loads
    }
    return tuple(
        Assumption(
            words("{name}: start", name=name),
            words("{times} times its current", times=f"{start.nominal.peak_a / start.nominal.running_a:.2g}"),
            words(
                "the middle of its kind, for nobody wrote `inrush`; up to {times} times as much, and a fuse "
                "may open",
                times=f"{start.most.peak_a / start.nominal.peak_a:.3g}",
            ),
        )
        for name, start in found.loads.items()
        if name in deciding and not start.written and start.most.peak_a > start.nominal.peak_a
    )
