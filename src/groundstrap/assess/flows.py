"""How the current of each load divides over the wires: unit flows by superposition.

On trees every share is 0 or 1 and depends on nothing; where wires close loops, or batteries share a load, it
depends on resistances. All loads of one position of the switches are one linear solve.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.topology import Topology, UnionFind
from groundstrap.records import dataclass

__all__ = ["Draw", "Flows", "Impedances", "impedances", "unit_flows"]

Floats = NDArray[np.float64]

_ROUND_OFF = 1e-7


@dataclass(frozen=True, slots=True)
class Draw:
    """Something that takes current at one node and gives it back at another."""

    name: str
    plus: int
    minus: int


@dataclass(frozen=True, slots=True)
class Flows:
    """Amps through each piece (row) for one amp of each draw (column), start to end counted positive."""

    draws: tuple[str, ...]
    share: Floats
    served: tuple[bool, ...]
    """Whether a source reaches the draw."""
    tree: bool
    """Whether no current has two ways, so that nothing here depends on any resistance."""


@dataclass(frozen=True, slots=True)
class Impedances:
    """Node-to-node transfer resistances of a linear network, and which nodes hang together. [ohm]"""

    ohm: Floats
    island: tuple[int, ...]
    tree: bool
    """Whether there is no loop in it."""

    def between(self, plus: int, minus: int) -> float:
        """Resistance seen between two nodes of one island. [ohm]"""
        z = self.ohm
        return float(z[plus, plus] + z[minus, minus] - z[plus, minus] - z[minus, plus])

    def joined(self, plus: int, minus: int) -> bool:
        """Tell whether two nodes hang together."""
        return self.island[plus] == self.island[minus]


def impedances(topology: Topology, siemens: Floats) -> Impedances:
    """Return the inverse of the conductance matrix, one node of each island taken as its zero."""
    count = len(topology.nodes)
    places = topology.kept.once("places", lambda: _places(topology))
    entries = np.concatenate((siemens, siemens, -siemens, -siemens))
    matrix = np.bincount(places, weights=entries, minlength=count * count).reshape(count, count)
    closed = siemens > 0.0
    found = topology.kept.once(("islands", closed.tobytes()), lambda: _islands(topology, closed))
    for root in set(found.of_node):
        # No current enters or leaves through it, since every draw gives back what it takes.
        matrix[root, root] += 1.0
    return Impedances(np.asarray(np.linalg.inv(matrix), dtype=np.float64), found.of_node, found.tree)


def _places(topology: Topology) -> NDArray[np.intp]:
    """Where each piece's conductance stands in the flat matrix: twice on the diagonal, twice beside it."""
    starts = np.array([piece.start for piece in topology.pieces], dtype=np.intp)
    ends = np.array([piece.end for piece in topology.pieces], dtype=np.intp)
    rows, columns = np.concatenate((starts, ends, starts, ends)), np.concatenate((starts, ends, ends, starts))
    return rows * len(topology.nodes) + columns


@dataclass(frozen=True, slots=True)
class _Islands:
    """Nodes that hang together: the one that stands for each, and whether there is no loop."""

    of_node: tuple[int, ...]
    tree: bool


def _islands(topology: Topology, closed: NDArray[np.bool_]) -> _Islands:
    sets, tree = UnionFind(len(topology.nodes)), True
    for piece, conducts in zip(topology.pieces, closed.tolist(), strict=True):
        if conducts:
            tree &= sets.join(piece.start, piece.end)
    return _Islands(tuple(sets.root(node) for node in range(len(topology.nodes))), tree)


def unit_flows(topology: Topology, siemens: Floats, draws: Sequence[Draw]) -> Flows:
    """Return how one amp of each draw passes the pieces; pieces of no conductance pass nothing."""
    values = (siemens.tobytes(), tuple(draws))
    return topology.kept.lately("unit flows", values, lambda: _unit_flows(topology, siemens, draws))


def _unit_flows(topology: Topology, siemens: Floats, draws: Sequence[Draw]) -> Flows:
    z = impedances(topology, siemens)
    served = tuple(z.joined(draw.plus, draw.minus) for draw in draws)
    plus = np.fromiter((draw.plus for draw in draws), dtype=np.intp, count=len(draws))
    minus = np.fromiter((draw.minus for draw in draws), dtype=np.intp, count=len(draws))
    volts = z.ohm[:, minus] - z.ohm[:, plus]
    starts = [piece.start for piece in topology.pieces]
    ends = [piece.end for piece in topology.pieces]
    share = siemens[:, None] * (volts[starts] - volts[ends])
    share[:, ~np.asarray(served, dtype=bool)] = 0.0
    share[np.abs(share) < _ROUND_OFF] = 0.0
    whole = np.abs(np.abs(share) - 1.0) < _ROUND_OFF
    share[whole] = np.sign(share[whole])
    # It is kept for whoever asks next.
    share.flags.writeable = False
    return Flows(tuple(draw.name for draw in draws), share, served, z.tree)
