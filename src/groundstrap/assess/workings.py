"""The sums behind an assessment, piece by piece, for somebody who wants to check them by hand.

Nothing is decided here: what `assess` has said is taken apart again, and each part is the very number that
went into it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping

from groundstrap.assess.chargers import holds
from groundstrap.assess.conductors import Lie, conductor, ohm_at, steady_c
from groundstrap.assess.curves import slowest_clearing_s
from groundstrap.assess.drops import DropRows, common_pieces
from groundstrap.assess.limits import is_charging
from groundstrap.assess.parts import wire_end_ends
from groundstrap.assess.protection import growth_in_cold, opening_of
from groundstrap.assess.results import Assessment, CircuitAssessment, FuseAssessment
from groundstrap.assess.shorts import Short, shorts_of
from groundstrap.assess.topology import Piece, PieceKind
from groundstrap.assess.tree import consuming
from groundstrap.assess.ways import Found
from groundstrap.assess.wiring import Case, Wiring, wire_up, wire_values
from groundstrap.assess.working_results import (
    CircuitWorking,
    ClearingWorking,
    ConverterWorking,
    DrawWorking,
    DropWorking,
    FaultWorking,
    HeatWorking,
    PieceDrop,
)
from groundstrap.model import Circuit, Installation, LoadEstimate, Part, Situation, Supply, SupplyKind, Wire
from groundstrap.physics.heat import thermal_resistance_k_m_per_w
from groundstrap.tables import NotTabled

__all__ = ["workings_of"]


def workings_of(
    installation: Installation,
    estimates: Mapping[str, LoadEstimate],
    assessment: Assessment,
    wiring: Wiring | None = None,
) -> Mapping[str, CircuitWorking]:
    """Return the sums of every circuit of an installation that was assessed, and perhaps wired up before."""
    wiring = wiring or wire_up(installation, estimates)
    looked_up = Found(wiring)
    circuits = assessment.circuits
    least_a = {n: c.fault_least_a for n, c in circuits.items() if c.fault_least_a is not None}
    fuses = {name: fuse for c in circuits.values() for name, fuse in c.fuses.items()}
    most_a = {n: f.fault_most_a for n, f in fuses.items() if f.fault_most_a is not None}
    shorts = shorts_of(wiring, least_a, most_a)
    return {
        name: CircuitWorking(
            name=name,
            draws=_draws(wiring, name),
            drop=_drop(looked_up, installation.circuits[name], found),
            least=_fault(looked_up, shorts.least.get(name), found.source),
            most=_at_fuses(looked_up, shorts.most, found),
            clearing=_clearing(wiring, found, fuses.values()),
            heat=_heat(wiring, found),
        )
        for name, found in circuits.items()
    }


def _draws(wiring: Wiring, circuit: str) -> tuple[DrawWorking, ...]:
    """What hangs on a circuit: its own loads, or everything behind a feeder."""
    found = []
    behind = wiring.tree.circuits[circuit].draws
    for name in (n for n in wiring.currents.draws if n in behind):
        draw = wiring.currents.draws[name]
        estimate = wiring.estimates.get(name)
        if not draw.known or (not draw.continuous_a and not draw.drop_a):
            continue
        lowest_v = draw.low_v
        if estimate is None or estimate.exponent < 0.0:
            load = wiring.installation.loads.get(name)
            works = None if load is None else load.works
            lowest_v = draw.low_v - draw.allowed_v if works is None else works.low
        found.append(
            DrawWorking(
                name=name,
                low_a=draw.continuous_low_a,
                high_a=draw.continuous_high_a,
                low_v=draw.low_v,
                high_v=draw.high_v,
                allowed_v=draw.allowed_v,
                lowest_v=lowest_v,
                estimate=estimate,
                brief=draw.brief,
                converter=_converter(wiring, name, draw.continuous_low_a * lowest_v),
            )
        )
    return tuple(found)


def _converter(wiring: Wiring, draw: str, watts: float) -> ConverterWorking | None:
    """What stands behind a converter's input; None of anything else."""
    piece = wiring.topology.pieces[wiring.index(draw)] if draw in wiring.topology.index else None
    if piece is None or piece.kind is not PieceKind.INPUT or piece.supply is None:
        return None
    if piece.supply.kind is SupplyKind.SOLAR_CHARGER:
        return None
    found = wiring.supplies[piece.supply.name]
    return ConverterWorking(
        output_v=found.high_v,
        output_a=(watts - found.idle_w) * found.efficiency / found.high_v,
        efficiency=found.efficiency,
        idle_w=found.idle_w,
    )


