"""Whether a fuse saves a conductor where it lies: its slowest curve against all that the conductor stands.

The conductor's side starts at the temperature of its own continuous current. Up to 5 s it may reach the
short-circuit limit of its insulation, from 5 s to for ever class + 50 K, at the rating itself the class. Its
thermal resistance is the one at which its published ampacity brings it to its class, so the table decides and
the law of heating gives only the shape in time.
"""

from __future__ import annotations

import math
from functools import lru_cache

from groundstrap.assess.conductors import Conductor, Lie, carrying, ohm_at
from groundstrap.assess.saving import Protection
from groundstrap.model import Basis, FuseCurve
from groundstrap.physics.adiabatic import ADIABATIC_S
from groundstrap.physics.conductor import coefficient_at_per_k
from groundstrap.physics.fuse import cold_growth
from groundstrap.physics.protection import Endurance, HighestRating, endurance, highest_rating
from groundstrap.physics.transient import (
    heat_capacity_j_per_m_k,
    ring_area_mm2,
    rise_after_k,
    rise_of_capacity_k_per_a2,
    time_to_rise_s,
)
from groundstrap.records import dataclass
from groundstrap.tables import NotTabled, cold_air, fuse_family, slowest_curve
from groundstrap.tables.table import weakest

__all__ = [
    "Opening",
    "Passing",
    "Protection",
    "Standing",
    "growth_in_cold",
    "highest_saving_a",
    "limit_passed",
    "margin_pct",
    "opening_of",
    "protects",
    "standing_of",
]

_SLACK = 1 + 1e-9


@dataclass(frozen=True, slots=True)
class Opening:
    """Slowest curve of one fuse where it sits: multiples of its rating, rising, and the longest times."""

    multiples: tuple[float, ...]
    times_s: tuple[float, ...]
    rating_a: float
    time_lag: bool
    source: str
    known: str


@lru_cache(maxsize=2048)
def growth_in_cold(family: str, fuse_c: float) -> float:
    """Share by which a family's opening current grows in the air about the fuse; 1 from its test air on. [1]

    Source: own-judgement; melting point of the element, a breaker by share for each kelvin.
    """
    air = cold_air(family)
    if air.melts_c is None:
        return 1.0 + (air.share_per_k or 0.0) * max(0.0, air.tested_c - fuse_c)
    return cold_growth(max(fuse_c, -60.0), tested_c=air.tested_c, melts_c=air.melts_c)


@lru_cache(maxsize=4096)
def opening_of(
    family: str, rating_a: float, growth: float, curve: FuseCurve | None = None
) -> Opening | NotTabled:
    """Return the slowest curve of a fuse; its maker's own points stand in for the gates of its type."""
    if curve is not None:
        points = tuple((point.current_a / rating_a, point.slowest_s) for point in curve.points)
        source, known = curve.file, "verified"
    else:
        found = slowest_curve(family, rating_a)
        if isinstance(found, NotTabled):
            return found
        points = tuple(zip(found.multiples, found.times_s, strict=True))
        source, known = found.source, found.known
    return Opening(
        multiples=tuple(multiple * growth for multiple, _ in points),
        times_s=tuple(time_s for _, time_s in points),
        rating_a=rating_a,
        time_lag=fuse_family(family).time_lag,
        source=source,
        known=known,
    )


@dataclass(frozen=True, slots=True)
class _Law:
    """How one conductor heats where it lies: constants of the law in time, and its two limits."""

    capacity_a: float
    rise_k_per_a2: float
    coefficient_per_k: float
    tau_s: float
    overload_k: float


@lru_cache(maxsize=8192)
def _law(one: Conductor, ambient_c: float, capacity_a: float) -> _Law:
    coefficient = coefficient_at_per_k(one.data.alpha20_per_k, temp_c=ambient_c)
    class_k = one.insulation.class_c - ambient_c
    per_a2 = rise_of_capacity_k_per_a2(capacity_a, class_k, coefficient_per_k=coefficient)
    capacity_j = heat_capacity_j_per_m_k(
        one.area_mm2,
        ring_area_mm2(one.data.conductor_d_mm, one.data.outer_d_mm),
        conductor_j_per_m3_k=one.data.heat_j_per_m3k,
        insulation_j_per_m3_k=one.insulation.heat_j_per_m3k,
    )
    # The bundle's hold on the heat is in the capacity; its neighbours' heat capacity is left out.
    tau_s = capacity_j * per_a2 / ohm_at(one, 1.0, ambient_c)
    return _Law(capacity_a, per_a2, coefficient, tau_s, one.insulation.overload_6h_c - ambient_c)


