"""Single failures as rows of one batch: what can fail, and the same network with it failed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import chain

import numpy as np

from groundstrap.assess.figures import HELD_OHM
from groundstrap.assess.flows import Floats
from groundstrap.assess.positions import alternatives, applies, opened, running_loads
from groundstrap.assess.topology import Piece, PieceKind, Topology, UnionFind
from groundstrap.assess.wiring import Case, Wiring, parameters
from groundstrap.model import PartKind, Situation
from groundstrap.records import dataclass, replace
from groundstrap.solve import Law, Network, Status, solve_rows

__all__ = ["Scenario", "Solved", "failure_network", "failure_values", "rings", "scenarios", "solve_failures"]

_LINKS = frozenset({PartKind.RELAY, PartKind.SWITCH})
_COUNTED = frozenset({PieceKind.WIRE, PieceKind.TIE, PieceKind.PART, PieceKind.BODY})


@dataclass(frozen=True, slots=True)
class Scenario:
    """One row: a situation with something open or closed that is not so otherwise; nothing for the start."""

    situation: Situation
    body: str = "typical"
    """End of the body's resistance that nobody measured."""
    element: str = ""
    open: tuple[str, ...] = ()
    closed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Solved:
    """Amps and volts of every piece and volts of every node, one column a scenario."""

    scenarios: tuple[Scenario, ...]
    node_v: Floats
    branch_a: Floats
    branch_v: Floats
    found: np.typing.NDArray[np.bool_]
    doubted: np.typing.NDArray[np.bool_]
    """Rows that the solver left open with converters on, so that what they say holds without them alone."""


def scenarios(topology: Topology) -> tuple[Scenario, ...]:
    """Return every single failure that can send a current another way, each situation begun by none."""
    return topology.kept.once("single failures", lambda: tuple(_scenarios(topology)))


def _scenarios(topology: Topology) -> Iterable[Scenario]:
    unmeasured = any(piece.kind is PieceKind.BODY for piece in topology.pieces)
    driving = Situation.DRIVING if applies(topology.installation, Situation.DRIVING) else Situation.RESTING
    for situation in (driving, Situation.CRANKING):
        if not applies(topology.installation, situation):
            continue
        shut = opened(topology, situation) | alternatives(topology)[0]
        failing = [Scenario(situation, element=row[0], open=row) for row in _opening(topology, shut)]
        if situation is Situation.CRANKING:
            failing += [Scenario(situation, element=row[0], closed=row) for row in _links(topology, shut)]
        for body in ("low", "high") if unmeasured else ("typical",):
            if failing:
                yield Scenario(situation, body)
                yield from (replace(row, body=body) for row in failing)


def rings(topology: Topology, shut: frozenset[str], *, batteries: bool = True) -> frozenset[str]:
    """Return the conductors (and batteries) that lie in a ring of such, with some of them open.

    Each piece that closes a ring has a bit of its own; a piece of the tree that no bit passes is a bridge.
    """
    kinds = _COUNTED | {PieceKind.BATTERY} if batteries else _COUNTED
    edges = [p for p in topology.pieces if p.kind in kinds and p.name not in shut]
    neighbours: dict[int, list[tuple[Piece, int]]] = {}
    for piece in edges:
        neighbours.setdefault(piece.start, []).append((piece, piece.end))
        neighbours.setdefault(piece.end, []).append((piece, piece.start))
    up: dict[int, tuple[Piece, int] | None] = {}
    order: list[int] = []
    for root in neighbours:
        if root in up:
            continue
        up[root] = None
        queue = [root]
        for node in queue:
            order.append(node)
            for piece, other in neighbours[node]:
                if other not in up:
                    up[other] = (piece, node)
                    queue.append(other)
    tree = {step[0].name for step in up.values() if step is not None}
    bits = dict.fromkeys(up, 0)
    found = set()
    for number, piece in enumerate(p for p in edges if p.name not in tree):
        found.add(piece.name)
        bits[piece.start] ^= 1 << number
        bits[piece.end] ^= 1 << number
    for node in reversed(order):
        step = up[node]
        if step is not None:
            if bits[node]:
                found.add(step[0].name)
            bits[step[1]] ^= bits[node]
    return frozenset(found)


