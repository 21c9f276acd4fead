"""Unknowns by the names of the job: which place or thing one is, and what readings say of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.topology import PieceKind
from groundstrap.locate.faults import Change, sound_values
from groundstrap.locate.figures import Z_95
from groundstrap.locate.judged import Estimated, ProvenKind
from groundstrap.locate.segments import segments_of
from groundstrap.locate.state import Free
from groundstrap.locate.unknowns import Unknown, World
from groundstrap.model import Uncertain
from groundstrap.solve import Law

__all__ = ["conducts", "estimated", "kind_of", "law_of", "piece_kind", "place_of"]

Floats = NDArray[np.float64]

_TOLD: Final = 0.7
"""Of what was unknown before, from below which an estimate says more than the plan. [1]"""


def piece_kind(world: World, unknown: Unknown) -> PieceKind | None:
    """Return what the piece of an unknown is; None of a draw that no piece is."""
    pieces = world.wiring.topology.pieces
    return pieces[unknown.piece].kind if unknown.piece < len(pieces) else None


def conducts(world: World, unknown: Unknown) -> bool:
    """Whether it only conducts."""
    pieces = world.wiring.topology.pieces
    return unknown.piece < len(pieces) and pieces[unknown.piece].conducts


def law_of(world: World, unknown: Unknown) -> Law:
    """Return the law of its branch."""
    return world.wiring.network.branches[unknown.piece].law


def kind_of(world: World, unknown: Unknown) -> ProvenKind:
    """Return what is off where it is, of what is no conductor."""
    kind = piece_kind(world, unknown)
    if kind is PieceKind.BATTERY:
        return ProvenKind.BATTERY_VOLTS if unknown.changes[0].parameter == 0 else ProvenKind.BATTERY_OHM
    if kind is PieceKind.MACHINE:
        return ProvenKind.SOURCE
    return ProvenKind.LOAD if kind is PieceKind.LOAD else ProvenKind.DRAW


def place_of(world: World, unknown: Unknown) -> str:
    """Return the name of a place or thing; of what draws unseen the point that it hangs at."""
    topology = world.wiring.topology
    if unknown.segment >= 0:
        return segments_of(topology)[unknown.segment].name
    kind = piece_kind(world, unknown)
    if kind is None:
        return topology.nodes[world.network.branches[unknown.piece].start]
    supply = topology.pieces[unknown.piece].supply
    return supply.name if kind is PieceKind.OWN_DRAW and supply is not None else unknown.name


def estimated(
    world: World, state: Floats, deviation: Floats, sound: int, free: Sequence[Free]
) -> tuple[Estimated, ...]:
    """Return resistances and loads of which the readings say more than the plan did."""
    values = sound_values(world.wiring, next(iter(world.cases.values())))
    touched = {world.unknowns[each.unknown].piece for each in free if each.unknown is not None}
    found = []
    for number, unknown in enumerate(world.unknowns[:sound]):
        kind = piece_kind(world, unknown)
        share = float(deviation[number])
        if share >= _TOLD or unknown.piece in touched or kind is None:
            continue
        change: Change = unknown.changes[0]
        is_load = kind is PieceKind.LOAD
        if not is_load and not conducts(world, unknown):
            continue
        base, times = values[unknown.piece][0], change.times
        if is_load:
            base, times = 1.0, 1.0 / times if law_of(world, unknown) is Law.RESISTOR else times
        if np.isfinite(base):
            x = float(state[number])
            found.append(
                Estimated(
                    name=unknown.name,
                    is_load=is_load,
                    value=_about(base, times, x, share),
                    usual=_about(base, times, 0.0, 1.0),
                    share=share,
                )
            )
    return tuple(found)


def _about(base: float, times: float, x: float, deviation: float) -> Uncertain:
    low, high = sorted(base * times ** (x + side * Z_95 * deviation) for side in (-1.0, 1.0))
    return Uncertain(base * times**x, low, high)
