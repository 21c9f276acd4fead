"""What is written on the way and takes the volts that others needed, and what size of it would do."""

from __future__ import annotations

from groundstrap.assess.wiring import Wiring
from groundstrap.design.bound import chain_of, piece_drops, wire_drop_v
from groundstrap.design.results import Blame
from groundstrap.design.search import Limit
from groundstrap.design.shelf import Shelf
from groundstrap.model import Part, Wire
from groundstrap.units import ConductorSize

__all__ = ["blame"]


def blame(wiring: Wiring, shelf: Shelf, limit: Limit, least_v: float) -> Blame | None:
    """Return what loses most of a limit that is not met, unless what is to be chosen needs more by itself.

    `least_v` is what the thickest of everything that is to be chosen loses.
    """
    most_v = limit.budget_v + limit.fixed_v
    if least_v > most_v:
        return None
    lost_v = _lost(wiring, limit)
    if not lost_v:
        return None
    worst = max(lost_v, key=lambda name: (lost_v[name], name))
    wires = _wires(wiring, limit, worst)
    if not wires:
        return Blame(worst, lost_v[worst])
    others_v = sum(volts for name, volts in lost_v.items() if name != worst)
    would_do = next(
        (size for size in shelf.sizes if _drop_v(wiring, wires, size) + others_v + least_v <= most_v), None
    )
    thinnest = min((wire.size for wire, _ in wires if wire.size is not None), key=lambda size: size.area_mm2)
    return Blame(worst, lost_v[worst], thinnest, would_do)


def _owner(element: Wire | Part) -> str:
    return element.circuit if isinstance(element, Wire) else element.name


def _lost(wiring: Wiring, limit: Limit) -> dict[str, float]:
    """Volts that the written wires of each circuit, and each part of its own, lose of a limit."""
    share = chain_of(wiring, limit.name)
    drops = piece_drops(wiring, "typical")
    found: dict[str, float] = {}
    for number, piece in enumerate(wiring.topology.pieces):
        element = piece.wire or piece.part
        if element is not None and share[number] > 0.0 and drops[number] > 0.0:
            found[_owner(element)] = found.get(_owner(element), 0.0) + float(drops[number] * share[number])
    return found


def _wires(wiring: Wiring, limit: Limit, circuit: str) -> list[tuple[Wire, float]]:
    """Written wires of a circuit on the way, each with its share of the current."""
    share = chain_of(wiring, limit.name)
    return [
        (piece.wire, float(share[number]))
        for number, piece in enumerate(wiring.topology.pieces)
        if piece.wire is not None
        and piece.wire.circuit == circuit
        and piece.wire.size is not None
        and share[number] > 0.0
    ]


def _drop_v(wiring: Wiring, wires: list[tuple[Wire, float]], size: ConductorSize) -> float:
    return sum(share * wire_drop_v(wiring, wire, size) for wire, share in wires)
