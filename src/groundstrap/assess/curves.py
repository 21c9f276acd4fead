"""Each fuse's slowest curve against every piece of cable behind it, in each piece of its way."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator

from groundstrap.assess.conductors import Conductor, Lie, bundle_share, conductor
from groundstrap.assess.protection import (
    Opening,
    Protection,
    growth_in_cold,
    highest_saving_a,
    margin_pct,
    opening_of,
    protects,
)
from groundstrap.assess.regions import Guard
from groundstrap.assess.results import FuseAssessment
from groundstrap.assess.wires import thermal_need_a
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Assumption, Basis, FuseCurve, Load, Part, Wire
from groundstrap.physics.fuse import slowest_opening_s
from groundstrap.records import dataclass, replace
from groundstrap.tables import GateCurve, NotTabled, default_insulation, fastest_curve, fuse_gates
from groundstrap.units import ConductorSize
from groundstrap.words import words

__all__ = [
    "Highest",
    "Strand",
    "closest",
    "curve_assumptions",
    "fastest_at",
    "highest_by_curve",
    "lead_strand",
    "opening_at",
    "slowest_clearing_s",
    "strands",
    "wire_strands",
]


@dataclass(frozen=True, slots=True)
class Strand:
    """One piece of cable where it lies in one zone."""

    where: str
    one: Conductor
    lie: Lie
    parallel: int
    preload_a: float | None
    """What flows for hours through all parallel ones together; None where it is not known. [A]"""
    lead: bool = False
    """Whether it is a load's own lead, named by the load."""


@dataclass(frozen=True, slots=True)
class Highest:
    """Highest rating of one curve that saves everything behind a fuse, and what sets it."""

    rating_a: float
    where: str
    lead: bool = False


def strands(wiring: Wiring, guard: Guard) -> tuple[Strand, ...]:
    """Return every piece of cable that a fuse must save and whose size is known; like ones only once."""
    return wiring.kept.once(("strands", guard), lambda: tuple(_strands(wiring, guard)))


def _strands(wiring: Wiring, guard: Guard) -> Iterator[Strand]:
    seen: set[tuple[object, ...]] = set()
    for name in guard.pieces:
        wire = wiring.topology.pieces[wiring.index(name)].wire
        if wire is None or wire.size is None:
            continue
        for strand in _own_strands(wiring, wire, wire.size):
            key = (strand.one, strand.lie.zone, strand.lie.loaded, strand.parallel, strand.preload_a)
            if key not in seen:
                seen.add(key)
                yield strand
    for name in guard.loads:
        load = wiring.installation.loads[name]
        if load.fitted.wire is not None and load.fitted.fuse_a is None:
            yield _lead(wiring, load)


def _own_strands(wiring: Wiring, wire: Wire, size: ConductorSize) -> tuple[Strand, ...]:
    """A wire of its own size, for all fuses that stand before it."""
    return wiring.kept.once(("strands", wire.name), lambda: tuple(wire_strands(wiring, wire, size)))


def wire_strands(wiring: Wiring, wire: Wire, size: ConductorSize) -> Iterator[Strand]:
    """Yield a wire of one size, zone by zone."""
    one = conductor(wire, size, wiring.installation.basis)
    preload_a = thermal_need_a(wiring, wire, size)
    for lie in wiring.lies[wire.name]:
        yield Strand(wire.name, one, lie, wire.parallel, preload_a)


def _lead(wiring: Wiring, load: Load) -> Strand:
    lead = lead_strand(load, wiring.installation.basis, wiring.installation.zones[load.zone].high_c)
    draw = wiring.currents.draws.get(load.name)
    preload_a = draw.continuous_a if draw is not None and draw.known else None
    return replace(lead, preload_a=preload_a)


def lead_strand(load: Load, basis: Basis, ambient_c: float) -> Strand:
    """Return a load's own lead, out and back side by side in the air of its place."""
    size = load.fitted.wire
    assert size is not None
    insulated = default_insulation(basis.value).insulation
    wire = Wire(name=load.name, circuit="", start="", end="", length_m=1.0, stretches=())
    lie = Lie(
        zone=load.zone,
        ambient_c=ambient_c,
        cold_c=ambient_c,
        length_m=load.fitted.length_m or 1.0,
        loaded=2,
        engine_space=False,
        share=bundle_share(basis, insulated.class_c, 2),
    )
    return Strand(load.name, conductor(wire, size, basis), lie, 1, None, lead=True)


def opening_at(wiring: Wiring, part: Part, family: str, rating_a: float, zone: str) -> Opening | NotTabled:
    """Return a fuse's slowest curve beside a wire in a zone: in another zone than its own it may be cold."""
    own = wiring.installation.zones[part.zone]
    # In one and the same zone both are in the same air, and the wire is at its worst in the hottest.
    fuse_c = own.high_c if zone == part.zone else own.low_c
    return opening_of(family, rating_a, growth_in_cold(family, fuse_c), _curve(wiring, part, rating_a))


