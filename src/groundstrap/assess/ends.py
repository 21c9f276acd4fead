"""Which source feeds a fault on each cable, from which of its ends, and which device opens it.

Every contact counts as closed, and those on the way are named: a source feeds while all of them are. A source
that limits its own current opens nothing, so no device is named for it; a battery's own protection never
counts.
"""

from __future__ import annotations

import heapq
from collections.abc import Mapping

from groundstrap.assess.failure_results import EndFeed
from groundstrap.assess.failure_rows import rings
from groundstrap.assess.figures import SOLAR_MARGIN
from groundstrap.assess.regions import Guard
from groundstrap.assess.topology import Piece, Topology
from groundstrap.assess.wiring import Wiring
from groundstrap.model import PartKind, State, Supply, SupplyKind
from groundstrap.records import dataclass, replace

__all__ = ["feeds_of", "unfused_m"]

_CONTACTS = frozenset({PartKind.RELAY, PartKind.SWITCH, PartKind.ISOLATOR})


@dataclass(frozen=True, slots=True)
class _Way:
    """The way of least fuses, then least contacts, then least pieces from a source to a node."""

    by: Piece | None
    fuse: str | None
    through: tuple[str, ...]


def feeds_of(wiring: Wiring, standing: Mapping[str, Guard]) -> Mapping[str, tuple[EndFeed, ...]]:
    """Return what feeds a fault on each cable, ways back included, by its name."""
    topology = wiring.topology
    ways = topology.kept.once("feeds", lambda: _structure(topology))
    result = {name: tuple(_limited(wiring, feed) for feed in feeds) for name, feeds in ways.items()}
    for name, feeds in _back(wiring, standing).items():
        result.setdefault(name, feeds)
    return result


def unfused_m(wiring: Wiring, feeds: Mapping[str, tuple[EndFeed, ...]]) -> Mapping[str, float]:
    """Return how much cable each battery reaches with no fuse or breaker between. [m]"""
    result: dict[str, float] = {}
    for name, each in feeds.items():
        wire = wiring.topology.pieces[wiring.index(name)].wire
        length_m = wire.length_m if wire is not None else 0.0
        bare = (feed.source for feed in each if feed.opened_by is None and feed.limit_a is None)
        for source in dict.fromkeys(bare):
            result[source] = result.get(source, 0.0) + length_m
    return result


def _limited(wiring: Wiring, feed: EndFeed) -> EndFeed:
    """The same with what a source that limits itself gives; it gives no more, so nothing opens on it."""
    found = wiring.supplies[feed.source]
    if found.kind is SupplyKind.BATTERY:
        return feed
    margin = SOLAR_MARGIN if found.kind is SupplyKind.SOLAR else 1.0
    amps = found.limit_a if found.limit_a is not None else float("inf")
    return replace(feed, opened_by=None, limit_a=margin * amps)


def _structure(topology: Topology) -> Mapping[str, tuple[EndFeed, ...]]:
    """Feeds by the shape alone."""
    ring = rings(topology, frozenset(), batteries=False)
    near = _near(topology)
    found: dict[str, list[EndFeed]] = {}
    for supply in topology.installation.supplies.values():
        starts = _posts(topology, supply)
        if not starts:
            continue
        ways = _ways(near, starts, "")
        for piece in topology.pieces:
            if piece.wire is None:
                continue
            around = _ways(near, starts, piece.name) if piece.name in ring else {}
            for node, from_end in ((piece.start, False), (piece.end, True)):
                way = ways.get(node)
                if way is not None and way.by is piece:
                    way = around.get(node)
                if way is not None:
                    feed = EndFeed(
                        source=supply.name, from_end=from_end, opened_by=way.fuse, through=way.through
                    )
                    found.setdefault(piece.name, []).append(feed)
    return {name: tuple(feeds) for name, feeds in found.items()}


def _posts(topology: Topology, supply: Supply) -> frozenset[int]:
    if supply.state is State.REMOVE:
        return frozenset()
    points = (supply.plus, *supply.taps)
    return frozenset(topology.node(point) for point in points if point in topology.node_of)


def _near(topology: Topology) -> Mapping[int, tuple[tuple[Piece, int], ...]]:
    """Each node's conductors with the node at their other end; a diode lets through one way alone."""
    near: dict[int, list[tuple[Piece, int]]] = {}
    for piece in topology.pieces:
        if not piece.conducts:
            continue
        near.setdefault(piece.start, []).append((piece, piece.end))
        if piece.part is None or piece.part.kind is not PartKind.DIODE:
            near.setdefault(piece.end, []).append((piece, piece.start))
    return {node: tuple(steps) for node, steps in near.items()}


def _ways(
    near: Mapping[int, tuple[tuple[Piece, int], ...]], starts: frozenset[int], without: str
) -> dict[int, _Way]:
    """Best way from some posts to every node that they reach, one piece left out."""
    found: dict[int, _Way] = {}
    queue: list[tuple[int, int, int, int, int, _Way]] = []
    number = 0
    for node in sorted(starts):
        heapq.heappush(queue, (0, 0, 0, number, node, _Way(None, None, ())))
        number += 1
    while queue:
        fuses, contacts, steps, _, node, way = heapq.heappop(queue)
        if node in found:
            continue
        found[node] = way
        for piece, other in near.get(node, ()):
            if other in found or piece.name == without:
                continue
            contact = piece.part is not None and piece.part.kind in _CONTACTS
            onward = _Way(
                piece,
                piece.name if piece.is_fuse else way.fuse,
                (*way.through, piece.name) if contact else way.through,
            )
            cost = (fuses + piece.is_fuse, contacts + contact, steps + 1)
            heapq.heappush(queue, (*cost, number, other, onward))
            number += 1
    return found


def _back(wiring: Wiring, standing: Mapping[str, Guard]) -> Mapping[str, tuple[EndFeed, ...]]:
    """Ways back: a short at their loads feeds them, through the last fuse that all of them have passed."""
    found: dict[str, list[EndFeed]] = {}
    for guard in standing.values():
        fuse = wiring.topology.pieces[wiring.index(guard.fuse)]
        feeding = wiring.tree.circuits.get(fuse.circuit or "")
        for name in guard.pieces:
            piece = wiring.topology.pieces[wiring.index(name)]
            if piece.wire is not None and feeding is not None and feeding.source is not None:
                found.setdefault(name, []).append(_through_load(wiring, piece, feeding.source, guard.fuse))
    return {name: tuple(feeds) for name, feeds in found.items()}


def _through_load(wiring: Wiring, piece: Piece, source: str, fuse: str) -> EndFeed:
    minus = wiring.installation.supplies[source].minus
    return EndFeed(source=source, from_end=piece.start == wiring.node(minus), opened_by=fuse)