def _drop(looked_up: Found, circuit: Circuit, found: CircuitAssessment) -> DropWorking | None:
    """The way of a circuit's drop in the very case that it was found in."""
    wiring, drops = looked_up.wiring, looked_up.drops
    drop = found.drop
    if drop.drop_v is None or drop.drop_v <= 0.0:
        return None
    if is_charging(wiring.installation, circuit):
        own: tuple[Wire | Part, ...] = (*circuit.wires, *circuit.parts)
        return _at_design(wiring, [e.name for e in own if e.name in wiring.topology.index], None)
    if circuit.converter is not None and not holds(wiring, circuit.converter):
        draw = f"{circuit.converter} input"
        passing = wiring.tree.drop_draws
        names = [p.name for p in wiring.topology.pieces if p.conducts and draw in passing[p.name]]
        return _at_design(wiring, names, draw)
    if drop.load is not None and drop.load_v is not None and drop.source_v is not None:
        return _to_draw(looked_up, found)
    row = _row(drops, lambda k: _own_v(wiring, drops, circuit, k), drop.drop_v)
    if row is None:
        return None
    names = _own_pieces(wiring, circuit)
    volts = {name: float(drops.rows.branch_v[wiring.index(name), row]) for name in names}
    # Out and back alike count as lost.
    pieces = tuple(
        _piece(wiring, drops, row, wiring.index(name), -1 if volts[name] < 0.0 else 1) for name in names
    )
    return DropWorking(pieces=pieces, source_v=None, load_v=None)


def _own_pieces(wiring: Wiring, circuit: Circuit) -> list[str]:
    draws = sorted(consuming(wiring.topology, wiring.tree.circuits[circuit.name].draws))
    return common_pieces(wiring, circuit, draws)


def _own_v(wiring: Wiring, drops: DropRows, circuit: Circuit, row: int) -> float:
    volts = drops.rows.branch_v
    return sum(abs(float(volts[wiring.index(name), row])) for name in _own_pieces(wiring, circuit))


def _row(drops: DropRows, value: Callable[[int], float], wanted: float) -> int | None:
    """The case with everything typical that gave a value; None where none did."""
    for number, case in enumerate(drops.cases):
        if case.body != "typical" or not drops.rows.found[number]:
            continue
        if math.isclose(value(number), wanted, rel_tol=1e-9):
            return number
    return None


def _to_draw(looked_up: Found, found: CircuitAssessment) -> DropWorking | None:
    """From the posts that a draw counts from to itself and back, in the order that the current takes."""
    wiring, drops = looked_up.wiring, looked_up.drops
    draw, volts = found.drop.load or "", drops.rows.node_v
    piece = wiring.topology.pieces[wiring.index(draw)]
    assert found.drop.load_v is not None
    row = _row(drops, lambda k: float(volts[piece.start, k] - volts[piece.end, k]), found.drop.load_v)
    posts = None if row is None else _posts(wiring, drops, row, found)
    if row is None or posts is None:
        return None
    ways = looked_up.in_row(row)
    out, back = ways.way(posts[0], piece.start), ways.back(piece.end, posts[1])
    if out is None or back is None:
        return None
    pieces = tuple(_piece(wiring, drops, row, number, sign) for number, sign in (*out, *back))
    return DropWorking(pieces=pieces, source_v=found.drop.source_v, load_v=found.drop.load_v, out=len(out))


