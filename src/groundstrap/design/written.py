"""What stands on the way to something and loses volts of its limit, and could be otherwise.

That is cable of a written size, a fuse of a written rating, and a part whose contacts lose more than others.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.parts import contact_of
from groundstrap.assess.windows import steady_limit_a
from groundstrap.assess.wiring import Wiring
from groundstrap.model import FUSES, Part, PartKind, Wire
from groundstrap.records import dataclass
from groundstrap.tables import contact_resistance, larger_contact_ratings
from groundstrap.units import ConductorSize

__all__ = ["Better", "Written", "written_on"]

_CONTACTS = frozenset({PartKind.SWITCH, PartKind.ISOLATOR, PartKind.RELAY, PartKind.CONNECTOR})


@dataclass(frozen=True, slots=True)
class Better:
    """A part that loses less in the place of another."""

    ohm: float
    """What such parts usually have. [ohm]"""
    rating_a: float | None
    """Rating from which on they do; None where the one that is there would. [A]"""


@dataclass(frozen=True, slots=True)
class Written:
    """Something that could be otherwise: the cable of one circuit, a fuse, or another part."""

    where: str
    """Circuit of the cable, or the part."""
    names: tuple[str, ...]
    """Wires, or the part."""
    lost_v: float
    """What it loses; inf where the current heats a wire without end. [V]"""
    size: ConductorSize | None = None
    """Of the thinnest wire."""
    length_m: float = 0.0
    """Of all the wires. [m]"""
    rating_a: float | None = None
    """Of a fuse. [A]"""
    ohm: float | None = None
    """Of a part that is no fuse. [ohm]"""
    known: bool = True
    """Whether somebody wrote its ohms."""
    better: Better | None = None
    """What would stand in its place, of a part that is no fuse."""
    over: bool = False
    """Whether more passes it for hours than it may carry: it must change whatever the drop is."""


def written_on(wiring: Wiring, share: NDArray[np.float64], drops: NDArray[np.float64]) -> list[Written]:
    """Return what is written on a way; `share` is that of each piece's current, `drops` their volts. [1, V]

    What carries too much comes first, then what loses most.
    """
    wires: dict[str, dict[str, float]] = {}
    found: list[Written] = []
    for number in np.flatnonzero((share > 0.0) & (drops > 0.0)):
        piece, lost_v = wiring.topology.pieces[number], float(drops[number] * share[number])
        if piece.wire is not None:
            wires.setdefault(piece.wire.circuit, {})[piece.name] = lost_v
        elif piece.part is not None:
            found += _part(wiring, piece.part, lost_v)
    found += [_wires(wiring, circuit, lost_v) for circuit, lost_v in wires.items()]
    return sorted(found, key=lambda each: (not each.over, -each.lost_v, each.where))


def _wires(wiring: Wiring, circuit: str, lost_v: dict[str, float]) -> Written:
    sized = [(wire, wire.size) for name in lost_v if (wire := _wire(wiring, name)).size is not None]
    thinnest = min((size for _, size in sized), key=lambda size: size.area_mm2, default=None)
    over = any(_carried_a(wiring, w.name) > steady_limit_a(wiring, w, size) for w, size in sized)
    length_m = sum(wire.length_m for wire, _ in sized)
    lost = sum(lost_v.values())
    return Written(circuit, tuple(lost_v), lost, size=thinnest, length_m=length_m, over=over)


def _carried_a(wiring: Wiring, name: str) -> float:
    return wiring.currents.pieces[name].continuous_a or 0.0


def _wire(wiring: Wiring, name: str) -> Wire:
    wire = wiring.topology.pieces[wiring.index(name)].wire
    assert wire is not None
    return wire


def _part(wiring: Wiring, part: Part, lost_v: float) -> Iterator[Written]:
    """A fuse of written rating, or contacts once for each kind that loses less."""
    if part.kind in FUSES and part.rating_a is not None:
        over = _carried_a(wiring, part.name) > part.rating_a
        yield Written(part.name, (part.name,), lost_v, rating_a=part.rating_a, over=over)
    name = contact_of(part.kind)
    if part.kind not in _CONTACTS or name is None:
        return
    gear = wiring.installation.gear.get(part.gear or "")
    ohm = wiring.ends[part.name].typical
    known = part.resistance_ohm is not None or (gear is not None and gear.resistance_ohm is not None)
    rating_a = part.rating_a if part.rating_a is not None else (gear.rating_a if gear else None)
    over = rating_a is not None and _carried_a(wiring, part.name) > rating_a
    from_a = rating_a if rating_a is not None else (wiring.currents.pieces[part.name].drop_a or 0.0)
    for step_a in (None, *larger_contact_ratings(name, from_a)):
        usual = contact_resistance(name, from_a if step_a is None else step_a).typical_ohm
        if usual < ohm * (1 - 1e-9):
            better = Better(usual, step_a)
            yield Written(part.name, (part.name,), lost_v, ohm=ohm, known=known, better=better, over=over)
