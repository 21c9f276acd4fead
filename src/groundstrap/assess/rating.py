"""The whole assessment: every circuit, load, supply and piece of gear of an installation."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from groundstrap.assess.consumers import assess_loads
from groundstrap.assess.currents import PieceCurrents, carried_assumptions
from groundstrap.assess.curves import closest, curve_assumptions, slowest_clearing_s, strands
from groundstrap.assess.drops import DropRows, assess_drop, solve_drops
from groundstrap.assess.ends import feeds_of, unfused_m
from groundstrap.assess.failures import find_failures
from groundstrap.assess.faults import Faults, find_faults
from groundstrap.assess.ladders import candidates, carries_share, family_at
from groundstrap.assess.later import Later
from groundstrap.assess.laying import bundles_of, laying_of
from groundstrap.assess.legal import legal_limit
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.passing import assess_parts
from groundstrap.assess.path import path_steps
from groundstrap.assess.regions import Guard, guards
from groundstrap.assess.results import (
    Assessment,
    CircuitAssessment,
    FuseAssessment,
    GearAssessment,
    SupplyAssessment,
    Unprotected,
    WireAssessment,
)
from groundstrap.assess.saving import Protection
from groundstrap.assess.situations import solve_situations
from groundstrap.assess.spare import may_be_told
from groundstrap.assess.starting import assess_starts, start_assumptions
from groundstrap.assess.supplies import SupplyFigures
from groundstrap.assess.termination import ends_of
from groundstrap.assess.through import assess_returns
from groundstrap.assess.tree import unprotected_cable
from groundstrap.assess.vital import unasked_assumptions
from groundstrap.assess.volts import highest_v, make_of_v
from groundstrap.assess.windows import fuse_window
from groundstrap.assess.wires import assess_wire
from groundstrap.assess.wiring import Wiring, wire_up
from groundstrap.model import (
    Assumption,
    Circuit,
    Gear,
    GearKind,
    Installation,
    LoadEstimate,
    Part,
    Passage,
    State,
    SupplyKind,
    Wire,
)
from groundstrap.records import dataclass, replace
from groundstrap.words import words

__all__ = ["assess", "assess_wiring"]


def assess(installation: Installation, estimates: Mapping[str, LoadEstimate]) -> Assessment:
    """Turn an installation into networks, solve its situations and rate its circuits."""
    return assess_wiring(wire_up(installation, estimates))


@dataclass(frozen=True, slots=True)
class _Solved:
    wiring: Wiring
    guards: Mapping[str, Guard]
    drops: DropRows
    faults: Faults
    unprotected: Mapping[str, tuple[Unprotected, ...]]
    wires: Mapping[str, WireAssessment]
    fuses: Mapping[str, FuseAssessment]


def assess_wiring(wiring: Wiring) -> Assessment:
    """Assess an installation that is wired up already."""
    standing = guards(wiring.topology, wiring.tree)
    faults = find_faults(wiring)
    solved = _Solved(
        wiring=wiring,
        guards=standing,
        drops=solve_drops(wiring),
        faults=faults,
        unprotected=unprotected_cable(wiring.topology),
        wires={wire.name: assess_wire(wiring, wire) for wire in wiring.installation.wires()},
        fuses={name: _fuse(wiring, guard, faults) for name, guard in standing.items()},
    )
    feeds = feeds_of(wiring, standing)
    situations = solve_situations(wiring)
    circuits = {name: _circuit(solved, wiring.installation.circuits[name]) for name in wiring.tree.circuits}
    loads = assess_loads(wiring, circuits, situations, solved.drops)
    starting = assess_starts(wiring, solved.fuses, loads)
    parts = assess_parts(wiring, solved.fuses, loads, situations)
    return Assessment(
        system_v=wiring.installation.system_v,
        basis=wiring.installation.basis,
        circuits=circuits,
        loads=loads,
        supplies={name: _supply(wiring, found, faults) for name, found in wiring.supplies.items()},
        gear=at_any_length(wiring, "gear", _all_gear),
        situations=situations,
        assumptions=_assumptions(wiring, tuple(solved.fuses.values())) + start_assumptions(starting),
        used_sources=_sources(solved),
        unknown_loads=tuple(n for n in loads if not wiring.currents.draws[n].known),
        parts=parts,
        path=Later(lambda: path_steps(wiring, circuits, parts)),
        ends=ends_of(wiring),
        laying=Later(lambda: laying_of(wiring.installation)),
        starting=starting,
        bundles=bundles_of(wiring.installation),
        feeds=feeds,
        unfused_m=unfused_m(wiring, feeds),
        failures=find_failures(wiring, solved.wires, solved.fuses),
        returns=assess_returns(wiring),
    )


def _fuse(wiring: Wiring, guard: Guard, faults: Faults) -> FuseAssessment:
    found = at_any_length(wiring, ("fuse", guard.fuse), lambda bare: _fuse_without_faults(bare, guard))
    part = wiring.topology.pieces[wiring.index(guard.fuse)].part
    assert part is not None
    return replace(
        found,
        distance_m=part.distance_m,
        fault_most_a=faults.strong_at_fuses_a.get(guard.fuse),
        fault_sure_a=faults.sure_at_fuses_a.get(guard.fuse),
    )


def _fuse_without_faults(wiring: Wiring, guard: Guard) -> FuseAssessment:
    part = wiring.topology.pieces[wiring.index(guard.fuse)].part
    assert part is not None
    window = fuse_window(wiring, guard)
    continuous = wiring.currents.pieces[guard.fuse].continuous_a
    ambient_c = wiring.installation.zones[part.zone].high_c
    ladder = candidates(part.family, part.kind, wiring.installation.system_v)
    family = part.family or (window.family if part.rating_a is None else family_at(ladder, part.rating_a))
    share = carries_share(family or ladder[0].family, ambient_c, short=part.name in wiring.short_runs)
    unknown = [] if continuous is not None else ["continuous_a"]
    if not window.known:
        unknown.append("window_a")
    if part.unknown_rating or (part.rating_a is None and part.state is State.EXISTING):
        unknown.append("rating_a")
    if not part.distance_written and part.state is State.EXISTING:
        unknown.append("distance_m")
    wires = [n for n in guard.pieces if wiring.topology.pieces[wiring.index(n)].wire is not None]
    where, saved = _closest(wiring, guard, part, family or ladder[0].family)
    return FuseAssessment(
        name=guard.fuse,
        circuit=part.circuit,
        family=family,
        rating_a=part.rating_a,
        continuous_a=continuous,
        known_a=wiring.currents.pieces[guard.fuse].known_a,
        window=window,
        protects=(*wires, *guard.loads),
        thinnest=window.most_reason.where or None,
        legal=legal_limit(wiring, guard),
        carries_pct=None if share is None else 100.0 * share,
        distance_m=part.distance_m,
        fault_most_a=None,
        fault_sure_a=None,
        highest_v=highest_v(wiring, part.circuit),
        made_for_v=make_of_v(wiring, part, family),
        closest=saved,
        closest_at=where,
        unknown=tuple(unknown),
    )


def _closest(wiring: Wiring, guard: Guard, part: Part, family: str) -> tuple[str, Protection | None]:
    """The cable that a fuse of this rating saves with the least margin, and how."""
    if part.rating_a is None:
        return "", None
    rating_a = part.rating_a

    def find(bare: Wiring) -> tuple[str, Protection | None]:
        return closest(bare, part, family, rating_a, strands(bare, guard)) or ("", None)

    return at_any_length(wiring, ("closest", guard, family), find)


def _circuit(solved: _Solved, circuit: Circuit) -> CircuitAssessment:
    wiring = solved.wiring
    feeding = wiring.tree.circuits[circuit.name]
    wires = {wire.name: solved.wires[wire.name] for wire in circuit.wires}
    fuses = {part.name: solved.fuses[part.name] for part in circuit.parts if part.name in solved.fuses}
    drop = assess_drop(wiring, solved.drops, circuit)
    currents = [
        wiring.currents.pieces[name] for name in _own_names(circuit) if name in wiring.currents.pieces
    ]
    continuous = _most([c.continuous_a for c in currents])
    weakest = _weakest(list(wires.values()))
    spare = _spare(solved, circuit, continuous)
    hottest = _most([wire.conductor_c for wire in wires.values()]) if wires else None
    found = CircuitAssessment(
        name=circuit.name,
        length_m=circuit.length_m,
        source=feeding.source,
        feeders=feeding.feeders,
        loads=feeding.loads,
        in_loop=feeding.in_loop,
        charging=feeding.charging,
        continuous_a=continuous,
        known_a=max((c.known_a for c in currents), default=0.0),
        peak_a=_most([c.peak_a for c in currents]),
        drop=drop,
        ampacity_a=weakest.ampacity_a if weakest is not None else None,
        weakest=weakest.start if weakest is not None else None,
        conductor_c=hottest,
        fault_least_a=solved.faults.least_a.get(circuit.name) if _sized(solved, circuit) else None,
        fault_best_a=solved.faults.best_a.get(circuit.name),
        clearing_s=_clearing_s(solved, circuit),
        fault_most_a=solved.faults.most_a.get(circuit.name),
        unprotected=solved.unprotected.get(circuit.name, ()),
        spare_a=spare,
        wires=wires,
        fuses=fuses,
        hangs_on=tuple(dict.fromkeys(name for c in currents for name in c.hangs_on)),
    )
    return _with_unknown(solved, circuit, found)


def _clearing_s(solved: _Solved, circuit: Circuit) -> float | None:
    """Longest time in which the last fuse before a circuit's far end opens on the least fault there. [s]"""
    fault_a, wiring = solved.faults.least_a.get(circuit.name), solved.wiring
    if fault_a is None or not _sized(solved, circuit):
        return None
    times = []
    for name in _before_the_end(solved, circuit):
        found, part = solved.fuses[name], wiring.topology.pieces[wiring.index(name)].part
        if part is None or found.rating_a is None:
            return None
        ladder = candidates(part.family, part.kind, wiring.installation.system_v)
        family = found.family or family_at(ladder, found.rating_a)
        times.append(slowest_clearing_s(wiring, part, family, found.rating_a, fault_a))
    return _most(times) if times else None


