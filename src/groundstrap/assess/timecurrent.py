"""Each fuse against time and current: its band, what its closest cable stands, its load, the faults."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from groundstrap.assess.curves import Strand, fastest_at, opening_at, strands
from groundstrap.assess.ladders import candidates, family_at
from groundstrap.assess.protection import Standing, protects, standing_of
from groundstrap.assess.regions import Guard, guards
from groundstrap.assess.results import Assessment, FuseAssessment
from groundstrap.assess.saving import Protection
from groundstrap.assess.start_results import FuseStart
from groundstrap.assess.starts import Group, starting_groups
from groundstrap.assess.wiring import Wiring, wire_up
from groundstrap.model import Installation, LoadEstimate, Part
from groundstrap.physics.adiabatic import ADIABATIC_S
from groundstrap.physics.protection import Endurance
from groundstrap.physics.starting import starting_current_a
from groundstrap.records import dataclass
from groundstrap.tables import NotTabled

__all__ = ["FuseCurves", "LoadCurve", "TimeCurve", "WireCurve", "time_current_curves"]

BRIEFEST_S: Final = 1e-4
"""Where curves begin: no fuse of the trade opens sooner on a vehicle's fault; own judgement. [s]"""

_POINTS: Final = 60
"""Of the line of a start."""
_HOLDS_S: Final = 14_400.0
"""A fuse that holds so long at a gate holds for ever there: the shortest test of holding. [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeCurve:
    """A line of currents with a time at each, drawn straight in logarithms; inf is for ever."""

    currents_a: tuple[float, ...]
    times_s: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WireCurve:
    """What the cable stands that a fuse saves with the least margin."""

    where: str
    """The wire, or the load whose own lead it is."""
    lead: bool
    area_mm2: float
    parallel: int
    zone: str
    ambient_c: float
    start_c: float
    """Temperature that it starts from: that of what flows for hours. [degC]"""
    class_c: float
    overload_c: float
    """What it may reach in 5 s and more. [degC]"""
    short_circuit_c: float
    """What it may reach in less than 5 s. [degC]"""
    ampacity_a: float
    for_ever_a: float
    """Current that brings it to the overload limit and no further. [A]"""
    curve: TimeCurve


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCurve:
    """What passes a fuse when all behind it runs and the largest of it starts."""

    continuous_a: float | None
    known_a: float
    start: FuseStart | None
    """The start that the fuse holds worst; None without any."""
    curve: TimeCurve | None
    """Current at each time after switching on; None where nothing of it is known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseCurves:
    """Everything that a picture of one fuse shows; what is None is not known, and its reason stands by."""

    fuse: str
    circuit: str
    family: str
    rating_a: float
    sure_a: float | None
    """Least current that is sure to open it, in the air of the worst case for the wire. [A]"""
    slowest: TimeCurve | None
    fastest: TimeCurve | None
    why_no_band: str
    known: str
    """How well the times are known after which it is sure to open."""
    wire: WireCurve | None
    closest: Protection | None
    """Where its slowest curve comes nearest to that wire's limit."""
    undrawn: tuple[str, ...]
    """Cable behind it of which nobody knows what it stands."""
    load: LoadCurve
    fault_least_a: float | None
    fault_most_a: float | None


def time_current_curves(
    installation: Installation, estimates: Mapping[str, LoadEstimate], assessment: Assessment
) -> Mapping[str, tuple[FuseCurves, ...]]:
    """Return the curves of every circuit that has a fuse of known rating."""
    wiring = wire_up(installation, estimates)
    standing = guards(wiring.topology, wiring.tree)
    found = {}
    for name, circuit in assessment.circuits.items():
        rated = [each for each in circuit.fuses.values() if each.rating_a is not None]
        if rated:
            found[name] = tuple(_curves(wiring, standing[each.name], each, assessment) for each in rated)
    return found