def _opening(topology: Topology, shut: frozenset[str]) -> list[tuple[str, ...]]:
    """Pieces in a row that fail alike, for every row whose loss leaves another way; cables named first."""
    ring = rings(topology, shut)
    tapped = _is_tapped(topology)
    wanted = [p for p in topology.pieces if p.kind in _COUNTED and p.name not in shut]
    rows = _rows_of(topology, wanted)
    alone = _single_loads(topology) if tapped else frozenset()
    result = []
    for row in rows:
        nodes = {node for piece in row for node in (piece.start, piece.end)}
        if any(piece.name in ring for piece in row) or (tapped and not nodes & alone):
            row.sort(key=lambda piece: (piece.wire is None, piece.tie is None, piece.is_fuse))
            if not row[0].is_fuse:
                result.append(tuple(piece.name for piece in row))
    return result


def _is_tapped(topology: Topology) -> bool:
    """Whether something is joined to a point inside a bank."""
    taps = {
        topology.node(point)
        for piece in topology.pieces
        if piece.kind is PieceKind.BATTERY and piece.supply is not None
        for point in piece.supply.taps
    }
    return any(
        piece.kind is not PieceKind.BATTERY and taps & {piece.start, piece.end} for piece in topology.pieces
    )


def _single_loads(topology: Topology) -> frozenset[int]:
    """Points that one load and one conductor meet at: without that conductor the load is off, and no more."""
    touching: dict[int, list[Piece]] = {}
    for piece in topology.pieces:
        for node in (piece.start, piece.end):
            touching.setdefault(node, []).append(piece)
    return frozenset(
        node
        for node, pieces in touching.items()
        if len(pieces) == 2 and any(piece.kind is PieceKind.LOAD for piece in pieces)
    )


def _rows_of(topology: Topology, wanted: Sequence[Piece]) -> list[list[Piece]]:
    """The pieces grouped by what carries one and the same current."""
    touching: dict[int, list[int]] = {}
    for piece in topology.pieces:
        for node in (piece.start, piece.end):
            touching.setdefault(node, []).append(topology.index[piece.name])
    sets = UnionFind(len(topology.pieces))
    numbers = {topology.index[piece.name] for piece in wanted}
    for meeting in touching.values():
        if len(meeting) == 2 and numbers.issuperset(meeting):
            sets.join(*meeting)
    groups: dict[int, list[Piece]] = {}
    for piece in wanted:
        groups.setdefault(sets.root(topology.index[piece.name]), []).append(piece)
    return list(groups.values())


def _links(topology: Topology, shut: frozenset[str]) -> list[tuple[str, ...]]:
    """Contacts that are open while cranking and join batteries when they stay closed."""
    ring = rings(topology, alternatives(topology)[0])
    return [
        (piece.name,)
        for piece in topology.pieces
        if piece.part is not None
        and piece.part.kind in _LINKS
        and piece.name in shut
        and piece.name in ring
        and piece.name not in alternatives(topology)[0]
        and _joins_batteries(topology, shut, piece)
    ]


def _joins_batteries(topology: Topology, shut: frozenset[str], link: Piece) -> bool:
    """Whether it brings the plus posts of two batteries together that nothing joins without it."""
    sets = topology.joined(shut)
    posts = {
        sets.root(topology.node(piece.supply.plus))
        for piece in topology.pieces
        if piece.kind is PieceKind.BATTERY and piece.supply is not None
    }
    here = {sets.root(link.start), sets.root(link.end)}
    return len(here & posts) == 2


def failure_network(wiring: Wiring) -> Network:
    """Return the network with every load a resistance: with a part lost it may be far from its own volts."""
    topology = wiring.topology

    def build() -> Network:
        laws = (
            replace(branch, law=Law.RESISTOR) if piece.kind is PieceKind.LOAD else branch
            for piece, branch in zip(topology.pieces, wiring.network.branches, strict=True)
        )
        return Network(wiring.network.nodes, tuple(laws))

    return topology.kept.once("network of failures", build)


