"""Which fuse stands before which cable: the live side cut into regions at its fuses, and the ways back."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping

from groundstrap.assess.positions import alternatives
from groundstrap.assess.topology import Piece, PieceKind, Topology, UnionFind
from groundstrap.assess.tree import CircuitTree, consuming
from groundstrap.model import State, SupplyKind
from groundstrap.records import dataclass

__all__ = ["Guard", "guards"]


@dataclass(frozen=True, slots=True)
class Guard:
    """What one fuse or breaker stands before, up to the next one."""

    fuse: str
    pieces: tuple[str, ...]
    """Wires and parts, ways back included."""
    loads: tuple[str, ...]
    """Loads whose own lead it stands before."""


@dataclass(frozen=True, slots=True)
class _Regions:
    """Live nodes joined by everything but fuses."""

    sets: UnionFind
    live: frozenset[int]
    distance: Mapping[int, int]
    """Region -> fuses between it and the nearest source."""
    bare: frozenset[int]
    """Regions that a battery reaches through nothing."""
    open_now: frozenset[str]
    """Pieces that are left out."""


def guards(topology: Topology, tree: CircuitTree) -> Mapping[str, Guard]:
    """Return for every fuse and breaker what it stands before."""
    return tree.kept.once("guards", lambda: _all_guards(topology, tree))


def _all_guards(topology: Topology, tree: CircuitTree) -> Mapping[str, Guard]:
    fuses = [piece for piece in topology.pieces if piece.is_fuse]
    found: dict[str, Guard] = {}
    for turn in alternatives(topology):
        for guard in _guards(topology, tree, fuses, _cut(topology, turn)):
            before = found.get(guard.fuse, Guard(guard.fuse, (), ()))
            found[guard.fuse] = Guard(
                guard.fuse,
                tuple(dict.fromkeys(before.pieces + guard.pieces)),
                tuple(dict.fromkeys(before.loads + guard.loads)),
            )
    return found


def _guards(topology: Topology, tree: CircuitTree, fuses: list[Piece], regions: _Regions) -> Iterator[Guard]:
    """With one way for each load that may be fed by several."""
    ahead = {fuse.name: _ahead(regions, fuse) for fuse in fuses}
    back = _ways_back(topology, tree, regions, fuses)
    for fuse in fuses:
        inside = [
            p.name
            for p in topology.pieces
            if p.conducts
            and not p.is_fuse
            and p.start in regions.live
            and regions.sets.root(p.start) in ahead[fuse.name]
        ]
        loads = [
            p.name
            for p in topology.pieces
            if p.kind is PieceKind.LOAD
            and p.start in regions.live
            and regions.sets.root(p.start) in ahead[fuse.name]
        ]
        linked = _linked(topology, regions, fuse)
        cable = (*inside, *linked, *_before(topology, regions, fuse), *back.get(fuse.name, ()))
        yield Guard(fuse.name, tuple(dict.fromkeys(cable)), tuple(loads))


def _before(topology: Topology, regions: _Regions, fuse: Piece) -> Iterator[str]:
    """Cable of a fuse's own circuit between it and a battery that no other fuse stands before.

    What the fuse lets pass for hours comes through that too; only a short there does not pass the fuse.

    Source: iec-60364-4-43, 433.2.2; a device against overload may stand along the run that it protects.
    """
    near = {regions.sets.root(fuse.start), regions.sets.root(fuse.end)} & regions.bare
    for piece in topology.pieces:
        wire = piece.wire
        if wire is None or wire.returning or piece.circuit is None or piece.circuit != fuse.circuit:
            continue
        if piece.start in regions.live and regions.sets.root(piece.start) in near:
            yield piece.name


def _linked(topology: Topology, regions: _Regions, fuse: Piece) -> tuple[str, ...]:
    """Pieces between a fuse and a battery's post that another source feeds through it.

    Nothing opens on what the nearest battery feeds into them; what comes from beyond the fuse it stops.
    """
    a, b = regions.sets.root(fuse.start), regions.sets.root(fuse.end)
    batteries = _post_nodes(topology, batteries=True)
    result: list[str] = []
    for node, beyond in ((fuse.start, b), (fuse.end, a)):
        fed = a != b and (beyond in regions.bare or _machine_of(topology, regions, fuse, beyond))
        if fed and regions.sets.root(node) in regions.bare:
            result += _way(topology, regions, node, batteries)
    return tuple(result)


def _machine_of(topology: Topology, regions: _Regions, fuse: Piece, region: int) -> bool:
    """Whether the fuse's own circuit begins or ends in a region at a source that limits its own current."""
    circuit = topology.installation.circuits.get(fuse.circuit or "")
    ends = (circuit.start, circuit.end) if circuit is not None else ()
    nodes = {topology.node(point) for point in ends if point in topology.node_of}
    machines = nodes & _post_nodes(topology, batteries=False)
    return any(regions.sets.root(node) == region for node in machines)


def _way(topology: Topology, regions: _Regions, start: int, posts: frozenset[int]) -> tuple[str, ...]:
    """Wires and parts on the way of least pieces from a fuse's end to a post, through no other fuse."""
    came: dict[int, tuple[int, Piece] | None] = {start: None}
    queue = deque([start])
    while queue:
        node = queue.popleft()
        if node in posts:
            return tuple(_walked(came, node))
        for piece in topology.pieces:
            if not piece.conducts or piece.is_fuse or piece.name in regions.open_now:
                continue
            if node in {piece.start, piece.end}:
                other = piece.end if piece.start == node else piece.start
                if other not in came:
                    came[other] = (node, piece)
                    queue.append(other)
    return ()