@lru_cache(maxsize=16384)
def _start_k(one: Conductor, ambient_c: float, capacity_a: float, preload_a: float) -> float:
    """Rise that the pre-load settles at. [K]"""
    law = _law(one, ambient_c, capacity_a)
    return rise_after_k(
        preload_a,
        math.inf,
        start_rise_k=0.0,
        rise_k_per_a2=law.rise_k_per_a2,
        coefficient_per_k=law.coefficient_per_k,
        time_constant_s=law.tau_s,
    )


def _brief_a2s(one: Conductor, start_c: float) -> float:
    """Heat integral that brings a conductor from a temperature to its short-circuit limit, no loss. [A2 s]"""
    zero_c = 20.0 - 1.0 / one.data.alpha20_per_k
    end_c = one.insulation.short_circuit_c
    if start_c >= end_c:
        return 0.0
    heat_j_per_k = one.area_mm2 * 1e-6 * one.data.heat_j_per_m3k
    ohm_per_k = one.data.ohm_per_m_20c * one.data.alpha20_per_k
    return heat_j_per_k / ohm_per_k * math.log((end_c - zero_c) / (start_c - zero_c))


@lru_cache(maxsize=8192)
def _stands(one: Conductor, ambient_c: float, capacity_a: float, start_k: float) -> Endurance:
    law = _law(one, ambient_c, capacity_a)
    return endurance(
        start_rise_k=min(start_k, law.overload_k),
        limit_rise_k=law.overload_k,
        rise_k_per_a2=law.rise_k_per_a2,
        coefficient_per_k=law.coefficient_per_k,
        time_constant_s=law.tau_s,
        brief_a2s=_brief_a2s(one, ambient_c + min(start_k, law.overload_k)),
    )


@lru_cache(maxsize=32768)
def _highest(
    one: Conductor,
    ambient_c: float,
    capacity_a: float,
    start_k: float,
    curve: tuple[tuple[float, ...], tuple[float, ...]],
) -> HighestRating:
    stands = _stands(one, ambient_c, capacity_a, start_k)
    return highest_rating(stands, gate_multiples=curve[0], gate_most_s=curve[1])


def _side(
    one: Conductor, lie: Lie, basis: Basis, parallel: int, preload_a: float | None
) -> tuple[float, float, str] | None:
    """Capacity of one of the parallel conductors, its rise at the start, how well that is known. [A, K]"""
    found = carrying(one, lie, basis, 1)
    if found.ampacity_a is None or lie.ambient_c >= one.insulation.class_c:
        return None
    each_a = found.ampacity_a if preload_a is None else preload_a / parallel
    start_k = _start_k(one, lie.ambient_c, found.ampacity_a, each_a)
    return found.ampacity_a, start_k, found.known or "own judgement"


def highest_saving_a(
    one: Conductor,
    lie: Lie,
    basis: Basis,
    curve: tuple[tuple[float, ...], tuple[float, ...]],
    *,
    parallel: int = 1,
    preload_a: float | None = None,
) -> float | None:
    """Return the highest rating of a curve (multiples, times) that saves a wire; None where unknown. [A]"""
    side = _side(one, lie, basis, parallel, preload_a)
    if side is None:
        return None
    return _highest(one, lie.ambient_c, side[0], side[1], curve).rating_a * parallel


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Standing:
    """What a conductor stands where it lies: for its whole life, and the limit curve of an overload."""

    capacity_a: float
    """Published ampacity of one of the parallel conductors. [A]"""
    start_c: float
    """Temperature that it starts from. [degC]"""
    endurance: Endurance
    """Of one of the parallel conductors."""


def standing_of(
    one: Conductor, lie: Lie, basis: Basis, *, parallel: int = 1, preload_a: float | None = None
) -> Standing | None:
    """Return the limit curve that `protects` lays a fuse against; None where nobody knows the conductor."""
    side = _side(one, lie, basis, parallel, preload_a)
    if side is None:
        return None
    capacity_a, start_k, _ = side
    endures = _stands(one, lie.ambient_c, capacity_a, start_k)
    return Standing(capacity_a=capacity_a, start_c=lie.ambient_c + start_k, endurance=endures)


def margin_pct(
    one: Conductor,
    lie: Lie,
    basis: Basis,
    fuse: Opening | NotTabled,
    *,
    parallel: int = 1,
    preload_a: float | None = None,
) -> float | None:
    """Return how far the highest rating that saves a conductor lies above a fuse's; None where unknown."""
    side = None if isinstance(fuse, NotTabled) else _side(one, lie, basis, parallel, preload_a)
    if isinstance(fuse, NotTabled) or side is None:
        return None
    capacity_a, start_k, _ = side
    highest = _highest(one, lie.ambient_c, capacity_a, start_k, (fuse.multiples, fuse.times_s))
    return _margin_pct(highest, capacity_a, fuse.rating_a / parallel)


