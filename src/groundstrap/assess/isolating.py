"""What is live: which cable a source reaches with some contacts open, at rest and after each isolator."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping
from functools import lru_cache

from groundstrap.assess.positions import alternatives, opened
from groundstrap.assess.topology import PieceKind, Topology, lay_out
from groundstrap.model import Installation, PartKind, Situation, State, Supply, SupplyKind
from groundstrap.records import dataclass

__all__ = ["Isolation", "isolation_of"]

_ALWAYS: tuple[SupplyKind, ...] = (SupplyKind.BATTERY, SupplyKind.SOLAR)
"""What gives volts by itself, with the engine off and no shore lead in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Isolation:
    """Which cable is live when, each with the sources that reach it; a way back never counts as live."""

    parked: Mapping[str, tuple[str, ...]]
    """With the key out and every isolator as it is used, switches worked by hand closed."""
    after: Mapping[str, Mapping[str, tuple[str, ...]]]
    """The same with one isolator open, by its name: parts of a name, or their own where they have none."""
    all_open: Mapping[str, tuple[str, ...]]
    """With every isolator open."""
    after_batteries: Mapping[str, tuple[str, ...]]
    """With every isolator open and every battery's negative off: what other sources still reach."""
    ever: frozenset[str]
    """Cable that is at plus with everything closed; the rest is ways back and straps."""

    def dead(self, isolator: str) -> tuple[str, ...]:
        """Return the cable that is live while parked and no longer after one isolator."""
        left = self.after[isolator]
        return tuple(name for name in self.parked if name not in left)


class _Same:
    """An installation that is only the same as itself, so that what was found of it is found once."""

    __slots__ = ("installation",)

    def __init__(self, installation: Installation) -> None:
        self.installation = installation

    def __hash__(self) -> int:
        return id(self.installation)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.installation is self.installation


def isolation_of(installation: Installation) -> Isolation:
    """Return what is live in an installation; relays that the key works are open, others count as closed."""
    return _found(_Same(installation))


# Several lists and texts of one plan ask for it.
@lru_cache(maxsize=4)
def _found(same: _Same) -> Isolation:
    installation = same.installation
    topology = lay_out(installation)
    shut = opened(topology, Situation.RESTING)
    isolators = _isolators(topology)
    every = frozenset().union(*isolators.values()) if isolators else frozenset()
    batteries = {s.name for s in _sources(installation) if s.kind is SupplyKind.BATTERY}
    return Isolation(
        parked=_live(topology, shut),
        after={name: _live(topology, shut | parts) for name, parts in isolators.items()},
        all_open=_live(topology, shut | every),
        after_batteries=_live(topology, shut | every, without=batteries),
        ever=frozenset(_live(topology, (), resting=False)),
    )


def _isolators(topology: Topology) -> dict[str, frozenset[str]]:
    """Parts of each isolator, in the order of the circuits."""
    found: dict[str, frozenset[str]] = {}
    for piece in topology.pieces:
        part = piece.part
        if part is not None and part.kind is PartKind.ISOLATOR:
            name = part.gear or part.name
            found[name] = found.get(name, frozenset()) | {piece.name}
    return found


def _sources(installation: Installation) -> list[Supply]:
    staying = (s for s in installation.supplies.values() if s.state is not State.REMOVE)
    return [supply for supply in staying if supply.kind in _ALWAYS]


def _live(
    topology: Topology, open_: Iterable[str], *, without: Iterable[str] = (), resting: bool = True
) -> Mapping[str, tuple[str, ...]]:
    """Cable that each source's plus reaches, with the names of the sources.

    Where a load hangs on two circuits worked by hand, one of them is closed at a time.
    """
    gone, found = frozenset(without), dict[str, list[str]]()
    for supply in _sources(topology.installation):
        if supply.name in gone:
            continue
        turns = [frozenset(open_) | turn for turn in alternatives(topology)]
        asleep = _asleep(topology) if resting else frozenset()
        reached = [_reached(topology, supply, shut | asleep) for shut in turns]
        for piece in topology.pieces:
            if piece.wire is not None and any({piece.start, piece.end} & nodes for nodes in reached):
                found.setdefault(piece.name, []).append(supply.name)
    return {piece.name: tuple(found[piece.name]) for piece in topology.pieces if piece.name in found}


def _asleep(topology: Topology) -> frozenset[str]:
    """Inputs of converters that charge a battery by a signal, and pass nothing on at rest.

    One without a signal is stopped by nothing: it passes on at rest too.
    """
    supplies = [s for s in topology.installation.supplies.values() if s.state is not State.REMOVE]
    batteries = {topology.node(s.plus) for s in supplies if s.kind is SupplyKind.BATTERY}
    found = set()
    for supply in supplies:
        if supply.kind is SupplyKind.DC_DC and supply.when not in {None, "always"}:
            reached = _through(_conductors(topology, frozenset()), {topology.node(supply.plus)}, frozenset())
            if batteries & reached:
                found.add(f"{supply.name} input")
    return frozenset(found)


def _reached(topology: Topology, supply: Supply, shut: frozenset[str]) -> frozenset[int]:
    """Nodes that a source's plus reaches: through conductors, and through converters that it feeds."""
    near = _conductors(topology, shut)
    outputs = {s.name: s for s in topology.installation.supplies.values() if s.in_plus is not None}
    for piece in topology.pieces:
        if piece.kind is PieceKind.INPUT and piece.supply is not None and piece.name not in shut:
            near.setdefault(piece.start, []).append(topology.node(outputs[piece.supply.name].plus))
    minus = {topology.node(s.minus) for s in _sources(topology.installation) if s.minus in topology.node_of}
    points = (supply.plus, *supply.taps)
    posts = {topology.node(point) for point in points if point in topology.node_of}
    return _through(near, posts, frozenset(minus))


def _conductors(topology: Topology, shut: frozenset[str]) -> dict[int, list[int]]:
    """What each node is joined to; a diode lets through one way alone."""
    near: dict[int, list[int]] = {}
    for piece in topology.pieces:
        if piece.conducts and piece.name not in shut:
            near.setdefault(piece.start, []).append(piece.end)
            if piece.part is None or piece.part.kind is not PartKind.DIODE:
                near.setdefault(piece.end, []).append(piece.start)
    return near


def _through(near: Mapping[int, list[int]], starts: set[int], never: frozenset[int]) -> frozenset[int]:
    """Nodes that hang together with some, those left out that are never entered."""
    queue, reached = deque(sorted(starts)), set(starts)
    while queue:
        for other in near.get(queue.popleft(), ()):
            if other not in reached and other not in never:
                reached.add(other)
                queue.append(other)
    return frozenset(reached)