def _posts(wiring: Wiring, drops: DropRows, row: int, found: CircuitAssessment) -> tuple[int, int] | None:
    """The two posts whose volts a drop counted from: of a bank perhaps those of one battery in it."""
    supply = wiring.installation.supplies.get(found.drop.source or "")
    if supply is None or found.drop.source_v is None:
        return None
    points = (supply.minus, *supply.taps, supply.plus)
    nodes = [wiring.node(point) for point in points if point in wiring.topology.node_of]
    volts = drops.rows.node_v
    for plus in reversed(nodes):
        for minus in nodes:
            if math.isclose(float(volts[plus, row] - volts[minus, row]), found.drop.source_v, rel_tol=1e-9):
                return plus, minus
    return None


def _piece(wiring: Wiring, drops: DropRows, row: int, number: int, sign: int) -> PieceDrop:
    """One piece of the way in a solved case."""
    current_a = sign * float(drops.rows.branch_a[number, row])
    drop_v = sign * float(drops.rows.branch_v[number, row])
    piece, case = wiring.topology.pieces[number], drops.cases[row]
    share = math.copysign(1.0, drop_v) if abs(drop_v) > 0.0 else 1.0
    if piece.wire is None:
        return _bare(wiring, piece, abs(current_a), abs(drop_v), share)
    return _of_wire(wiring, piece.wire, case, abs(current_a), abs(drop_v), share)


def _bare(wiring: Wiring, piece: Piece, current_a: float, drop_v: float, share: float = 1.0) -> PieceDrop:
    """A part, a joint or the body."""
    return PieceDrop(
        name=piece.name,
        circuit=piece.circuit,
        current_a=current_a,
        ohm=drop_v / current_a if current_a > 0.0 else wiring.ends[piece.name].typical,
        drop_v=share * drop_v,
        share=share,
    )


def _of_wire(
    wiring: Wiring, wire: Wire, case: Case, current_a: float, drop_v: float, share: float = 1.0
) -> PieceDrop:
    """A wire: by the metre at 20 degC, as warm as its current makes it, and the crimps at its ends."""
    size = wire.size or wiring.stand_ins[wire.name]
    one = conductor(wire, size, wiring.installation.basis)
    value, lies = wire_values(wiring, wire, size, case), wiring.lies[wire.name]
    ohm = drop_v / current_a if current_a > 1e-9 else value.cold_ohm
    grown = ohm / value.cold_ohm
    ends_ohm = wire_end_ends(size.area_mm2, wire.parallel).at(case.joints)
    alpha = one.data.alpha20_per_k
    per_m = one.data.ohm_per_m_20c
    in_air = sum(ohm_at(one, lie.length_m, lie.ambient_c) for lie in lies)
    length_m = sum(lie.length_m for lie in lies)
    mean = in_air / (per_m * length_m) * grown if length_m > 0.0 else 1.0
    return PieceDrop(
        name=wire.name,
        circuit=wire.circuit,
        current_a=current_a,
        ohm=ohm,
        drop_v=share * drop_v,
        share=share,
        wire=wire,
        ohm_per_m_20c=per_m / wire.parallel,
        alpha20_per_k=alpha,
        temp_c=20.0 + (mean - 1.0) / alpha,
        ends_ohm=ends_ohm * grown,
    )


def _at_design(wiring: Wiring, names: Iterable[str], draw: str | None) -> DropWorking | None:
    """Pieces at their design currents: a charging circuit's own, or all before the input of a charger."""
    case = Case(situation=Situation.DRIVING, running=frozenset())
    found = []
    for name in names:
        carried, piece = wiring.currents.pieces[name], wiring.topology.pieces[wiring.index(name)]
        amps = carried.continuous_a if draw is None else carried.drop_a
        if amps is None or name in wiring.stand_ins:
            return None
        design_a = 0.0 if draw is None else wiring.currents.draws[draw].drop_a
        share = 1.0 if draw is None else min(1.0, carried.thermal_shares.get(draw, design_a) / design_a)
        if piece.wire is None:
            found.append(_bare(wiring, piece, amps, amps * wiring.ends[name].typical, share))
            continue
        assert piece.wire.size is not None
        value = wire_values(wiring, piece.wire, piece.wire.size, case)
        left = 1.0 - value.kappa_per_a2 * amps**2
        if left <= 0.0:
            return None
        found.append(_of_wire(wiring, piece.wire, case, amps, amps * value.cold_ohm / left, share))
    return DropWorking(pieces=tuple(found), source_v=None, load_v=None)