def _margin_pct(highest: HighestRating, capacity_a: float, rating_a: float) -> float:
    return 100.0 * (min(highest.rating_a, capacity_a) / rating_a - 1.0)


def protects(
    one: Conductor,
    lie: Lie,
    basis: Basis,
    fuse: Opening | NotTabled,
    *,
    parallel: int = 1,
    preload_a: float | None = None,
) -> Protection:
    """Tell whether a fuse saves a conductor in one piece of its way, at every current and for ever.

    `preload_a` is what flows before, through all parallel conductors; None where it is not known: then the
    conductor starts at its class.
    """
    if isinstance(fuse, NotTabled):
        return Protection(verdict=None, why=fuse.why)
    side = _side(one, lie, basis, parallel, preload_a)
    if side is None:
        return Protection(verdict=None, why="no table says what the conductor carries in this air")
    capacity_a, start_k, known = side
    highest = _highest(one, lie.ambient_c, capacity_a, start_k, (fuse.multiples, fuse.times_s))
    rating_a = fuse.rating_a / parallel
    temp_c, limit_c = _closest(one, lie.ambient_c, capacity_a, start_k, rating_a, highest)
    chord_only = highest.guaranteed_a * _SLACK < rating_a <= highest.rating_a * _SLACK
    return Protection(
        verdict=rating_a <= highest.rating_a * _SLACK and rating_a <= capacity_a * _SLACK,
        highest_a=min(highest.rating_a, capacity_a) * parallel,
        critical_a=highest.multiple * fuse.rating_a,
        time_s=highest.time_s,
        temp_c=temp_c,
        limit_c=limit_c,
        margin_pct=_margin_pct(highest, capacity_a, rating_a),
        chord_only=chord_only,
        chord_caution=chord_only and fuse.time_lag,
        source=fuse.source,
        known=weakest(fuse.known, known),
    )


def _closest(
    one: Conductor,
    ambient_c: float,
    capacity_a: float,
    start_k: float,
    rating_a: float,
    highest: HighestRating,
) -> tuple[float, float]:
    """Temperature at the current where the curves come closest, and the limit that holds for its time."""
    amps = highest.multiple * rating_a
    if highest.time_s > ADIABATIC_S * _SLACK:
        law = _law(one, ambient_c, capacity_a)
        rise_k = rise_after_k(
            amps,
            highest.time_s,
            start_rise_k=min(start_k, law.overload_k),
            rise_k_per_a2=law.rise_k_per_a2,
            coefficient_per_k=law.coefficient_per_k,
            time_constant_s=law.tau_s,
        )
        return ambient_c + rise_k, one.insulation.overload_6h_c
    zero_c = 20.0 - 1.0 / one.data.alpha20_per_k
    start_c, end_c = ambient_c + start_k, one.insulation.short_circuit_c
    brief_a2s = _brief_a2s(one, start_c)
    share = amps**2 * highest.time_s / brief_a2s if brief_a2s > 0.0 else math.inf
    if share > 10.0:
        return math.inf, end_c
    return zero_c + (start_c - zero_c) * ((end_c - zero_c) / (start_c - zero_c)) ** share, end_c


@dataclass(frozen=True, slots=True, kw_only=True)
class Passing:
    """When a steady current brings a conductor beyond what it stands, with nothing that opens."""

    after_s: float
    """inf where it stays within class + 50 K for ever. [s]"""
    limit_c: float
    """Of a short circuit up to 5 s, class + 50 K from then on. [degC]"""


def limit_passed(
    one: Conductor,
    lie: Lie,
    basis: Basis,
    current_a: float,
    *,
    parallel: int = 1,
    preload_a: float | None = None,
) -> Passing | None:
    """Return when a current through all parallel conductors passes the limit; None where nobody knows it."""
    side = _side(one, lie, basis, parallel, preload_a)
    if side is None:
        return None
    capacity_a, start_k, _ = side
    law, each_a = _law(one, lie.ambient_c, capacity_a), current_a / parallel
    start_k = min(start_k, law.overload_k)
    if each_a <= 0.0:
        return Passing(after_s=math.inf, limit_c=one.insulation.overload_6h_c)
    brief_s = _brief_a2s(one, lie.ambient_c + start_k) / each_a**2
    if brief_s <= ADIABATIC_S:
        return Passing(after_s=brief_s, limit_c=one.insulation.short_circuit_c)
    slow_s = time_to_rise_s(
        each_a,
        law.overload_k,
        start_rise_k=start_k,
        rise_k_per_a2=law.rise_k_per_a2,
        coefficient_per_k=law.coefficient_per_k,
        time_constant_s=law.tau_s,
    )
    return Passing(after_s=max(slow_s, ADIABATIC_S), limit_c=one.insulation.overload_6h_c)
