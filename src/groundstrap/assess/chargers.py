"""Drops on the way to a battery that is charged: at the full current, since they make charging slow."""

from __future__ import annotations

import math

from groundstrap.assess.dropbase import blank_drop, certain, decided, nominal_of
from groundstrap.assess.limits import DropLimit
from groundstrap.assess.links import empty_v
from groundstrap.assess.results import DropAssessment
from groundstrap.assess.wiring import Case, Wiring, wire_values
from groundstrap.model import Circuit, Part, Situation, SupplyKind, Wire
from groundstrap.records import replace

__all__ = ["charging_drop", "holds", "into_charger_drop"]


def holds(wiring: Wiring, machine: str) -> bool:
    """Whether a converter holds the voltage of its output, where no battery does."""
    return any(machine in setting.sources and not setting.charging for setting in wiring.settings)


def charging_drop(wiring: Wiring, circuit: Circuit, limit: DropLimit) -> DropAssessment:
    """What a charging circuit loses at the full charging current, in its own cable and parts."""
    blank = blank_drop(limit, wiring.tree.circuits[circuit.name].source)
    case = Case(situation=Situation.DRIVING, running=frozenset())
    drop_v, amps = 0.0, 0.0
    own: tuple[Wire | Part, ...] = (*circuit.wires, *circuit.parts)
    for element in own:
        if element.name not in wiring.topology.index:
            continue
        current = wiring.currents.pieces[element.name].continuous_a
        if current is None or element.name in wiring.stand_ins:
            return blank
        amps = max(amps, current)
        drop_v += _loss(wiring, element.name, current, case)
    if not math.isfinite(drop_v):
        # A wire that its current heats without end has no drop; the rules on heat say so.
        return blank
    # More volts than there are between its ends it can't lose, whatever a machine could give, or cold copper
    # let through.
    drop_v = min(drop_v, _between_v(wiring, circuit))
    nominal = wiring.installation.system_v
    return replace(
        blank,
        drop_v=drop_v,
        drop_pct=100.0 * drop_v / nominal,
        load=circuit.end,
        low_v=drop_v,
        high_v=drop_v,
        decided=decided(drop_v, drop_v, limit.limit_v),
    )


def _between_v(wiring: Wiring, circuit: Circuit) -> float:
    """Most volts between the ends of a charging circuit: a supply at its high end, an empty battery. [V]"""
    kept = [s for s in wiring.installation.supplies.values() if s.name in wiring.supplies]
    starts = [s for s in kept if s.plus == circuit.start]
    ends = [s for s in kept if s.plus == circuit.end and s.kind is SupplyKind.BATTERY]
    # A charger without a written setpoint goes as high as the battery takes it.
    high_v = [wiring.supplies[s.name].high_v * s.series for s in (*starts, *ends)] if starts else []
    low_v = [empty_v(s, wiring.supplies[s.name]) for s in ends]
    linked_v = [
        piece.most_v
        for name in (*(wire.name for wire in circuit.wires), *(part.name for part in circuit.parts))
        if (piece := wiring.currents.pieces.get(name)) is not None and piece.most_v is not None
    ]
    apart_v = [max(high_v) - min(low_v)] if high_v and low_v else []
    return max((*apart_v, *linked_v), default=math.inf)


def into_charger_drop(wiring: Wiring, circuit: Circuit, limit: DropLimit) -> DropAssessment:
    """What is lost before the input of a converter that charges a battery, at the design currents."""
    draw = f"{circuit.converter} input"
    blank = replace(blank_drop(limit, wiring.tree.circuits[circuit.name].source), load=draw)
    design = wiring.currents.draws.get(draw)
    if design is None or not design.known or not certain(wiring, draw):
        return blank
    case = Case(situation=Situation.DRIVING, running=frozenset())
    drop_v = 0.0
    for piece in wiring.topology.pieces:
        if piece.conducts and draw in wiring.tree.drop_draws[piece.name]:
            carried = wiring.currents.pieces[piece.name].drop_a
            if carried is None:
                return blank
            share = min(
                1.0,
                wiring.currents.pieces[piece.name].thermal_shares.get(draw, design.drop_a) / design.drop_a,
            )
            drop_v += share * _loss(wiring, piece.name, carried, case)
    if not math.isfinite(drop_v):
        return blank
    return replace(
        blank,
        drop_v=drop_v,
        drop_pct=100.0 * drop_v / nominal_of(wiring, draw),
        load_v=design.low_v - drop_v,
        source_v=design.low_v,
        low_v=drop_v,
        high_v=drop_v,
        decided=decided(drop_v, drop_v, limit.limit_v),
    )


def _loss(wiring: Wiring, name: str, amps: float, case: Case) -> float:
    piece = wiring.topology.pieces[wiring.index(name)]
    if piece.wire is None:
        return amps * wiring.ends[name].typical
    size = piece.wire.size
    assert size is not None
    value = wire_values(wiring, piece.wire, size, case)
    share = value.kappa_per_a2 * amps**2
    return amps * value.cold_ohm / (1.0 - share) if share < 1.0 else float("inf")
