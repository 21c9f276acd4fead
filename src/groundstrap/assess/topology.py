"""The shape of an installation: nodes, and the pieces that lie between them.

Everything of one installation that carries current becomes a `Piece` with two node numbers. Points that are
tied without resistance are one node. The body is a star: each chassis point has an arm to a hidden centre.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from enum import StrEnum

from groundstrap.assess.shape import Kept, kept_for
from groundstrap.errors import NetworkError
from groundstrap.model import (
    FUSES,
    Basis,
    Installation,
    Load,
    Part,
    State,
    Supply,
    SupplyKind,
    Tie,
    Wire,
)
from groundstrap.records import dataclass

__all__ = ["BODY", "Piece", "PieceKind", "Topology", "UnionFind", "lay_out"]

BODY = "body"
"""Hidden node in the middle of the body."""

_TIES_WITHOUT_RESISTANCE = frozenset({"same", "converter negative", "charger negative"})


class PieceKind(StrEnum):
    """What a piece of the network is."""

    WIRE = "wire"
    PART = "part"
    TIE = "tie"
    BODY = "body"
    LOAD = "load"
    BATTERY = "battery"
    OWN_DRAW = "own draw"
    """The vehicle's own draw at a battery's posts."""
    MACHINE = "machine"
    """An alternator, a charger's or converter's output: regulated up to a limit."""
    INPUT = "input"
    """A converter's or a solar charger's input."""
    PANEL = "panel"
    """A solar panel."""


_CONDUCTORS = frozenset({PieceKind.WIRE, PieceKind.PART, PieceKind.TIE, PieceKind.BODY})


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece between two nodes; `position` counts a bank's batteries from its negative end, from 1."""

    name: str
    kind: PieceKind
    start: int
    end: int
    wire: Wire | None = None
    part: Part | None = None
    tie: Tie | None = None
    load: Load | None = None
    supply: Supply | None = None
    position: int = 1

    @property
    def conducts(self) -> bool:
        """Whether it only conducts: no source and no load."""
        return self.kind in _CONDUCTORS

    @property
    def circuit(self) -> str | None:
        """The circuit that a wire or part belongs to."""
        owner = self.wire or self.part
        return owner.circuit if owner is not None else None

    @property
    def is_fuse(self) -> bool:
        """Whether it opens on too much current."""
        return self.part is not None and self.part.kind in FUSES


class UnionFind:
    """Sets of numbers that are joined one pair at a time."""

    def __init__(self, size: int) -> None:
        """Start with every number alone."""
        self._up = list(range(size))

    def root(self, item: int) -> int:
        """Return the number that stands for the set of this one."""
        up = self._up
        while up[item] != item:
            up[item] = up[up[item]]
            item = up[item]
        return item

    def join(self, a: int, b: int) -> bool:
        """Join two sets; False where they were one already."""
        first, second = self.root(a), self.root(b)
        if first == second:
            return False
        # The smaller number stands for the set, so that the reference stays number 0.
        self._up[max(first, second)] = min(first, second)
        return True


@dataclass(frozen=True, slots=True)
class Topology:
    """Nodes and pieces of one installation."""

    installation: Installation
    nodes: tuple[str, ...]
    node_of: Mapping[str, int]
    """Point -> node; several points may be one node."""
    pieces: tuple[Piece, ...]
    index: Mapping[str, int]
    """Name of a piece -> its number."""
    bypassed: tuple[str, ...]
    """Wires and parts whose both ends are one node."""
    kept: Kept = field(default_factory=Kept, repr=False, compare=False)
    """What was found for its shape before."""

    def node(self, point: str) -> int:
        """Return the node of a point."""
        try:
            return self.node_of[point]
        except KeyError:
            raise NetworkError(
                f"there is no point {point!r}",
                wanted="a point that some path, load or supply has",
                where=(point,),
            ) from None

    def conductors(self) -> tuple[Piece, ...]:
        """Return the pieces that only conduct."""
        return tuple(piece for piece in self.pieces if piece.conducts)

    def joined(self, shut: frozenset[str] = frozenset()) -> UnionFind:
        """Return which nodes conductors join, those left out that are open."""
        sets = UnionFind(len(self.nodes))
        for piece in self.pieces:
            if piece.conducts and piece.name not in shut:
                sets.join(piece.start, piece.end)
        return sets


def lay_out(installation: Installation) -> Topology:
    """Turn an installation into nodes and pieces; the reference is node 0."""
    drafts = _drafts(installation)
    points = _points(installation, drafts)
    numbers = {point: number for number, point in enumerate(points)}
    merged = UnionFind(len(points))
    for tie in installation.ties:
        if tie.kind in _TIES_WITHOUT_RESISTANCE:
            merged.join(numbers[tie.start], numbers[tie.end])
    roots = sorted({merged.root(number) for number in range(len(points))})
    node_of_root = {root: node for node, root in enumerate(roots)}
    node_of = {point: node_of_root[merged.root(number)] for point, number in numbers.items()}
    return _assemble(installation, tuple(points[root] for root in roots), node_of, drafts)


