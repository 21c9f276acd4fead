"""Every single failure of a joint, strap, way back, link and relay, and what suffers from it.

All of them are rows of one batch. A failure is told only where it harms something that nothing harmed before;
a fuse counts as ending it only where its slowest curve opens in time and the network without it is at ease.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import numpy as np

from groundstrap.assess.curves import slowest_clearing_s, wire_strands
from groundstrap.assess.dropbase import nominal_of
from groundstrap.assess.failure_results import FailureAssessment, FailureKind, VictimKind
from groundstrap.assess.failure_rows import Scenario, Solved, scenarios, solve_failures
from groundstrap.assess.flows import Floats
from groundstrap.assess.parting import fed_anyway, parted_by, parts_load
from groundstrap.assess.protection import Passing, limit_passed
from groundstrap.assess.results import FuseAssessment, WireAssessment
from groundstrap.assess.topology import Piece, PieceKind
from groundstrap.assess.tree import consuming
from groundstrap.assess.wiring import Wiring
from groundstrap.model import LoadKind, PartKind, Situation
from groundstrap.records import dataclass, replace

__all__ = ["CRANKING_S", "HIGHEST_SHARE", "find_failures"]

CRANKING_S = 30.0
"""Longest time that a starter is kept on at a stretch. Own judgement; makers ask for 10 to 30 s."""

_GROWN = 1.05
"""A victim is what a failure brings more than this share of the current that it had before. Own judgement."""

HIGHEST_SHARE = 16.0 / 12.0
"""Highest volts that a load is made for where nobody wrote them, as a share of its own. Common practice: the
equalising stage of a charger."""

_LEAST_LOAD_A = 1e-9
"""Current from which on a load counts as running; below it is what the solver leaves. [A]"""

_LEAST_A, _LEAST_V = 0.5, 1.0
"""Current and volts below which nothing is told. Own judgement."""


@dataclass(frozen=True, slots=True)
class _Rated:
    """What the rest of the assessment says of cables and fuses."""

    wiring: Wiring
    wires: Mapping[str, WireAssessment]
    fuses: Mapping[str, FuseAssessment]


def find_failures(
    wiring: Wiring, wires: Mapping[str, WireAssessment], fuses: Mapping[str, FuseAssessment]
) -> tuple[FailureAssessment, ...]:
    """Return every single failure that has a victim, in the order of the network."""
    rated = _Rated(wiring, wires, fuses)
    rows = scenarios(wiring.topology)
    found = _agreed(_with_fuses(rated, rows), len({row.body for row in rows})) if rows else []
    return (*found, *_welded(rated))


def _agreed(each: list[FailureAssessment], bodies: int) -> list[FailureAssessment]:
    """Each failure once: what not every body has is not sure, and of what all have the worst counts."""
    by_key: dict[tuple[str, str, str, Situation], list[FailureAssessment]] = {}
    for one in each:
        by_key.setdefault((one.kind, one.element, one.victim, one.situation), []).append(one)
    result = []
    for same in by_key.values():
        worst = min(
            same, key=lambda one: (one.opened_by is not None, one.after_s or 0.0, -(one.current_a or 0.0))
        )
        alike = (
            len(same) == bodies
            and all(one.sure for one in same)
            and len({one.overheats for one in same}) == 1
        )
        result.append(replace(worst, sure=alike))
    return result


def _with_fuses(rated: _Rated, rows: tuple[Scenario, ...]) -> list[FailureAssessment]:
    """What suffers in each row; where fuses may end it in time, the row is solved again without them."""
    solved = solve_failures(rated.wiring, rows)
    told = [
        (column, failure)
        for column in range(len(rows))
        if solved.found[column] and _is_failure(rows[column])
        for failure in _victims(rated, solved, column)
    ]
    again: dict[tuple[int, tuple[str, ...]], int] = {}
    opening = []
    for column, failure in told:
        times = _opening(rated, solved, column, failure)
        opening.append(times)
        if times:
            again.setdefault((column, tuple(times)), len(again))
    if not again:
        return [failure for _, failure in told]
    second = [replace(rows[column], open=(*rows[column].open, *names)) for column, names in again]
    after = solve_failures(rated.wiring, tuple(second))
    result = []
    for (column, failure), times in zip(told, opening, strict=True):
        if times and _at_ease(rated, failure, after, again[column, tuple(times)]):
            last = max(times, key=lambda name: times[name])
            failure = replace(failure, opened_by=last, opened_s=times[last])  # noqa: PLW2901
        result.append(failure)
    return result


def _is_failure(row: Scenario) -> bool:
    return bool(row.open or row.closed)


def _victims(rated: _Rated, solved: Solved, column: int) -> Iterator[FailureAssessment]:
    row = solved.scenarios[column]
    start = solved.scenarios.index(Scenario(row.situation, row.body))
    if not solved.found[start]:
        return
    kind = FailureKind.CLOSED_IN_CRANKING if row.closed else FailureKind.OPENS
    blank = FailureAssessment(
        kind=kind,
        element=row.element,
        place=_place(rated.wiring, row.element),
        situation=row.situation,
        victim="",
        victim_kind=VictimKind.WIRE,
        sure=not (solved.doubted[start] or solved.doubted[column]),
        rests_on=_rests_on(rated.wiring, solved.branch_a[:, column]),
    )
    before, amps = np.abs(solved.branch_a[:, start]), np.abs(solved.branch_a[:, column])
    pieces, volts = rated.wiring.topology.pieces, solved.branch_v[:, column]
    for grown in np.flatnonzero(amps > before * _GROWN + _LEAST_A):
        piece = pieces[int(grown)]
        found = _conductor(rated, piece, blank, float(amps[grown]), float(before[grown]))
        if found is not None:
            yield found
    start_v = solved.branch_v[:, start]
    moved = (np.abs(volts - start_v) > (_GROWN - 1.0) * np.abs(start_v)) & (amps > _LEAST_LOAD_A)
    for number in np.flatnonzero(moved):
        piece = pieces[int(number)]
        if piece.kind is PieceKind.LOAD:
            found = _load(rated.wiring, piece, blank, float(start_v[number]), float(volts[number]))
            if found is not None:
                yield found


def _place(wiring: Wiring, element: str) -> str:
    piece = wiring.topology.pieces[wiring.index(element)]
    if piece.wire is not None:
        return piece.wire.circuit
    if piece.tie is not None:
        return f"{piece.tie.start} to {piece.tie.end}"
    return wiring.topology.nodes[piece.start] if piece.kind is PieceKind.BODY else piece.name


def _rests_on(wiring: Wiring, amps: Floats) -> tuple[str, ...]:
    if not wiring.stand_ins:
        return ()
    return tuple(name for name in sorted(wiring.stand_ins) if abs(amps[wiring.index(name)]) > _LEAST_A)


def _conductor(
    rated: _Rated, piece: Piece, blank: FailureAssessment, amps: float, before_a: float
) -> FailureAssessment | None:
    """The failure with this cable or contact as its victim; None where it stands what comes."""
    if piece.wire is None:
        closed = blank.kind is FailureKind.CLOSED_IN_CRANKING
        return _part(rated, piece, blank, amps, before_a) if closed else None
    limit_a = rated.wires[piece.name].ampacity_a
    if limit_a is None or piece.wire.size is None or amps <= limit_a:
        return None
    passing = _passed(rated.wiring, piece, amps, before_a)
    if passing is None or (blank.situation is Situation.CRANKING and passing.after_s > CRANKING_S):
        return None
    return replace(
        blank,
        victim=piece.name,
        current_a=amps,
        before_a=before_a,
        limit_a=limit_a,
        after_s=passing.after_s,
        limit_c=passing.limit_c,
    )


def _passed(wiring: Wiring, piece: Piece, amps: float, before_a: float) -> Passing | None:
    """The soonest over all zones that a cable lies in."""
    assert piece.wire is not None
    assert piece.wire.size is not None
    found = [
        limit_passed(
            strand.one,
            strand.lie,
            wiring.installation.basis,
            amps,
            parallel=strand.parallel,
            preload_a=before_a,
        )
        for strand in wire_strands(wiring, piece.wire, piece.wire.size)
    ]
    known = [one for one in found if one is not None]
    return min(known, key=lambda one: one.after_s) if len(known) == len(found) else None


def _part(
    rated: _Rated, piece: Piece, blank: FailureAssessment, amps: float, before_a: float
) -> FailureAssessment | None:
    """A closed link's contact above its rating, and a fuse that it opens while cranking."""
    part = piece.part
    if part is None:
        return None
    gear = rated.wiring.installation.gear.get(part.gear or "")
    rating_a = part.rating_a if part.rating_a is not None else (gear.rating_a if gear is not None else None)
    if rating_a is None or amps <= rating_a:
        return None
    told = replace(blank, victim=piece.name, victim_kind=VictimKind.PART, current_a=amps)
    told = replace(told, before_a=before_a, limit_a=rating_a)
    if not piece.is_fuse:
        return told if piece.name == blank.element else None
    clearing_s = _clearing_s(rated, piece, amps)
    return replace(told, after_s=clearing_s) if clearing_s is not None and clearing_s <= CRANKING_S else None


