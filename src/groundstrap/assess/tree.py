"""The way of the current: what feeds each circuit, what hangs behind it, which cable no fuse protects."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field

import numpy as np

from groundstrap.assess.currents import DesignCurrents
from groundstrap.assess.flows import Floats
from groundstrap.assess.results import Unprotected
from groundstrap.assess.settings import SETTINGS, Setting
from groundstrap.assess.shape import Kept
from groundstrap.assess.topology import Piece, PieceKind, Topology
from groundstrap.model import PartKind, State, Supply, SupplyKind
from groundstrap.records import dataclass

__all__ = ["CircuitTree", "Feeding", "circuit_tree", "source_of", "unprotected_cable"]


_FAR = 10**6


@dataclass(frozen=True, slots=True, kw_only=True)
class Feeding:
    """Where one circuit stands."""

    name: str
    source: str | None
    feeders: tuple[str, ...]
    """Circuits that carry all of its current before it or after it, nearest the source first."""
    loads: tuple[str, ...]
    """Every load whose current passes it, converters passed through."""
    draws: tuple[str, ...]
    """Draws (loads, converter inputs, charging) whose current passes it directly."""
    in_loop: bool
    charging: bool


@dataclass(frozen=True, slots=True)
class CircuitTree:
    """All circuits with their places."""

    circuits: Mapping[str, Feeding]
    draws_of_piece: Mapping[str, frozenset[str]]
    """Draws whose current passes a piece in some setting."""
    home_draws: Mapping[str, frozenset[str]]
    """The same in the first setting that serves a draw, which is at rest where it runs then."""
    drop_draws: Mapping[str, frozenset[str]]
    """Draws that a piece lies in the way of, from the source that their drop counts from."""
    loads_behind: Mapping[str, frozenset[str]]
    """Loads that need a piece to be closed, converters passed through."""
    kept: Kept = field(init=False, default_factory=Kept, repr=False, compare=False)
    """What was found by it and its shape alone; the tree of a shape without loops lives as long as that."""


def consuming(topology: Topology, draws: Iterable[str]) -> frozenset[str]:
    """Return the draws that take something: loads and converters' inputs, not what charges or is charged."""
    kinds = {PieceKind.LOAD, PieceKind.INPUT}
    return frozenset(
        name
        for name in draws
        if name in topology.index and topology.pieces[topology.index[name]].kind in kinds
    )


def source_of(topology: Topology, settings: tuple[Setting, ...], draw: str) -> Supply | None:
    """Return the supply that gives most of a draw's current, in the first setting that serves it."""
    for setting in settings:
        number = setting.flows.draws.index(draw)
        if not setting.flows.served[number] or draw in setting.pushes:
            continue
        shares = {
            name: abs(float(setting.flows.share[topology.index[name], number])) for name in setting.sources
        }
        if shares and max(shares.values()) > 1e-6:
            # Of batteries that give alike the first by name, whatever the last bit says.
            best = min(shares, key=lambda name: (-round(shares[name], 9), name))
            return topology.pieces[topology.index[best]].supply
    return None


def circuit_tree(topology: Topology, settings: tuple[Setting, ...], currents: DesignCurrents) -> CircuitTree:
    """Return where every circuit stands."""
    if settings is not topology.kept.get(SETTINGS):
        return _circuit_tree(topology, settings, currents)
    return topology.kept.once("tree", lambda: _circuit_tree(topology, settings, currents))


def _circuit_tree(topology: Topology, settings: tuple[Setting, ...], currents: DesignCurrents) -> CircuitTree:
    draws_of_piece = _draws_of_pieces(topology, settings)
    ways = _ways(topology, settings, [setting.flows.share for setting in settings])
    home = _draws_on(topology, ways)
    straight = _draws_on(topology, _ways(topology, settings, [setting.own for setting in settings]))
    through = _through_converters(topology, draws_of_piece)
    behind = {
        name: frozenset(load for draw in draws for load in through.get(draw, frozenset({draw})))
        for name, draws in draws_of_piece.items()
    }
    members = _pieces_of_circuits(topology)
    places = _places(topology, members, ways)
    carried = {name: frozenset().union(*(draws_of_piece[p] for p in ps)) for name, ps in members.items()}
    circuits = {}
    for circuit in topology.installation.circuits.values():
        if circuit.state is State.REMOVE:
            continue
        own = _own_draws(topology, circuit.name, carried.get(circuit.name, frozenset()))
        names = members.get(circuit.name, ())
        loads = frozenset().union(*(behind[p] for p in names)) & set(topology.installation.loads)
        circuits[circuit.name] = Feeding(
            name=circuit.name,
            source=_source_name(topology, settings, currents, circuit.name, own),
            feeders=_feeders(circuit.name, own, places, ways),
            loads=tuple(n for n in topology.installation.loads if n in loads),
            draws=tuple(sorted(carried.get(circuit.name, frozenset()))),
            in_loop=any(currents.pieces[p].shared for p in names),
            charging=_charges(topology, circuit.name),
        )
    return CircuitTree(circuits, draws_of_piece, home, straight, behind)