def solve_failures(wiring: Wiring, rows: Sequence[Scenario]) -> Solved:
    """Return every scenario solved, with conductors in their hottest air and not yet warmed by the failure.

    A converter whose input no longer holds counts as off.
    """
    network = failure_network(wiring)
    answer = solve_rows(network, failure_values(wiring, rows), heat=False, rows=len(rows))
    left = np.flatnonzero(~answer.found)
    doubted = answer.status_code == Status.UNSOLVED.code
    if left.size:
        again = _columns(wiring, [rows[int(k)] for k in left])
        again.switch_off_converters(wiring)
        more = solve_rows(network, again.parameters(network), heat=False, rows=int(left.size))
        answer.put(left, more)
    return Solved(tuple(rows), answer.node_v, answer.branch_a, answer.branch_v, answer.found, doubted)


def failure_values(wiring: Wiring, rows: Sequence[Scenario]) -> list[tuple[float | Floats, ...]]:
    """Return the parameters of every branch of the network of failures, with one row a scenario."""
    return _columns(wiring, rows).parameters(failure_network(wiring))


@dataclass(slots=True)
class _Columns:
    """Parameters of all branches one under the other, one column a row of the batch."""

    values: Floats
    first: list[int]

    def parameters(self, network: Network) -> list[tuple[float | Floats, ...]]:
        """The same as the solver takes them: a number where all rows have it in common."""
        same = (self.values == self.values[:, :1]).all(axis=1)
        each = [float(row[0]) if alike else row for row, alike in zip(self.values, same, strict=True)]
        return [
            tuple(each[k : k + len(branch.parameter_names)])
            for k, branch in zip(self.first, network.branches, strict=True)
        ]

    def switch_off_converters(self, wiring: Wiring) -> None:
        """Let no converter give or take anything."""
        for number, piece in enumerate(wiring.topology.pieces):
            branch = wiring.network.branches[number]
            if piece.kind is PieceKind.INPUT and branch.feeds is not None:
                self.values[self.first[number] + 1] = 0.0
                self.values[self.first[branch.feeds] + 1] = 0.0


def _columns(wiring: Wiring, rows: Sequence[Scenario]) -> _Columns:
    starts = {key: _start(wiring, *key) for key in {(row.situation, row.body) for row in rows}}
    some = next(iter(starts.values()))
    first = [0, *np.cumsum([len(values) for values in some]).tolist()][:-1]
    flat = {key: np.array(list(chain.from_iterable(values))) for key, values in starts.items()}
    values = np.stack([flat[row.situation, row.body] for row in rows], axis=1)
    for column, row in enumerate(rows):
        for name in row.open:
            values[first[wiring.index(name)], column] = np.inf
        for name in row.closed:
            values[first[wiring.index(name)], column] = wiring.ends[name].typical
    return _Columns(values, first)


def _start(wiring: Wiring, situation: Situation, body: str) -> list[tuple[float, ...]]:
    """Parameters with nothing failed."""
    names = running_loads(wiring.installation, situation)
    known = frozenset(name for name in names if wiring.currents.draws[name].known)
    case = Case(situation=situation, running=known, body=body, open=alternatives(wiring.topology)[0])
    loads = {name: (_load_ohm(wiring, name),) for name in known}
    return [
        loads.get(piece.name, (np.inf,)) if piece.kind is PieceKind.LOAD else values
        for piece, values in zip(wiring.topology.pieces, parameters(wiring, case), strict=True)
    ]


def _load_ohm(wiring: Wiring, name: str) -> float:
    estimate = wiring.estimates.get(name)
    if estimate is None or estimate.power_w is None or estimate.power_w.value <= 0.0:
        return float("inf")
    return max(estimate.at_v**2 / estimate.power_w.value, HELD_OHM)