def _before_the_end(solved: _Solved, circuit: Circuit) -> tuple[str, ...]:
    """The fuses that stand before the last cable of its way out."""

    def find(_: Wiring) -> tuple[str, ...]:
        last = next((wire.name for wire in reversed(circuit.wires) if not wire.returning), None)
        return tuple(guard.fuse for guard in solved.guards.values() if last in guard.pieces)

    return at_any_length(solved.wiring, ("fuses before the end", circuit.name), find)


def _with_unknown(solved: _Solved, circuit: Circuit, found: CircuitAssessment) -> CircuitAssessment:
    unknown = []
    if found.continuous_a is None:
        unknown += ["continuous_a", "peak_a"]
    if found.drop.drop_v is None and found.drop.limit_v is not None and found.drop.decided is None:
        unknown += ["drop_v", "drop_pct", "load_v"]
    if found.wires and found.ampacity_a is None:
        unknown += ["ampacity_a", "weakest"]
    if found.wires and found.conductor_c is None:
        unknown.append("conductor_c")
    if found.fault_least_a is None and circuit.name in solved.faults.least_a:
        unknown.append("fault_a")
    if found.clearing_s is None and _before_the_end(solved, circuit):
        unknown.append("clearing_s")
    if circuit.state is State.EXISTING and found.spare_a is None:
        unknown.append("spare_a")
    return replace(found, unknown=tuple(unknown))