def _draws_of_pieces(topology: Topology, settings: tuple[Setting, ...]) -> dict[str, frozenset[str]]:
    names = settings[0].flows.draws
    result = {}
    touched = [
        (np.abs(s.flows.share) > 1e-6) & np.array([name in s.runs for name in names]) for s in settings
    ]
    any_touch = np.logical_or.reduce(touched)
    for row, piece in enumerate(topology.pieces):
        result[piece.name] = frozenset(names[k] for k in np.flatnonzero(any_touch[row]))
    return result


def _ways(
    topology: Topology, settings: tuple[Setting, ...], shares: Sequence[Floats]
) -> dict[str, tuple[frozenset[str], ...]]:
    """For each draw the pieces that its current passes in the first setting that serves it.

    Where a load may be fed by either of two switches, each way is one set.
    """
    result = {}
    names = [piece.name for piece in topology.pieces]
    for column, draw in enumerate(settings[0].flows.draws):
        serving = [
            (s, share)
            for s, share in zip(settings, shares, strict=True)
            if draw in s.runs and s.flows.served[column]
        ]
        ways = []
        for setting, share in serving:
            first = serving[0][0]
            if (setting.situations, setting.drivers) == (first.situations, first.drivers):
                touched = np.flatnonzero(np.abs(share[:, column]) > 1e-6)
                ways.append(frozenset(names[row] for row in touched))
        result[draw] = tuple(dict.fromkeys(ways))
    return result


def _draws_on(
    topology: Topology, ways: Mapping[str, tuple[frozenset[str], ...]]
) -> dict[str, frozenset[str]]:
    result: dict[str, set[str]] = {piece.name: set() for piece in topology.pieces}
    for draw, each in ways.items():
        for name in frozenset().union(*each):
            result[name].add(draw)
    return {name: frozenset(draws) for name, draws in result.items()}


def _through_converters(
    topology: Topology, draws_of_piece: Mapping[str, frozenset[str]]
) -> dict[str, frozenset[str]]:
    """For each converter input, the loads on its output (nested converters followed)."""
    inputs = {
        p.name: p.supply.name for p in topology.pieces if p.kind is PieceKind.INPUT and p.supply is not None
    }
    result: dict[str, frozenset[str]] = {
        name: draws_of_piece.get(machine, frozenset()) - {machine} for name, machine in inputs.items()
    }
    for _ in inputs:
        result = {
            name: frozenset(
                inner
                for draw in draws | {name}
                for inner in (result[draw] if draw in result and draw != name else {draw})
            )
            for name, draws in result.items()
        }
    return result


def _pieces_of_circuits(topology: Topology) -> dict[str, tuple[str, ...]]:
    members: dict[str, list[str]] = {}
    for piece in topology.pieces:
        if piece.circuit is not None:
            members.setdefault(piece.circuit, []).append(piece.name)
    return {name: tuple(pieces) for name, pieces in members.items()}


def _own_draws(topology: Topology, circuit: str, carried: frozenset[str]) -> frozenset[str]:
    """Draws that hang on the circuit itself; for a feeder, everything that it carries."""
    model = topology.installation.circuits[circuit]
    ends = set(model.loads)
    if model.converter is not None:
        ends.add(f"{model.converter} input")
    return (carried & ends) or consuming(topology, carried) or carried


def _source_name(
    topology: Topology,
    settings: tuple[Setting, ...],
    currents: DesignCurrents,
    circuit: str,
    own: frozenset[str],
) -> str | None:
    model = topology.installation.circuits[circuit]
    charges = _charges(topology, circuit)
    for draw in sorted(own):
        if not charges and draw in currents.draws and currents.draws[draw].source is not None:
            return currents.draws[draw].source
    for supply in topology.installation.supplies.values():
        posts = {supply.plus, *supply.taps}
        if any(
            point in topology.node_of and topology.node(point) == topology.node(model.start)
            for point in posts
        ):
            return supply.name
    del settings
    return None


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a circuit stands among the others: its pieces, the draws that they carry, how near it begins."""

    pieces: frozenset[str]
    carried: frozenset[str]
    near: int


def _places(
    topology: Topology,
    members: Mapping[str, tuple[str, ...]],
    ways: Mapping[str, tuple[frozenset[str], ...]],
) -> dict[str, _Place]:
    distance = _distances(topology)
    return {
        circuit: _Place(pieces, _carried_by(ways, pieces), _nearest(topology, names, distance))
        for circuit, names in members.items()
        for pieces in [frozenset(names)]
    }


def _feeders(
    circuit: str,
    own: frozenset[str],
    places: Mapping[str, _Place],
    ways: Mapping[str, tuple[frozenset[str], ...]],
) -> tuple[str, ...]:
    mine = places.get(circuit)
    if mine is None or not own:
        return ()
    passing = {draw: [way for way in ways.get(draw, ()) if not way.isdisjoint(mine.pieces)] for draw in own}
    if not all(passing.values()):
        return ()
    every = frozenset(way for each in passing.values() for way in each)
    found: list[tuple[int, int, str]] = []
    for order, (other, its) in enumerate(places.items()):
        if other == circuit or any(way.isdisjoint(its.pieces) for way in every):
            continue
        if its.carried > mine.carried or (its.carried >= own and its.near < mine.near):
            found.append((its.near, order, other))
    return tuple(name for _, _, name in sorted(found))


def _carried_by(ways: Mapping[str, tuple[frozenset[str], ...]], pieces: frozenset[str]) -> frozenset[str]:
    return frozenset(d for d, each in ways.items() if not all(way.isdisjoint(pieces) for way in each))


def _nearest(topology: Topology, names: tuple[str, ...], distance: Mapping[int, int]) -> int:
    """Pieces between a circuit's way out and the nearest post; its way back ends nearer than it begins."""
    pieces = [topology.pieces[topology.index[name]] for name in names]
    out = [p for p in pieces if not (owner := p.wire or p.part) or not owner.returning]
    ends = [node for piece in out for node in (piece.start, piece.end)]
    return min((distance.get(node, _FAR) for node in ends), default=_FAR)