def _at_fuses(
    looked_up: Found, most: Mapping[str, Short], found: CircuitAssessment
) -> Mapping[str, FaultWorking]:
    """The most at each fuse of a circuit."""
    each = {fuse: _fault(looked_up, most.get(fuse), found.source) for fuse in found.fuses}
    return {fuse: made for fuse, made in each.items() if made is not None}


def _fault(looked_up: Found, short: Short | None, source: str | None) -> FaultWorking | None:
    """What the resistance of a short is made of: the least way from its source and back."""
    if short is None:
        return None
    wiring, battery = looked_up.wiring, short.network.battery
    supply = wiring.installation.supplies.get(battery or source or "")
    source_ohm = cable_ohm = parts_ohm = 0.0
    if supply is not None:
        if battery is None and supply.kind is not SupplyKind.BATTERY:
            supply = _stiffest(looked_up, short) or supply
        out, back, spanned = _from_posts(looked_up, short, supply)
        source_ohm = _source_ohm(wiring, supply, weak=battery is not None) * spanned
        for number, _ in (*out, *back):
            ohm = short.ohm_of(number) or 0.0
            ends_ohm = _ends_ohm(wiring, number, short.network.joints)
            cable_ohm += 0.0 if ends_ohm is None else ohm - ends_ohm
            parts_ohm += ohm if ends_ohm is None else ends_ohm
    return FaultWorking(
        volts_v=short.volts_v,
        ohm=short.ohm,
        current_a=short.volts_v / short.ohm,
        battery=battery,
        source_ohm=source_ohm,
        cable_ohm=cable_ohm,
        parts_ohm=parts_ohm,
        lead_ohm=short.lead_ohm,
    )


def _stiffest(looked_up: Found, short: Short) -> Supply | None:
    """The first battery that a short reaches by itself: a charger beside it gives next to nothing."""
    through, wiring = looked_up.in_fault(short), looked_up.wiring
    for supply in wiring.installation.supplies.values():
        if supply.kind is SupplyKind.BATTERY and supply.name in wiring.supplies:
            ways = (
                through.way(wiring.node(supply.plus), short.plus),
                through.way(short.minus, wiring.node(supply.minus)),
            )
            if None not in ways:
                return supply
    return None


_Steps = list[tuple[int, int]]


def _from_posts(looked_up: Found, short: Short, supply: Supply) -> tuple[_Steps, _Steps, int]:
    """The least ways from a supply to a short and back, and how many batteries of its bank they span."""
    through, wiring = looked_up.in_fault(short), looked_up.wiring
    ladder = (supply.minus, *supply.taps, supply.plus)
    best: tuple[float, _Steps, _Steps, int] | None = None
    for high in range(1, len(ladder)):
        for low in range(high):
            out = through.way(wiring.node(ladder[high]), short.plus)
            back = through.back(short.minus, wiring.node(ladder[low]))
            if out is None or back is None:
                continue
            ohm = sum(short.ohm_of(number) or 0.0 for number, _ in (*out, *back))
            if best is None or ohm < best[0]:
                best = ohm, out, back, high - low
    return ([], [], len(ladder) - 1) if best is None else best[1:]


def _source_ohm(wiring: Wiring, supply: Supply, *, weak: bool) -> float:
    """Inner resistance of one battery, or what stands for a machine that gives its limit. [ohm]"""
    figures = wiring.supplies[supply.name]
    if supply.kind is SupplyKind.BATTERY:
        return figures.cold_ohm if weak else figures.ohm.low
    return figures.high_v / figures.limit_a if figures.limit_a else 0.0