def _curves(wiring: Wiring, guard: Guard, fuse: FuseAssessment, assessment: Assessment) -> FuseCurves:
    part, rating_a = wiring.topology.pieces[wiring.index(guard.fuse)].part, fuse.rating_a
    assert part is not None
    assert rating_a is not None
    ladder = candidates(part.family, part.kind, wiring.installation.system_v)
    family = part.family or fuse.family or family_at(ladder, rating_a)
    near = _nearest(wiring, guard, part, family, rating_a)
    zone = part.zone if near is None else near.strand.lie.zone
    opening = opening_at(wiring, part, family, rating_a, zone)
    held = fastest_at(wiring, part, family, rating_a)
    opens = None if isinstance(opening, NotTabled) else opening
    hardest = next(iter(assessment.starting.fuses.get(fuse.name, ())), None)
    return FuseCurves(
        fuse=fuse.name,
        circuit=fuse.circuit,
        family=family,
        rating_a=rating_a,
        sure_a=None if opens is None else opens.multiples[0] * rating_a,
        slowest=None if opens is None else _slowest(opens.multiples, opens.times_s, rating_a),
        fastest=None if isinstance(held, NotTabled) else _fastest(held.multiples, held.times_s, rating_a),
        why_no_band=opening.why if isinstance(opening, NotTabled) else "",
        known="" if opens is None else opens.known,
        wire=None if near is None else _wire(near),
        closest=None if near is None or opens is None else near.protection,
        undrawn=_undrawn(wiring, guard),
        load=_load(wiring, guard, hardest),
        fault_least_a=_least_fault_a(wiring, guard, fuse, assessment),
        fault_most_a=fuse.fault_most_a,
    )


@dataclass(frozen=True, slots=True)
class _Near:
    strand: Strand
    standing: Standing
    protection: Protection
    highest_a: float


def _nearest(wiring: Wiring, guard: Guard, part: Part, family: str, rating_a: float) -> _Near | None:
    """The cable that the fuse saves with the least margin; that of least ampacity without a curve."""
    nearest: _Near | None = None
    for strand in strands(wiring, guard):
        standing = _standing(wiring, strand)
        if standing is None:
            continue
        opening = opening_at(wiring, part, family, rating_a, strand.lie.zone)
        found = protects(
            strand.one,
            strand.lie,
            wiring.installation.basis,
            opening,
            parallel=strand.parallel,
            preload_a=strand.preload_a,
        )
        highest_a = standing.capacity_a * strand.parallel if found.highest_a is None else found.highest_a
        if nearest is None or highest_a < nearest.highest_a:
            nearest = _Near(strand, standing, found, highest_a)
    return nearest


def _standing(wiring: Wiring, strand: Strand) -> Standing | None:
    """What a piece of cable stands; None where nobody knows, or it is too hot before a fault begins."""
    found = standing_of(
        strand.one,
        strand.lie,
        wiring.installation.basis,
        parallel=strand.parallel,
        preload_a=strand.preload_a,
    )
    return None if found is None or found.endurance.for_ever_a <= 0.0 else found


def _slowest(multiples: Sequence[float], times_s: Sequence[float], rating_a: float) -> TimeCurve:
    """Straight between its gates, its heat integral beyond, for ever below the first."""
    last = multiples[-1] * max(1.0, math.sqrt(times_s[-1] / BRIEFEST_S))
    amps = (multiples[0], *multiples, last)
    return TimeCurve(
        currents_a=tuple(each * rating_a for each in amps),
        times_s=(math.inf, *times_s, min(BRIEFEST_S, times_s[-1])),
    )


def _fastest(multiples: Sequence[float], times_s: Sequence[float], rating_a: float) -> TimeCurve:
    """Stairs: between two gates it opens no sooner than at the upper one; beyond the last its integral."""
    # A first gate of hours is a test of holding; else its rating itself is what it holds for ever.
    holds = multiples[0] if times_s[0] >= _HOLDS_S else min(1.0, multiples[0])
    points = [(holds, math.inf), (holds, times_s[0]), (multiples[0], times_s[0])]
    for left, right, time_s in zip(multiples, multiples[1:], times_s[1:], strict=False):
        points += [(left, time_s), (right, time_s)]
    points.append(
        (
            multiples[-1] * max(1.0, math.sqrt(times_s[-1] / BRIEFEST_S)),
            min(BRIEFEST_S, times_s[-1]),
        )
    )
    return TimeCurve(
        currents_a=tuple(multiple * rating_a for multiple, _ in points),
        times_s=tuple(time_s for _, time_s in points),
    )