def _clearing_s(rated: _Rated, piece: Piece, amps: float) -> float | None:
    """Longest time in which a fuse opens at a current; None where nobody knows or it never does. [s]"""
    found = rated.fuses.get(piece.name)
    if piece.part is None or found is None or found.rating_a is None or found.family is None:
        return None
    if amps <= found.rating_a:
        return None
    time_s = slowest_clearing_s(rated.wiring, piece.part, found.family, found.rating_a, amps)
    return time_s if time_s is not None and math.isfinite(time_s) else None


def _opening(rated: _Rated, solved: Solved, column: int, failure: FailureAssessment) -> dict[str, float]:
    """Fuses that are sure to open before the victim is beyond its limit, each with its longest time. [s]"""
    if failure.victim_kind is not VictimKind.WIRE:
        return {}
    found = {}
    for number, piece in enumerate(rated.wiring.topology.pieces):
        if piece.is_fuse:
            time_s = _clearing_s(rated, piece, abs(float(solved.branch_a[number, column])))
            if time_s is not None and time_s < (failure.after_s or 0.0):
                found[piece.name] = time_s
    return found


def _at_ease(rated: _Rated, failure: FailureAssessment, after: Solved, column: int) -> bool:
    """Whether a cable carries no more than it may once fuses have opened."""
    amps = abs(float(after.branch_a[rated.wiring.index(failure.victim), column]))
    return bool(after.found[column]) and amps <= max(
        failure.limit_a or 0.0, _GROWN * (failure.before_a or 0.0)
    )