def live_nodes(topology: Topology) -> frozenset[int]:
    """Return the nodes that a plus post reaches through conductors, every switch closed."""
    return topology.kept.once("live nodes", lambda: _live_nodes(topology))


def _live_nodes(topology: Topology) -> frozenset[int]:
    neighbours = _neighbours(topology, through_fuses=True)
    reached = {
        topology.node(point)
        for supply in topology.installation.supplies.values()
        if supply.state is not State.REMOVE
        for point in (supply.plus, *supply.taps)
        if point in topology.node_of
    }
    queue = deque(reached)
    while queue:
        for _, other in neighbours.get(queue.popleft(), ()):
            if other not in reached:
                reached.add(other)
                queue.append(other)
    return frozenset(reached)


def _distances(topology: Topology) -> dict[int, int]:
    """Pieces between each node and the nearest post of a supply."""
    neighbours = _neighbours(topology, through_fuses=True)
    start = {
        topology.node(point)
        for supply in topology.installation.supplies.values()
        for point in (supply.plus, supply.minus, *supply.taps)
        if point in topology.node_of
    }
    distance = dict.fromkeys(start, 0)
    queue = deque(start)
    while queue:
        node = queue.popleft()
        for piece, other in neighbours.get(node, ()):
            del piece
            if other not in distance:
                distance[other] = distance[node] + 1
                queue.append(other)
    return distance


def _neighbours(topology: Topology, *, through_fuses: bool) -> dict[int, list[tuple[Piece, int]]]:
    result: dict[int, list[tuple[Piece, int]]] = {}
    for piece in topology.pieces:
        if piece.conducts and (through_fuses or not piece.is_fuse) and not _holds_off(topology, piece):
            result.setdefault(piece.start, []).append((piece, piece.end))
            result.setdefault(piece.end, []).append((piece, piece.start))
    return result


def _holds_off(topology: Topology, piece: Piece) -> bool:
    """Whether nobody knows what a part is that stands between a plus and a negative: it joins nothing."""
    part, known = piece.part, topology.installation
    unknown = part is not None and part.kind is PartKind.UNKNOWN
    return part is not None and unknown and known.may_short(known.circuits[part.circuit])


def _charges(topology: Topology, circuit: str) -> bool:
    """Whether a circuit runs from a machine to a battery, or between batteries."""
    model = topology.installation.circuits[circuit]
    plus = {
        topology.node(s.plus): s.kind
        for s in topology.installation.supplies.values()
        if s.plus in topology.node_of
    }
    first = plus.get(topology.node(model.start))
    last = plus.get(topology.node(model.end))
    return first is not None and last is SupplyKind.BATTERY


def unprotected_cable(topology: Topology) -> Mapping[str, tuple[Unprotected, ...]]:
    """Return for each circuit the cable that a battery reaches with no fuse or breaker between.

    Every switch counts as closed. A machine that limits its own current is not counted as a source: its
    cable is protected at the battery's end, and reached from there.
    """
    neighbours = _neighbours(topology, through_fuses=False)
    found: dict[str, list[Unprotected]] = {}
    seen: set[str] = set()
    for supply in topology.installation.supplies.values():
        if supply.kind is not SupplyKind.BATTERY or supply.state is State.REMOVE:
            continue
        posts = [topology.node(p) for p in (supply.plus, *supply.taps) if p in topology.node_of]
        reached, queue = set(posts), deque(posts)
        while queue:
            node = queue.popleft()
            for piece, other in neighbours.get(node, ()):
                if piece.wire is not None and piece.name not in seen:
                    seen.add(piece.name)
                    found.setdefault(piece.wire.circuit, []).append(_bare(piece, node, topology, supply))
                if other not in reached:
                    reached.add(other)
                    queue.append(other)
    return {name: tuple(pieces) for name, pieces in found.items()}


def _bare(piece: Piece, node: int, topology: Topology, supply: Supply) -> Unprotected:
    wire = piece.wire
    assert wire is not None
    point = wire.start if topology.node(wire.start) == node else wire.end
    return Unprotected(
        point=point,
        length_m=wire.length_m,
        wire=wire.name,
        source=supply.name,
        length_known=wire.length_known,
    )
