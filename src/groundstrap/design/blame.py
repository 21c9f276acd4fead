"""What is written on the way and takes the volts that others needed, and what size of it would do."""

from __future__ import annotations

from math import isinf

from groundstrap.assess.wiring import Wiring
from groundstrap.design.bound import chain_of, piece_drops, wire_drop_v
from groundstrap.design.results import Blame
from groundstrap.design.search import Limit
from groundstrap.design.shelf import Shelf
from groundstrap.model import Part, Wire
from groundstrap.units import ConductorSize

__all__ = ["blame"]

_MOST_NAMES = 3
"""So many are named where no one thing mends it."""


def blame(wiring: Wiring, shelf: Shelf, limit: Limit, least_v: float) -> Blame | None:
    """Return what loses most of a limit that is not met, unless what is to be chosen needs more by itself.

    It is the one thing that would mend it by itself, else what loses most together. `least_v` is what the
    thickest of everything that is to be chosen loses.
    """
    most_v = limit.budget_v + limit.fixed_v
    if least_v > most_v:
        return None
    lost_v = _lost(wiring, limit)
    order = sorted(lost_v, key=lambda name: (-lost_v[name], name))
    for name in order:
        left_v = most_v - least_v - sum(volts for other, volts in lost_v.items() if other != name)
        wires = _wires(wiring, limit, name)
        would_do = next((s for s in shelf.sizes if wires and _drop_v(wiring, wires, s) <= left_v), None)
        if would_do is not None or (left_v >= 0.0 and not wires) or isinf(lost_v[name]):
            thinnest = min((w.size for w, _ in wires if w.size is not None), key=_area_mm2, default=None)
            return Blame((name,), lost_v[name], thinnest, would_do)
    worst = tuple(order[:_MOST_NAMES])
    return Blame(worst, sum(lost_v[name] for name in worst)) if worst else None


def _area_mm2(size: ConductorSize) -> float:
    return size.area_mm2


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