def _own_names(circuit: Circuit) -> tuple[str, ...]:
    return tuple(e.name for e in circuit.path + circuit.back if not isinstance(e, Passage))


def _most(values: list[float | None]) -> float | None:
    """Largest of several values; None as soon as one of them is not known."""
    known = [value for value in values if value is not None]
    return max(known) if known and len(known) == len(values) else None


def _weakest(wires: list[WireAssessment]) -> WireAssessment | None:
    silent = [wire for wire in wires if wire.ampacity_a is None]
    if silent:
        return silent[0]
    return min(wires, key=lambda wire: wire.ampacity_a or 0.0, default=None)


def _sized(solved: _Solved, circuit: Circuit) -> bool:
    """Whether every wire that a far-end fault flows through has a size."""
    wiring = solved.wiring
    draws = set(wiring.tree.circuits[circuit.name].draws)
    return not any(draws & wiring.tree.draws_of_piece[name] for name in wiring.stand_ins)


def _spare(solved: _Solved, circuit: Circuit, continuous_a: float | None) -> float | None:
    """What an existing circuit could carry more; never where its purpose or its current is in doubt."""
    wiring = solved.wiring
    feeding = wiring.tree.circuits[circuit.name]
    loads = [wiring.installation.loads[name] for name in feeding.loads]
    if circuit.state is not State.EXISTING or continuous_a is None:
        return None
    if not may_be_told(wiring.installation, circuit, loads):
        return None
    if not all(wiring.currents.draws[load.name].known for load in loads):
        return None
    limits: list[float | None] = [solved.wires[wire.name].ampacity_a for wire in circuit.wires]
    for part in circuit.parts:
        limits += _part_limits(solved, part)
    known = [limit for limit in limits if limit is not None]
    if not known or len(known) != len(limits):
        return None
    return max(0.0, min(known) - continuous_a)


def _part_limits(solved: _Solved, part: Part) -> list[float | None]:
    if part.name in solved.fuses:
        fuse = solved.fuses[part.name]
        if fuse.rating_a is None or fuse.carries_pct is None:
            return [None]
        return [fuse.rating_a * fuse.carries_pct / 100.0]
    gear = solved.wiring.installation.gear.get(part.gear or "")
    rating = part.rating_a if part.rating_a is not None else (gear.rating_a if gear else None)
    return [] if rating is None else [rating]