def _wire(near: _Near) -> WireCurve:
    strand, one, lie = near.strand, near.strand.one, near.strand.lie
    endures = near.standing.endurance
    return WireCurve(
        where=strand.where,
        lead=strand.lead,
        area_mm2=one.area_mm2,
        parallel=strand.parallel,
        zone=lie.zone,
        ambient_c=lie.ambient_c,
        start_c=near.standing.start_c,
        class_c=one.insulation.class_c,
        overload_c=one.insulation.overload_6h_c,
        short_circuit_c=one.insulation.short_circuit_c,
        ampacity_a=near.standing.capacity_a * strand.parallel,
        for_ever_a=endures.for_ever_a * strand.parallel,
        curve=_limit(endures, strand.parallel),
    )


def _limit(endures: Endurance, parallel: int) -> TimeCurve:
    """Up to 5 s without loss to the short-circuit limit, from then on to that of an overload."""
    brief_s = np.array([BRIEFEST_S, ADIABATIC_S])
    later = endures.log_time_s > math.log(ADIABATIC_S)
    at_edge = np.interp(math.log(ADIABATIC_S), endures.log_time_s, endures.log_current_a)
    amps = np.concatenate(
        (
            np.sqrt(endures.brief_a2s / brief_s),
            np.exp([at_edge]),
            np.exp(endures.log_current_a[later]),
            [endures.for_ever_a],
        )
    )
    times = np.concatenate((brief_s, [ADIABATIC_S], np.exp(endures.log_time_s[later]), [math.inf]))
    return TimeCurve(currents_a=tuple((amps * parallel).tolist()), times_s=tuple(times.tolist()))


def _undrawn(wiring: Wiring, guard: Guard) -> tuple[str, ...]:
    """Cable without a size, and cable in air that no table answers for."""
    pieces = [wiring.topology.pieces[wiring.index(name)].wire for name in guard.pieces]
    unsized = [wire.name for wire in pieces if wire is not None and wire.size is None]
    silent = [each for each in strands(wiring, guard) if _standing(wiring, each) is None]
    return tuple(dict.fromkeys((*unsized, *(f"{each.where} in {each.lie.zone}" for each in silent))))


def _load(wiring: Wiring, guard: Guard, hardest: FuseStart | None) -> LoadCurve:
    carried = wiring.currents.pieces[guard.fuse]
    hours_a = carried.known_a if carried.continuous_a is None else carried.continuous_a
    return LoadCurve(
        continuous_a=carried.continuous_a,
        known_a=carried.known_a,
        start=hardest,
        curve=_flowing(hours_a, starting_groups(wiring, guard.fuse)),
    )


def _flowing(hours_a: float, groups: Sequence[Group]) -> TimeCurve | None:
    """The most that flows at each time after any of the starts, then what flows for hours."""
    until_s = max((surge.ends_s for group in groups for surge in group.nominal), default=BRIEFEST_S)
    times_s = np.geomspace(BRIEFEST_S, max(until_s, BRIEFEST_S), _POINTS if groups else 1).tolist()
    flows = [
        (max([hours_a, *(starting_current_a(s, surges=g.nominal, rest_a=g.rest_a) for g in groups)]), s)
        for s in times_s
    ]
    points = [
        (amps, time_s) for amps, time_s in (*flows, (hours_a, until_s), (hours_a, math.inf)) if amps > 0.0
    ]
    if not points:
        return None
    return TimeCurve(
        currents_a=tuple(amps for amps, _ in points), times_s=tuple(time_s for _, time_s in points)
    )


def _least_fault_a(
    wiring: Wiring, guard: Guard, fuse: FuseAssessment, assessment: Assessment
) -> float | None:
    """Smallest short at the far end of any circuit whose cable out it stands before; None where unknown."""
    own_a = assessment.circuits[fuse.circuit].fault_least_a
    pieces = [wiring.topology.pieces[wiring.index(name)].wire for name in guard.pieces]
    circuits = {wire.circuit for wire in pieces if wire is not None and not wire.returning}
    others = [assessment.circuits[name].fault_least_a for name in sorted(circuits) if name]
    known = [amps for amps in others if amps is not None]
    return None if own_a is None else min([own_a, *known])
