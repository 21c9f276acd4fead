"""What a mend makes history: readings that the place could have moved while it was bad, and no others."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.wiring import Case, Wiring
from groundstrap.locate.bands import expect
from groundstrap.locate.faults import (
    Change,
    Fault,
    Sound,
    columns,
    drains_of,
    faults_of,
    sound_values,
    with_unknown,
)
from groundstrap.locate.figures import LEAST_A
from groundstrap.locate.probes import shown
from groundstrap.locate.search import LEADING
from groundstrap.locate.segments import Segment, SegmentKind, segments_of
from groundstrap.locate.taken import case_of, probe_of, taken_of
from groundstrap.model import ReadingSet
from groundstrap.solve import solve_one, solve_rows

__all__ = ["mendable", "mends_of"]

Floats = NDArray[np.float64]

_MOST_KEPT: Final = 64
"""Sets, each with a mend, of which is kept what it changes."""
_SUPPLY_V: Final = 1.0
"""By how much another battery or source may differ at 12 V: full from empty; own judgement. [V]"""


def mendable(wiring: Wiring) -> frozenset[str]:
    """Return the names of what can be mended: places, their circuits and parts, and the points at their ends.

    Parameters
    ----------
    wiring : Wiring
        The installation as it was planned.
    """
    return frozenset(
        name for each in segments_of(wiring.topology) for name in (*_names(wiring, each), *each.points)
    )


def _names(wiring: Wiring, segment: Segment) -> Iterator[str]:
    """All that a place is called by, but for its points."""
    yield segment.name
    if segment.circuit is not None:
        yield segment.circuit
    if len(segment.points) == 2:
        yield f"{segment.start} to {segment.end}"
        yield f"{segment.end} to {segment.start}"
    for number in segment.pieces:
        piece = wiring.topology.pieces[number]
        yield piece.name
        if piece.part is not None:
            yield piece.part.name
            yield from () if piece.part.gear is None else (piece.part.gear,)


def mends_of(wiring: Wiring) -> Callable[[str, ReadingSet], frozenset[int]]:
    """Return what tells which values of a set a mend makes history, by their numbers.

    Those that some fault at the mended place would move out of the band of sound work; all of them where it
    is told in words that name no place, or where nothing can be solved.

    Parameters
    ----------
    wiring : Wiring
        The installation as it was planned.
    """

    def history(what: str, taken: ReadingSet) -> frozenset[int]:
        asked = (what, taken)
        found: frozenset[int] = wiring.kept.lately(
            "mended", asked, lambda: _history(wiring, what, taken), most=_MOST_KEPT
        )
        return found

    return history


def _history(wiring: Wiring, what: str, taken: ReadingSet) -> frozenset[int]:
    every = frozenset(range(len(taken.values)))
    segments = segments_of(wiring.topology)
    places = [n for n, s in enumerate(segments) if what in s.points or what in set(_names(wiring, s))]
    if not places:
        return every
    moved = _moved(wiring, places, taken)
    return every if moved is None else moved


def _moved(wiring: Wiring, places: list[int], taken: ReadingSet) -> frozenset[int] | None:
    """Numbers of readings that a fault at one of the places moves out of their bands; None unsolved."""
    case = case_of(wiring.installation, taken)
    held = taken_of(wiring, case, (taken,))
    known = [n for n, each in enumerate(taken.values) if probe_of(wiring.topology, each, LEADING) is not None]
    if not known:
        return frozenset()
    values = sound_values(wiring, case)
    bands = expect(wiring, case, held.probes, meters=held.meters)
    point = solve_one(with_unknown(wiring), values)
    if not point.found or not bands:
        return None
    amps = np.array(point.branch_a)
    rows = [
        size
        for fault in _faults(wiring, case, values, np.array(point.node_v), amps)
        if fault.segment in places
        for size in fault.sizes
    ]
    rows += _other_supply(wiring, places)
    if not rows:
        return frozenset()
    solved = solve_rows(with_unknown(wiring), columns(values, rows), rows=len(rows))
    read = np.where(solved.found, shown(held.probes, (solved,)), np.nan)
    return frozenset(
        n for n, band, row in zip(known, bands, read, strict=True)
        if np.isnan(row).all() or not all(band.look.holds(v) for v in row[np.isfinite(row)].tolist())
    )  # fmt: skip


def _faults(
    wiring: Wiring, case: Case, values: list[tuple[float, ...]], node_v: Floats, amps: Floats
) -> tuple[Fault, ...]:
    """What may have been wrong where current flows; with everything off, what may have drawn."""
    segments = segments_of(wiring.topology)
    flowing = np.abs(amps) >= LEAST_A
    found = faults_of(wiring, segments, Sound(values=values, node_v=node_v, amps=amps, on_way=flowing))
    if case.running:
        return found
    at_rest = Sound(values=values, node_v=node_v, amps=amps, on_way=np.ones(len(amps), dtype=np.bool_))
    return (*found, *drains_of(wiring, segments, at_rest))


def _other_supply(wiring: Wiring, places: list[int]) -> list[tuple[Change, ...]]:
    """Another battery or source, whose volts were others."""
    off_v = _SUPPLY_V * wiring.installation.system_v / 12.0
    segments = segments_of(wiring.topology)
    mine = [segments[n] for n in places]
    kinds = {SegmentKind.BATTERY, SegmentKind.SUPPLY}
    return [
        (Change(each.pieces[0], 0, plus=side * off_v),)
        for each in mine
        if each.kind in kinds
        for side in (-1.0, 1.0)
    ]
