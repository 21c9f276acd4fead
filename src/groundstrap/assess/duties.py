"""What only carries loads that run for a short while: no margin for hours is asked of its fuse."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.figures import SHORT_RUN_S
from groundstrap.assess.topology import Topology
from groundstrap.model import Assumption, Load, LoadKind
from groundstrap.words import words

__all__ = ["only_short_runs", "short_run_assumptions"]


def only_short_runs(topology: Topology, draws_of_piece: Mapping[str, frozenset[str]]) -> frozenset[str]:
    """Return the pieces whose every draw is a load that runs for ten minutes at most, or a starter."""
    circuits = topology.installation.circuits
    return frozenset(
        piece.name
        for piece in topology.pieces
        if (draws := draws_of_piece[piece.name])
        and all(_is_short(topology.installation.loads.get(name)) for name in draws)
        and (piece.circuit is None or circuits[piece.circuit].carries_a is None)
    )


def short_run_assumptions(topology: Topology, short: frozenset[str]) -> tuple[Assumption, ...]:
    """Return one assumption for each fuse that is spared the margin of loads that run for hours."""
    why = words(
        "what is behind it runs for 10 min at most: no fifth of margin as for loads that run for hours"
    )
    return tuple(
        Assumption(words("{name}: share carried", name=piece.name), words("by temperature alone"), why)
        for piece in topology.pieces
        if piece.is_fuse and piece.name in short
    )


def _is_short(load: Load | None) -> bool:
    if load is None:
        return False
    if load.duty.run_s is not None:
        return load.duty.run_s <= SHORT_RUN_S
    return load.kind is LoadKind.STARTER