def _load(
    wiring: Wiring, piece: Piece, blank: FailureAssessment, before_v: float, volts: float
) -> FailureAssessment | None:
    """The failure with this load as its victim: too many volts, turned about, or too few to work from."""
    load = piece.load
    assert load is not None
    high_v = HIGHEST_SHARE * nominal_of(wiring, piece.name)
    if load.works is not None:
        high_v = max(high_v, load.works.high)
    told = replace(blank, victim=piece.name, victim_kind=VictimKind.LOAD, voltage_v=volts)
    if volts > max(high_v, before_v * _GROWN):
        return replace(told, limit_v=high_v)
    if volts < -_LEAST_V:
        return replace(told, limit_v=0.0)
    low_v = load.works.low if load.works is not None else 0.0
    return replace(told, limit_v=low_v) if _LEAST_V < volts < low_v <= before_v else None


def _welded(rated: _Rated) -> Iterator[FailureAssessment]:
    """Relays that stay closed: loads that nothing else switches off, and cable sized for their pauses."""
    wiring = rated.wiring
    for piece in wiring.topology.pieces:
        if piece.part is None or piece.part.kind is not PartKind.RELAY or piece.part.closes_v is not None:
            continue
        loads = wiring.tree.loads_behind[piece.name] & wiring.installation.loads.keys()
        behind = {name for name in loads if not fed_anyway(wiring.topology, piece.name, name)}
        blank = FailureAssessment(
            kind=FailureKind.WELDED,
            element=piece.name,
            place=piece.name,
            situation=Situation.RESTING,
            victim="",
            victim_kind=VictimKind.LOAD,
        )
        for name in sorted(behind):
            draw, load = wiring.currents.draws[name], wiring.installation.loads[name]
            judged = draw.known and load.kind not in {LoadKind.STARTER, LoadKind.COIL}
            if judged and not parted_by(wiring.topology, name) - {piece.name}:
                yield replace(blank, victim=name, current_a=draw.continuous_a)
        yield from _without_pauses(rated, piece, blank)


def _without_pauses(rated: _Rated, relay: Piece, blank: FailureAssessment) -> Iterator[FailureAssessment]:
    """Cable that carries its loads by their pauses alone, with none."""
    wiring = rated.wiring
    every = wiring.tree.draws_of_piece[relay.name]
    draws = {name for name in every if not fed_anyway(wiring.topology, relay.name, name)}
    for wire in rated.wires.values():
        piece = (
            wiring.topology.pieces[wiring.index(wire.name)] if wire.name in wiring.topology.index else None
        )
        if piece is None or not draws & wiring.tree.draws_of_piece[wire.name]:
            continue
        if wire.continuous_a is None or wire.thermal_a is None or wire.thermal_a >= wire.continuous_a:
            continue
        found = _conductor(
            rated, piece, replace(blank, victim_kind=VictimKind.WIRE), wire.continuous_a, wire.thermal_a
        )
        if found is not None:
            yield _ended(rated, found, wire)


def _ended(rated: _Rated, failure: FailureAssessment, wire: WireAssessment) -> FailureAssessment:
    """The same, with the fuse before the cable, or in its row behind it, that is sure to open in time."""
    for fuse in rated.fuses.values():
        piece = rated.wiring.topology.pieces[rated.wiring.index(fuse.name)]
        if wire.name not in fuse.protects and not _carries_all(rated.wiring, piece, wire):
            continue
        time_s = _clearing_s(rated, piece, failure.current_a or 0.0)
        if time_s is not None and time_s < (failure.after_s or 0.0):
            return replace(failure, opened_by=fuse.name, opened_s=time_s)
    return failure


def _carries_all(wiring: Wiring, fuse: Piece, wire: WireAssessment) -> bool:
    """Whether no load's current comes through a cable but by this fuse: what overloads one overloads both."""
    draws = wiring.tree.draws_of_piece[wire.name]
    if consuming(wiring.topology, draws) != draws or not draws <= wiring.tree.draws_of_piece[fuse.name]:
        return False
    return all(parts_load(wiring.topology, fuse.name, name) for name in draws)