@dataclass(frozen=True, slots=True)
class _Draft:
    name: str
    kind: PieceKind
    start: str
    end: str
    subject: Wire | Part | Tie | Load | Supply | None
    position: int = 1


def _assemble(
    installation: Installation, nodes: tuple[str, ...], node_of: dict[str, int], drafts: Sequence[_Draft]
) -> Topology:
    pieces: list[Piece] = []
    bypassed: list[str] = []
    index: dict[str, int] = {}
    for draft in drafts:
        start, end = node_of[draft.start], node_of[draft.end]
        if start == end:
            bypassed.append(draft.name)
            continue
        if draft.name in index:
            raise NetworkError(
                f"two pieces are called {draft.name!r}", wanted="a name for each", where=(draft.name,)
            )
        index[draft.name] = len(pieces)
        pieces.append(_piece(draft, start, end))
    kept = kept_for(installation)
    return Topology(installation, nodes, node_of, tuple(pieces), index, tuple(bypassed), kept)


def _piece(draft: _Draft, start: int, end: int) -> Piece:
    subject = draft.subject
    return Piece(
        draft.name,
        draft.kind,
        start,
        end,
        wire=subject if isinstance(subject, Wire) else None,
        part=subject if isinstance(subject, Part) else None,
        tie=subject if isinstance(subject, Tie) else None,
        load=subject if isinstance(subject, Load) else None,
        supply=subject if isinstance(subject, Supply) else None,
        position=draft.position,
    )


def _drafts(installation: Installation) -> list[_Draft]:
    drafts = [_Draft(w.name, PieceKind.WIRE, w.start, w.end, w) for w in installation.wires()]
    drafts += [_Draft(p.name, PieceKind.PART, p.start, p.end, p) for p in installation.parts()]
    for tie in installation.ties:
        if tie.kind not in _TIES_WITHOUT_RESISTANCE:
            drafts.append(_Draft(tie.name, PieceKind.TIE, tie.start, tie.end, tie))
    distinct = tuple(dict.fromkeys(installation.chassis_points))
    if len(distinct) > 1:
        drafts += [_Draft(f"{BODY} to {point}", PieceKind.BODY, point, BODY, None) for point in distinct]
    for load in installation.loads.values():
        if load.state is not State.REMOVE:
            drafts.append(_Draft(load.name, PieceKind.LOAD, load.plus, load.minus, load))
    for supply in installation.supplies.values():
        if supply.state is not State.REMOVE:
            drafts += _supply_drafts(supply)
    drafts += _own_draws(installation)
    return drafts


def _own_draws(installation: Installation) -> list[_Draft]:
    """The vehicle's own draw, where it is written and at the vehicle's own battery on the road."""
    batteries = [
        s
        for s in installation.supplies.values()
        if s.kind is SupplyKind.BATTERY and s.state is not State.REMOVE
    ]
    own = installation.vehicle_battery or next(iter(batteries), None)
    return [
        _Draft(f"{supply.name} own draw", PieceKind.OWN_DRAW, supply.plus, supply.minus, supply)
        for supply in batteries
        if supply.standing_a or supply.running_a or (supply is own and installation.basis is Basis.ROAD)
    ]


def _supply_drafts(supply: Supply) -> list[_Draft]:
    if supply.kind is SupplyKind.BATTERY:
        ladder = (supply.minus, *supply.taps, supply.plus)
        many = len(ladder) > 2
        return [
            _Draft(
                f"{supply.name} {k}" if many else supply.name,
                PieceKind.BATTERY,
                ladder[k],
                ladder[k - 1],
                supply,
                k,
            )
            for k in range(1, len(ladder))
        ]
    if supply.kind is SupplyKind.SOLAR:
        return [_Draft(supply.name, PieceKind.PANEL, supply.plus, supply.minus, supply)]
    drafts = [_Draft(supply.name, PieceKind.MACHINE, supply.plus, supply.minus, supply)]
    if supply.in_plus is not None and supply.in_minus is not None:
        drafts.append(
            _Draft(f"{supply.name} input", PieceKind.INPUT, supply.in_plus, supply.in_minus, supply)
        )
    return drafts


def _points(installation: Installation, drafts: Iterable[_Draft]) -> list[str]:
    points = dict.fromkeys([installation.reference] if installation.reference else [])
    for draft in drafts:
        points.setdefault(draft.start)
        points.setdefault(draft.end)
    for tie in installation.ties:
        points.setdefault(tie.start)
        points.setdefault(tie.end)
    for circuit in installation.circuits.values():
        if circuit.state is not State.REMOVE:
            points.setdefault(circuit.start)
            points.setdefault(circuit.end)
    for point in installation.chassis_points:
        points.setdefault(point)
    return list(points)