def _walked(came: Mapping[int, tuple[int, Piece] | None], node: int) -> Iterator[str]:
    step = came[node]
    while step is not None:
        node, piece = step
        yield piece.name
        step = came[node]


def _cut(topology: Topology, open_now: frozenset[str]) -> _Regions:
    sets = UnionFind(len(topology.nodes))
    links: list[Piece] = []
    for piece in topology.pieces:
        if piece.conducts and piece.name not in open_now:
            if piece.is_fuse:
                links.append(piece)
            else:
                sets.join(piece.start, piece.end)
    neighbours: dict[int, set[int]] = {}
    for link in links:
        a, b = sets.root(link.start), sets.root(link.end)
        neighbours.setdefault(a, set()).add(b)
        neighbours.setdefault(b, set()).add(a)
    bare = _posts(topology, sets, batteries=True)
    distance = _spread(dict.fromkeys(bare, 0), neighbours)
    # What only a machine feeds: its output counts as the source.
    machines = {r for r in _posts(topology, sets, batteries=False) if r not in distance}
    distance |= _spread(dict.fromkeys(machines, 0), neighbours)
    live = frozenset(node for node in range(len(topology.nodes)) if sets.root(node) in distance)
    return _Regions(sets, live, distance, bare, open_now)


def _posts(topology: Topology, sets: UnionFind, *, batteries: bool) -> frozenset[int]:
    return frozenset(sets.root(node) for node in _post_nodes(topology, batteries=batteries))


def _post_nodes(topology: Topology, *, batteries: bool) -> frozenset[int]:
    return frozenset(
        topology.node(point)
        for supply in topology.installation.supplies.values()
        if supply.state is not State.REMOVE and (supply.kind is SupplyKind.BATTERY) == batteries
        for point in (supply.plus, *supply.taps)
        if point in topology.node_of
    )


def _spread(start: dict[int, int], neighbours: Mapping[int, set[int]]) -> dict[int, int]:
    distance = dict(start)
    queue = deque(start)
    while queue:
        region = queue.popleft()
        for other in neighbours.get(region, ()):
            if other not in distance:
                distance[other] = distance[region] + 1
                queue.append(other)
    return distance


def _ahead(regions: _Regions, fuse: Piece) -> frozenset[int]:
    """Regions on the far side of a fuse as seen from a source; both where neither is nearer."""
    a, b = regions.sets.root(fuse.start), regions.sets.root(fuse.end)
    if a not in regions.distance or b not in regions.distance:
        return frozenset()
    near, far = regions.distance[a], regions.distance[b]
    both = {r for r, d, other in ((a, near, far), (b, far, near)) if d >= other}
    return frozenset(both - regions.bare)


def _ways_back(
    topology: Topology, tree: CircuitTree, regions: _Regions, fuses: list[Piece]
) -> dict[str, tuple[str, ...]]:
    """Each wire or part of a way back goes to the last fuse that everything through it has passed.

    What only charges a battery comes back too, and so does what a short on its way out makes.
    """
    reach = {fuse.name: tree.home_draws[fuse.name] for fuse in fuses}
    depth = {
        fuse.name: min(
            regions.distance.get(regions.sets.root(fuse.start), 0),
            regions.distance.get(regions.sets.root(fuse.end), 0),
        )
        for fuse in fuses
        if fuse.start in regions.live
    }
    result: dict[str, list[str]] = {}
    posts, owner = _same_battery(topology, fuses), {fuse.name: fuse.circuit for fuse in fuses}
    for piece in topology.pieces:
        if not piece.conducts or piece.start in regions.live or piece.is_fuse:
            continue
        drawn = consuming(topology, tree.home_draws[piece.name])
        draws = drawn or tree.home_draws[piece.name]
        holding = [name for name in depth if draws and draws <= reach[name]]
        if holding:
            least = min(len(reach[name]) for name in holding)
            closest = [name for name in holding if len(reach[name]) == least]
            same = [name for name in holding if (consuming(topology, reach[name]) or reach[name]) == draws]
            own = [name for name in same if (piece.circuit, name) in posts]
            # A second way from another battery can stand as near to a source as the circuit's own fuse.
            ways = [(depth[name], owner[name] == piece.circuit, name) for name in own or closest]
            # Between batteries a fault comes from either end, through the fuse there alone.
            holders = [max(ways)[-1]] if drawn else [name for *_, name in ways]
            for name in holders:
                result.setdefault(name, []).append(piece.name)
    return {name: tuple(pieces) for name, pieces in result.items()}


def _same_battery(topology: Topology, fuses: list[Piece]) -> frozenset[tuple[str | None, str]]:
    """Circuits on a battery's minus, each with the fuses of circuits on that battery's plus.

    Of batteries side by side each cable to a minus carries what its own battery's fuse carries, and no more.
    """
    installation = topology.installation
    pairs = set()
    for supply in installation.supplies.values():
        if supply.kind is not SupplyKind.BATTERY:
            continue
        minus = [c.name for c in installation.circuits.values() if supply.minus in {c.start, c.end}]
        plus = {c.name for c in installation.circuits.values() if supply.plus in {c.start, c.end}}
        pairs |= {(name, fuse.name) for name in minus for fuse in fuses if fuse.circuit in plus}
    return frozenset(pairs)
