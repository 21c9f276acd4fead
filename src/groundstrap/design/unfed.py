"""Circuits that no source feeds: they carry nothing because something is missing, so nothing is chosen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from groundstrap.assess import Topology, Wiring
from groundstrap.assess.bonds import bonded_fuses
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.takers import takes
from groundstrap.assess.topology import UnionFind
from groundstrap.model import Circuit, Installation, State, SupplyKind

__all__ = ["parted_links", "unfed_circuits"]


def unfed_circuits(wiring: Wiring) -> Mapping[str, str]:
    """Return each new circuit that leads to nothing but loads which no source feeds, with the first of these.

    Feeders of blocks that feed nothing else are among them. What leads to something in the vehicle already
    counts as fed, since nobody draws all of that.
    """
    return at_any_length(wiring, "unfed circuits", _unfed)


def _unfed(wiring: Wiring) -> Mapping[str, str]:
    installation, topology = wiring.installation, wiring.topology
    suspects = {
        name
        for name, load in installation.loads.items()
        if name in wiring.currents.draws
        and wiring.currents.draws[name].source is None
        and load.state is not State.REMOVE
    }
    new = [circuit for circuit in installation.circuits.values() if circuit.state is State.NEW]
    found = _giving_nothing(wiring, new) | dict(parted_links(wiring))
    if not suspects:
        return found
    lost = _lost(topology, suspects)
    found |= {c.name: c.loads[0] for c in new if c.loads and set(c.loads) <= lost}
    before = -1
    while len(found) > before:
        before = len(found)
        for circuit in new:
            behind = _behind(wiring, circuit, found)
            if circuit.name not in found and behind is not None:
                found[circuit.name] = behind
    return found | _useless_bonds(wiring, new, found)


def _useless_bonds(wiring: Wiring, new: Sequence[Circuit], found: Mapping[str, str]) -> dict[str, str]:
    """Bonds of batteries that feed nothing else: a size for no current would be far too thin once they do."""
    lost: dict[str, str] = {}
    bonded = bonded_fuses(wiring)
    for circuit in new:
        fuses = {fuse for wire in circuit.wires for fuse in bonded.get(wire.name, ())}
        owners = {wiring.topology.pieces[wiring.index(fuse)].circuit or "" for fuse in fuses}
        if owners and owners <= found.keys() and circuit.name not in found:
            lost[circuit.name] = found[min(owners)]
    return lost


def _giving_nothing(wiring: Wiring, new: Sequence[Circuit]) -> dict[str, str]:
    """New cable from what charges, with that, where nothing that it leads to comes back to its negative."""
    installation, topology = wiring.installation, wiring.topology
    begins = {circuit.start for circuit in new}
    machines = [
        supply
        for supply in installation.supplies.values()
        if supply.kind is not SupplyKind.BATTERY
        and supply.state is not State.REMOVE
        and supply.plus in begins
    ]
    if not machines:
        return {}
    sets = topology.joined()
    old = _roots(topology, sets, _old_points(installation))
    takers = {_ends(topology, sets, plus, minus) for plus, minus in takes(installation)}
    found: dict[str, str] = {}
    for machine in machines:
        ways = _ends(topology, sets, machine.plus, machine.minus)
        if ways in takers or set(ways) & old:
            continue
        for circuit in new:
            idle = all(wiring.currents.pieces[wire.name].continuous_a == 0.0 for wire in circuit.wires)
            behind = not circuit.loads and sets.root(topology.node(circuit.start)) == ways[0]
            if circuit.start == machine.plus or (behind and idle and circuit.converter is None):
                found.setdefault(circuit.name, machine.name)
    return found


def parted_links(wiring: Wiring) -> Mapping[str, str]:
    """Return each new circuit that joins batteries plus to plus but not minus to minus, with such a minus.

    It carries nothing as drawn, and a size for no current is far too thin once the minus posts are joined.
    """
    return at_any_length(wiring, "parted links", _parted)


def _parted(wiring: Wiring) -> Mapping[str, str]:
    installation, topology = wiring.installation, wiring.topology
    batteries = [
        supply
        for supply in installation.supplies.values()
        if supply.kind is SupplyKind.BATTERY
        and supply.state is not State.REMOVE
        and {supply.plus, supply.minus} <= topology.node_of.keys()
    ]
    if len(batteries) < 2:
        return {}
    found: dict[str, str] = {}
    metal = topology.joined()
    for circuit in installation.circuits.values():
        if circuit.state is not State.NEW or circuit.loads or circuit.converter is not None:
            continue
        if any(wiring.currents.pieces[wire.name].continuous_a != 0.0 for wire in circuit.wires):
            continue
        rest = topology.joined(frozenset(p.name for p in topology.pieces if p.circuit == circuit.name))
        near, far = (
            [b for b in batteries if rest.root(topology.node(b.plus)) == rest.root(topology.node(point))]
            for point in (circuit.start, circuit.end)
        )
        ways = [{metal.root(topology.node(b.minus)) for b in side} for side in (near, far)]
        if near and far and not ways[0] & ways[1]:
            found[circuit.name] = far[0].minus
    return found


def _roots(topology: Topology, sets: UnionFind, points: Iterable[str]) -> set[int]:
    return {sets.root(topology.node_of[point]) for point in points if point in topology.node_of}


def _ends(topology: Topology, sets: UnionFind, plus: str, minus: str) -> tuple[int, int]:
    """What its two poles are joined to; -1 for one that nothing leads to."""
    out, back = (sets.root(topology.node_of[p]) if p in topology.node_of else -1 for p in (plus, minus))
    return out, back


def _lost(topology: Topology, suspects: set[str]) -> set[str]:
    """Loads with a side from which no metal leads to a post of any source, nor to anything old."""
    sets = topology.joined()
    ends = _roots(topology, sets, _known_ends(topology.installation))
    loads = topology.installation.loads
    return {
        name
        for name in suspects
        if not {sets.root(topology.node(point)) for point in (loads[name].plus, loads[name].minus)} <= ends
    }


def _known_ends(installation: Installation) -> list[str]:
    """Posts of sources, and whatever is in the vehicle already."""
    supplies = [s for s in installation.supplies.values() if s.state is not State.REMOVE]
    points = [point for s in supplies for point in (s.plus, s.minus, *s.taps)]
    return points + _old_points(installation)


def _old_points(installation: Installation) -> list[str]:
    """What is in the vehicle already, of which not all is drawn."""
    points = [name for name, gear in installation.gear.items() if gear.state is State.EXISTING]
    old = [c for c in installation.circuits.values() if c.state is State.EXISTING]
    return points + [end for circuit in old for end in (circuit.start, circuit.end)]


def _behind(wiring: Wiring, circuit: Circuit, found: Mapping[str, str]) -> str | None:
    """The first load behind a feeder that carries nothing, where all that begins at its end is not fed."""
    if circuit.loads or circuit.converter is not None or wiring.tree.circuits[circuit.name].loads:
        return None
    there = [c for c in wiring.installation.circuits.values() if c.start == circuit.end and c is not circuit]
    if not there or any(c.name not in found for c in there):
        return None
    return found[there[0].name]