def _supply(wiring: Wiring, found: SupplyFigures, faults: Faults) -> SupplyAssessment:
    supply = wiring.installation.supplies[found.name]
    many = supply.series if supply.kind is SupplyKind.BATTERY else 1
    pieces = [p for p in wiring.topology.pieces if p.supply is supply and p.name in wiring.currents.pieces]
    top = [p for p in pieces if p.kind.value in {"battery", "machine", "panel"} and p.position in {1, many}]
    carried = [wiring.currents.pieces[p.name] for p in top]
    continuous = _most([each.continuous_a for each in carried])
    return SupplyAssessment(
        name=found.name,
        nominal_v=supply.nominal_v,
        low_v=found.low_v * many,
        high_v=found.high_v * many,
        emf_v=found.emf_v * many,
        resistance_ohm=found.ohm.typical * many,
        continuous_a=continuous,
        known_a=max((each.known_a for each in carried), default=0.0),
        capability_a=found.limit_a if found.kind is not SupplyKind.BATTERY else supply.limit_a,
        fault_a=faults.at_supplies_a.get(found.name),
        taps_v=tuple(found.emf_v * (k + 1) for k in range(len(supply.taps))),
        unknown=() if continuous is not None else ("continuous_a",),
    )


def _all_gear(wiring: Wiring) -> Mapping[str, GearAssessment]:
    staying = {n: g for n, g in wiring.installation.gear.items() if g.state is not State.REMOVE}
    parts: dict[str, list[Part]] = {}
    for part in wiring.installation.parts():
        if part.gear is not None:
            parts.setdefault(part.gear, []).append(part)
    return {name: _gear(wiring, gear, parts.get(gear.name, [])) for name, gear in staying.items()}


def _gear(wiring: Wiring, gear: Gear, parts: Sequence[Part]) -> GearAssessment:
    """What passes a block, or the parts that are this gear."""
    circuits = {p.circuit for p in parts}
    if gear.kind in {GearKind.BLOCK, GearKind.CHASSIS}:
        carried, touching = _through_block(wiring, gear)
        circuits |= touching
    else:
        carried = [wiring.currents.pieces[p.name] for p in parts if p.name in wiring.currents.pieces]
    continuous = _most([each.continuous_a for each in carried])
    sure = gear.state is not State.EXISTING
    spare = (
        gear.rating_a - continuous if gear.rating_a is not None and continuous is not None and sure else None
    )
    return GearAssessment(
        name=gear.name,
        rating_a=gear.rating_a,
        continuous_a=continuous,
        known_a=max((each.known_a for each in carried), default=0.0),
        spare_a=max(0.0, spare) if spare is not None else None,
        circuits=tuple(n for n in wiring.installation.circuits if n in circuits),
        unknown=() if continuous is not None else ("continuous_a",),
    )


def _through_block(wiring: Wiring, gear: Gear) -> tuple[list[PieceCurrents], set[str]]:
    """What each cable brings to a block or takes from it, and the circuits that meet there."""
    node = wiring.topology.node_of.get(gear.name)
    pieces = [p for p in wiring.topology.pieces if p.conducts and node in {p.start, p.end}]
    touching = {p.circuit for p in pieces if p.circuit is not None}
    return [wiring.currents.pieces[p.name] for p in pieces], touching


def _assumptions(wiring: Wiring, fuses: tuple[FuseAssessment, ...]) -> tuple[Assumption, ...]:
    result = [*wiring.installation.assumptions, *wiring.assumptions]
    result += [a for found in wiring.supplies.values() for a in found.assumptions]
    chassis = wiring.installation.chassis_points
    if len(set(chassis)) > 1:
        low, high = (2000.0 * wiring.ends[_arm(wiring)].at(end) for end in ("low", "high"))
        value = f"{low:g}..{high:g} mohm"
        result.append(
            Assumption(words("chassis"), value, words("a way through the body that nobody measured"))
        )
    for name in sorted(wiring.stand_ins):
        if not _is_new(wiring, name):
            result.append(
                Assumption(
                    name,
                    wiring.stand_ins[name].text,
                    words("stands in, since its size is not known; what hangs on it stays unknown"),
                )
            )
    result += (*carried_assumptions(wiring.installation), *unasked_assumptions(wiring.installation))
    return (*result, *curve_assumptions(fuses))


def _arm(wiring: Wiring) -> str:
    return next(p.name for p in wiring.topology.pieces if p.kind.value == "body")


def _is_new(wiring: Wiring, name: str) -> bool:
    wire: Wire | None = wiring.topology.pieces[wiring.index(name)].wire
    return wire is not None and wire.state is State.NEW and not wire.unknown


def _sources(solved: _Solved) -> tuple[str, ...]:
    found: dict[str, None] = {}
    for wire in solved.wires.values():
        for stretch in wire.stretches:
            for source in (stretch.source, *(factor.source for factor in stretch.factors)):
                if source:
                    found.setdefault(source)
    for fuse in solved.fuses.values():
        for reason in (fuse.window.least_reason, fuse.window.most_reason):
            if reason.source:
                found.setdefault(reason.source)
    return tuple(found)
