"""Current of other circuits that comes back through a converter, whose input and output share a negative."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from groundstrap.assess.bonds import assess_bonds, straps_a
from groundstrap.assess.return_results import ReturnsAssessment, ThroughConverter
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Circuit, State, Supply, Wire

__all__ = ["assess_returns", "through_converters"]

_NOTHING_A = 0.05
"""Below what a clamp can read; own judgement. [A]"""


def assess_returns(wiring: Wiring) -> ReturnsAssessment:
    """Return what is said about ways back that circuits share."""
    return ReturnsAssessment(
        bonds=assess_bonds(wiring), straps_a=straps_a(wiring), through=through_converters(wiring)
    )


def through_converters(wiring: Wiring) -> Mapping[str, ThroughConverter]:
    """Return each converter with a common negative that other circuits' current passes, by its name."""
    found = {}
    for supply in wiring.installation.supplies.values():
        if supply.in_minus is None or supply.isolated or supply.state is State.REMOVE:
            continue
        own = _own(wiring, supply)
        each = [_through(wiring, supply, wire, own) for wire in _negatives(wiring, supply)]
        worst = max((one for one in each if one is not None), key=lambda one: one.foreign_a, default=None)
        if worst is not None:
            found[supply.name] = worst
    return found


def _own(wiring: Wiring, supply: Supply) -> frozenset[str]:
    """What it feeds, and its own input."""
    fed = {name for name, draw in wiring.currents.draws.items() if draw.source == supply.name}
    return frozenset(fed | {supply.name, f"{supply.name} input"})


def _negatives(wiring: Wiring, supply: Supply) -> Iterator[Wire]:
    """Cable at the negative of its input or of its output."""
    ends = {supply.in_minus, supply.minus}
    for wire in wiring.installation.wires():
        if ends & {wire.start, wire.end} and wire.name in wiring.currents.pieces:
            yield wire


def _through(wiring: Wiring, supply: Supply, wire: Wire, own: frozenset[str]) -> ThroughConverter | None:
    carried = wiring.currents.pieces[wire.name]
    mine = {name: amps for name, amps in carried.thermal_shares.items() if name in own}
    others = {name: amps for name, amps in carried.thermal_shares.items() if name not in own}
    foreign_a = _one_way_a(others)
    if foreign_a < _NOTHING_A:
        return None
    loads = tuple(name for name, amps in sorted(others.items(), key=lambda each: -abs(each[1])) if amps)
    return ThroughConverter(
        converter=supply.name,
        wire=wire.name,
        circuit=wire.circuit,
        own_a=_one_way_a(mine),
        foreign_a=foreign_a,
        limit_a=wiring.supplies[supply.name].limit_a if supply.name in wiring.supplies else None,
        loads=loads,
        joins=_joins(wiring, supply),
    )


def _one_way_a(amps: Mapping[str, float]) -> float:
    """The larger of what flows one way and what flows the other. [A]"""
    return max(sum(a for a in amps.values() if a > 0.0), -sum(a for a in amps.values() if a < 0.0), 0.0)


def _joins(wiring: Wiring, supply: Supply) -> tuple[str, ...]:
    """The points that its negative joins: where its input comes back to, and where its output does."""
    installation = wiring.installation
    backs = [c.back_end for c in installation.circuits.values() if _feeds(c, supply) and c.back_end]
    ties = [
        tie.end for tie in installation.ties if tie.kind == "charger negative" and tie.start == supply.minus
    ]
    ends = {supply.in_minus, supply.minus}
    cables = [
        end
        for wire in installation.wires()
        for end, other in ((wire.start, wire.end), (wire.end, wire.start))
        if other == supply.minus and end not in ends
    ]
    return tuple(dict.fromkeys((*backs, *ties, *cables)))


def _feeds(circuit: Circuit, supply: Supply) -> bool:
    return circuit.converter == supply.name and circuit.state is not State.REMOVE
