"""Where a fault can be told to sit: between neighbouring points that a test lead reaches.

Inside a segment nothing can be read apart, so a wire, its crimps and a sealed joint in it are one place.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from enum import StrEnum

from groundstrap.assess.topology import BODY, Piece, PieceKind, Topology, UnionFind
from groundstrap.model import FUSES, PartKind
from groundstrap.records import dataclass

__all__ = ["Segment", "SegmentKind", "segments_of"]


class SegmentKind(StrEnum):
    """What a segment is made of, as far as that says how likely it fails and what to look for."""

    JOINTS = "cable with its ends"
    GROUND = "cable to the body"
    FUSE = "fuse with its holder"
    CONTACT = "switch or relay"
    CONNECTOR = "plug"
    PART = "part"
    BODY = "body"
    TIE = "connection that nobody drew"
    UNKNOWN = "unknown piece"
    BATTERY = "battery"
    SUPPLY = "charging source"
    LOAD = "load"


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """One place: its pieces by their numbers, and the points that it lies between."""

    name: str
    kind: SegmentKind
    pieces: tuple[int, ...]
    points: tuple[str, ...]
    """Points that a test lead reaches, those at its ends first."""
    circuit: str | None = None

    @property
    def start(self) -> str:
        """One end."""
        return self.points[0]

    @property
    def end(self) -> str:
        """The other."""
        return self.points[-1]


def segments_of(topology: Topology) -> tuple[Segment, ...]:
    """Return every place of an installation, in the order of its pieces."""
    hidden = _hidden(topology)
    sets = UnionFind(len(topology.pieces))
    at: Mapping[int, list[int]] = defaultdict(list)
    for number, piece in enumerate(topology.pieces):
        for node in (piece.start, piece.end):
            if piece.conducts and node in hidden:
                at[node].append(number)
    for numbers in at.values():
        for other in numbers[1:]:
            sets.join(numbers[0], other)
    together: dict[int, list[int]] = {}
    for number, piece in enumerate(topology.pieces):
        if piece.kind not in {PieceKind.OWN_DRAW, PieceKind.INPUT, PieceKind.PANEL}:
            together.setdefault(sets.root(number), []).append(number)
    return tuple(_segment(topology, tuple(numbers), hidden) for numbers in together.values())


def _hidden(topology: Topology) -> frozenset[int]:
    """Nodes that no test lead reaches: the middle of the body, both ends of a sealed joint in a cable."""
    found = {topology.node_of[BODY]} if BODY in topology.node_of else set()
    for piece in topology.pieces:
        if piece.part is not None and piece.part.kind is PartKind.JOINT and piece.part.gear is None:
            found |= {piece.start, piece.end}
    return frozenset(found)


def _segment(topology: Topology, numbers: tuple[int, ...], hidden: frozenset[int]) -> Segment:
    pieces = [topology.pieces[number] for number in numbers]
    ends = [n for piece in pieces for n in (piece.start, piece.end) if n not in hidden]
    return Segment(
        name=_named(pieces),
        kind=_kind(pieces),
        pieces=numbers,
        # What hangs together through a hidden node may have many.
        points=tuple(topology.nodes[node] for node in dict.fromkeys(ends)),
        circuit=next((piece.circuit for piece in pieces if piece.circuit is not None), None),
    )


def _named(pieces: list[Piece]) -> str:
    return BODY if pieces[0].kind is PieceKind.BODY else pieces[0].name


_SUPPLIES = {PieceKind.BATTERY: SegmentKind.BATTERY, PieceKind.MACHINE: SegmentKind.SUPPLY}
_PARTS = {
    PartKind.SWITCH: SegmentKind.CONTACT,
    PartKind.RELAY: SegmentKind.CONTACT,
    PartKind.ISOLATOR: SegmentKind.CONTACT,
    PartKind.CONNECTOR: SegmentKind.CONNECTOR,
    PartKind.UNKNOWN: SegmentKind.UNKNOWN,
}


def _kind(pieces: list[Piece]) -> SegmentKind:
    first = pieces[0]
    if first.kind in _SUPPLIES:
        return _SUPPLIES[first.kind]
    if first.kind is PieceKind.LOAD:
        return SegmentKind.LOAD
    if first.kind is PieceKind.BODY:
        return SegmentKind.BODY
    if first.kind is PieceKind.TIE:
        return SegmentKind.TIE
    if first.part is not None and len(pieces) == 1:
        if first.part.kind in FUSES:
            return SegmentKind.FUSE
        return _PARTS.get(first.part.kind, SegmentKind.PART)
    ends = {point for piece in pieces if piece.wire for point in (piece.wire.start, piece.wire.end)}
    grounded = any(point.startswith("chassis") for point in ends)
    return SegmentKind.GROUND if grounded else SegmentKind.JOINTS