def _curve(wiring: Wiring, part: Part, rating_a: float) -> FuseCurve | None:
    """A maker's own points, which hold for the rating that they were given with."""
    if part.curve is None or part.rating_a not in {None, rating_a}:
        return None
    return wiring.installation.curves.get(part.curve)


def fastest_at(wiring: Wiring, part: Part, family: str, rating_a: float) -> GateCurve | NotTabled:
    """Return how long a fuse holds at least, by its gates or its maker's own points."""
    curve = _curve(wiring, part, rating_a)
    if curve is None:
        return fastest_curve(family, rating_a)
    held = [(point.current_a / rating_a, point.fastest_s) for point in curve.points]
    times_s = tuple(least_s for _, least_s in held if least_s is not None)
    if len(times_s) < len(held):
        return NotTabled(why=f"{curve.file} does not say how fast it may open; add its column `fastest`")
    return GateCurve(
        multiples=tuple(multiple for multiple, _ in held),
        times_s=times_s,
        source=curve.file,
        known="verified",
    )


def slowest_clearing_s(
    wiring: Wiring, part: Part, family: str, rating_a: float, fault_a: float
) -> float | None:
    """Return the longest time in which a fuse ends a fault, as cold as its place gets; inf where never. [s]

    None where nobody knows when it opens.
    """
    cold = growth_in_cold(family, wiring.installation.zones[part.zone].low_c)
    opening = opening_of(family, rating_a, cold, _curve(wiring, part, rating_a))
    if isinstance(opening, NotTabled):
        return None
    return slowest_opening_s(
        fault_a / rating_a, gate_multiples=opening.multiples, gate_most_s=opening.times_s
    ).chord_s


def highest_by_curve(
    wiring: Wiring, part: Part, family: str, rating_a: float, among: Iterable[Strand]
) -> Highest | NotTabled:
    """Return the highest rating with this rating's curve that saves every strand."""
    basis = wiring.installation.basis
    lowest = Highest(float("inf"), part.name)
    by_zone: dict[str, Opening | NotTabled] = {}
    for strand in among:
        zone = strand.lie.zone
        opening = by_zone.get(zone)
        if opening is None:
            opening = by_zone[zone] = opening_at(wiring, part, family, rating_a, zone)
        if isinstance(opening, NotTabled):
            return opening
        found = highest_saving_a(
            strand.one,
            strand.lie,
            basis,
            (opening.multiples, opening.times_s),
            parallel=strand.parallel,
            preload_a=strand.preload_a,
        )
        if found is not None and found < lowest.rating_a:
            lowest = Highest(found, strand.where, strand.lead)
    return lowest


def _all_recalled(fuse: FuseAssessment) -> bool:
    """Whether nobody read any of the gates that say when a fuse opens for sure."""
    gates = NotTabled(why="") if fuse.family is None else fuse_gates(fuse.family, fuse.rating_a or 0.0)
    if isinstance(gates, NotTabled) or (fuse.closest is not None and fuse.closest.source.endswith(".csv")):
        return False
    return all(gate.known != "verified" for gate in gates.gates if gate.most_s is not None)


def curve_assumptions(fuses: Collection[FuseAssessment]) -> tuple[Assumption, ...]:
    """Return what rests on more than the gates promise, and on gates that nobody could read."""
    saved = [(fuse.name, fuse.closest) for fuse in fuses if fuse.closest is not None and fuse.closest.verdict]
    chords = [name for name, found in saved if found.chord_only and not found.chord_caution]
    slow = [name for name, found in saved if found.chord_caution]
    recalled = [fuse.name for fuse in fuses if fuse.closest is not None and _all_recalled(fuse)]
    result = []
    if chords:
        why = words(
            "the gates alone promise steps; between them its element is taken to open as they suggest"
        )
        result.append(Assumption(", ".join(chords), words("straight between its gates"), why))
    if slow:
        why = words(
            "the gates alone promise steps; a slow type may keep to them; its maker's `curve` settles it"
        )
        result.append(Assumption(", ".join(slow), words("straight between its gates"), why))
    if recalled:
        why = words("nobody could read a sheet of their type: its maker's `curve` settles it")
        result.append(Assumption(", ".join(recalled), words("opening times from memory"), why))
    return tuple(result)


def closest(
    wiring: Wiring, part: Part, family: str, rating_a: float, among: Iterable[Strand]
) -> tuple[str, Protection] | None:
    """Return the strand that a fuse of this rating saves with the least margin; None without any."""
    basis, least, least_pct = wiring.installation.basis, None, math.inf
    for strand in among:
        opening = opening_at(wiring, part, family, rating_a, strand.lie.zone)
        asked = (strand.one, strand.lie, basis, opening)
        found = margin_pct(*asked, parallel=strand.parallel, preload_a=strand.preload_a)
        if least is None or found is None or found < least_pct:
            least, least_pct = (strand, asked), found or 0.0
        if found is None:
            break
    if least is None:
        return None
    strand, asked = least
    return strand.where, protects(*asked, parallel=strand.parallel, preload_a=strand.preload_a)
