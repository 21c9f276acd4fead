"""What a contact parts from every battery, and which loads stay fed whatever it does."""

from __future__ import annotations

from groundstrap.assess.topology import PieceKind, Topology
from groundstrap.model import PartKind

__all__ = ["SWITCH_OFF", "fed_anyway", "parted_by", "parts_load"]

SWITCH_OFF = frozenset({PartKind.SWITCH, PartKind.ISOLATOR, PartKind.RELAY, PartKind.BREAKER})
"""Parts that switch off what is behind them."""


def parts_load(topology: Topology, element: str, load: str) -> bool:
    """Tell whether a load has no battery on its plus or on its minus side without this contact or fuse."""
    return not _is_fed(topology, load, frozenset({element}))


def parted_by(topology: Topology, load: str) -> frozenset[str]:
    """Return the switches, isolators, breakers and relays that each alone part a load from every battery."""

    def find() -> frozenset[str]:
        return frozenset(name for name in _contacts(topology) if parts_load(topology, name, load))

    return topology.kept.once(("parted by", load), find)


def fed_anyway(topology: Topology, contact: str, load: str) -> bool:
    """Tell whether a load is fed whatever a contact does: one on the second battery of a split relay is.

    Open are the contact itself and all that do not alone switch the load off: two relays side by side still
    both feed it, and an isolator at the battery beside it counts as one that somebody may open.
    """

    def find() -> bool:
        batteries = sum(piece.kind is PieceKind.BATTERY for piece in topology.pieces)
        if batteries < 2 or load not in topology.index or parts_load(topology, contact, load):
            return False
        shut = _contacts(topology) - parted_by(topology, load)
        return _is_fed(topology, load, shut | {contact})

    return topology.kept.once(("fed anyway", contact, load), find)


def _contacts(topology: Topology) -> frozenset[str]:
    parts = ((piece.name, piece.part) for piece in topology.pieces)
    return frozenset(name for name, part in parts if part is not None and part.kind in SWITCH_OFF)


def _is_fed(topology: Topology, load: str, shut: frozenset[str]) -> bool:
    """Whether a load has a battery on its plus and one on its minus side with these open."""
    sets, one = topology.joined(shut), topology.pieces[topology.index[load]]
    batteries = [piece for piece in topology.pieces if piece.kind is PieceKind.BATTERY]
    plus = {sets.root(piece.start) for piece in batteries}
    minus = {sets.root(piece.end) for piece in batteries}
    return sets.root(one.start) in plus and sets.root(one.end) in minus