def _ends_ohm(wiring: Wiring, number: int, joints: str) -> float | None:
    """Crimps of a piece that is cable; None of any other. [ohm]"""
    wire = wiring.topology.pieces[number].wire
    if wire is None:
        return None
    size = wire.size or wiring.stand_ins[wire.name]
    return wire_end_ends(size.area_mm2, wire.parallel).at(joints)


def _clearing(
    wiring: Wiring, found: CircuitAssessment, fuses: Iterable[FuseAssessment]
) -> ClearingWorking | None:
    """The slowest of the fuses before a circuit's far end."""
    last = next((name for name, wire in reversed(list(found.wires.items())) if not wire.returning), None)
    fault_a, wanted = found.fault_least_a, found.clearing_s
    if fault_a is None or wanted is None or wanted == math.inf:
        return None
    for fuse in fuses:
        part = wiring.topology.pieces[wiring.index(fuse.name)].part
        if last not in fuse.protects or part is None or fuse.rating_a is None or fuse.family is None:
            continue
        time_s = slowest_clearing_s(wiring, part, fuse.family, fuse.rating_a, fault_a)
        if time_s is not None and math.isclose(time_s, wanted, rel_tol=1e-9):
            return _between_gates(wiring, part, fuse, fault_a, time_s)
    return None


def _between_gates(
    wiring: Wiring, part: Part, fuse: FuseAssessment, fault_a: float, time_s: float
) -> ClearingWorking | None:
    """The gates that a fault lies between, as cold as the fuse gets."""
    rating_a, family = fuse.rating_a, fuse.family
    assert rating_a is not None
    assert family is not None
    cold = growth_in_cold(family, wiring.installation.zones[part.zone].low_c)
    opening = opening_of(family, rating_a, cold, wiring.installation.curves.get(part.curve or ""))
    if isinstance(opening, NotTabled):
        return None
    points = list(zip(opening.multiples, opening.times_s, strict=True))
    at = sum(multiple <= fault_a / rating_a for multiple, _ in points)
    return ClearingWorking(
        fuse=fuse.name,
        rating_a=rating_a,
        fault_a=fault_a,
        gates=tuple(points[at - 1 : at + 1]) if 0 < at < len(points) else (points[-1],),
        time_s=time_s,
        source=opening.source,
        known=opening.known,
    )


def _heat(wiring: Wiring, found: CircuitAssessment) -> HeatWorking | None:
    """The conductor that gets hottest, where it does."""
    if found.conductor_c is None:
        return None
    for rated in found.wires.values():
        number = wiring.topology.index.get(rated.name)
        wire = None if number is None else wiring.topology.pieces[number].wire
        amps = rated.continuous_a
        if wire is None or wire.size is None or not amps or rated.conductor_c != found.conductor_c:
            continue
        one = conductor(wire, wire.size, wiring.installation.basis)
        each_a = amps / wire.parallel
        lie = max(wiring.lies[wire.name], key=lambda lie: steady_c(one, each_a, lie.ambient_c, lie.share))
        return _heat_of(wiring, wire, lie, each_a, rated.conductor_c)
    return None


def _heat_of(wiring: Wiring, wire: Wire, lie: Lie, amps: float, temp_c: float) -> HeatWorking | None:
    assert wire.size is not None
    one = conductor(wire, wire.size, wiring.installation.basis)
    steady = steady_c(one, amps, lie.ambient_c, lie.share)
    if not math.isfinite(steady) or steady <= lie.ambient_c:
        return None
    return HeatWorking(
        wire=wire.name,
        zone=lie.zone,
        ambient_c=lie.ambient_c,
        current_a=amps,
        bundle_share=lie.share,
        duty_share=(temp_c - lie.ambient_c) / (steady - lie.ambient_c),
        ohm_per_m_20c=one.data.ohm_per_m_20c,
        alpha20_per_k=one.data.alpha20_per_k,
        k_m_per_w=thermal_resistance_k_m_per_w(
            steady,
            lie.ambient_c,
            outer_d_mm=one.data.outer_d_mm,
            wall_k_m_per_w=one.wall_k_m_per_w,
            emissivity=one.insulation.emissivity,
        ),
        steady_c=steady,
        temp_c=temp_c,
    )
