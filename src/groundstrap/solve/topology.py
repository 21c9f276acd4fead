"""What is worked out once for a topology: chains, the order of elimination, and the tables that go with them.

Most of a vehicle's network is series chains: wire, joint, fuse, wire, switch, load, wire, strap. Inside a
chain there is one current, so its nodes need no unknowns: a chain becomes one branch between two *kept*
nodes, with at most one *active* part (a load or a regulated source) among its conductors and batteries.
Newton then runs on the few kept nodes; the volts inside a chain follow from its current at the end. This is
the elimination of nodes of degree two, done by formula, so pivots keep their meaning: a chain with an
active part has the pivot 1 + g times its resistance.
"""

from collections.abc import Sequence
from dataclasses import field
from enum import IntEnum
from functools import lru_cache
from itertools import accumulate
from typing import Final

import numpy as np
import numpy.typing as npt

from groundstrap.records import dataclass
from groundstrap.solve.network import Law, Network

Indices = npt.NDArray[np.intp]


class Kind(IntEnum):
    """What a chain has for an active part; chains are sorted by it."""

    POWER = 0
    POWER_LAW = 1
    REGULATED = 2
    CURRENT = 3
    PASSIVE = 4


_ACTIVE: Final = {
    Law.CONSTANT_POWER: Kind.POWER,
    Law.POWER_LAW: Kind.POWER_LAW,
    Law.REGULATED: Kind.REGULATED,
    Law.CONSTANT_CURRENT: Kind.CURRENT,
}


@dataclass(frozen=True, slots=True)
class Part:
    """A branch inside a chain; ``sign`` is -1 where it points against the chain."""

    branch: int
    sign: int


@dataclass(frozen=True, slots=True)
class Chain:
    """Branches in series between two kept nodes; ``inner`` are the nodes between them, in order."""

    kind: Kind
    start: int
    end: int
    parts: tuple[Part, ...]
    inner: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Layered:
    """Parts of one law, sorted so that sums along each chain are sums of whole layers.

    ``chains`` are the chains that have such parts, those with most of them first; layer k holds the k-th
    part of the first ``sizes[k]`` of them; ``branches`` are the layers one after another.
    """

    chains: Indices
    sizes: tuple[int, ...]
    branches: tuple[int, ...]
    #: The chain of each part in ``branches``.
    chain_of: tuple[int, ...]
    #: First and last-but-one position of each layer in ``branches``.
    spans: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """A battery inside a chain."""

    branch: int
    chain: int
    sign: int


@dataclass(frozen=True, slots=True)
class Step:
    """Elimination of one kept node: its neighbours with their slots, and the pairs that it joins."""

    node: int
    neighbours: tuple[tuple[int, int], ...]
    joins: tuple[tuple[tuple[int, int], ...], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Topology:
    """Everything about a network that does not depend on values; see the module's text."""

    node_count: int
    branches: tuple[tuple[Law, int, int, int | None], ...]
    kept: tuple[int, ...]
    chains: tuple[Chain, ...]
    #: How many chains have a constant-power load.
    powers: int
    #: How many chains have a law whose state is its own volts: power, power law, regulated.
    actives: int
    resistors: Layered
    heated: Layered
    cells: tuple[Cell, ...]
    converters: tuple[tuple[int, int], ...]
    steps: tuple[Step, ...]
    slot_count: int
    ties: tuple[tuple[int, int, int, int], ...]
    starts: Indices
    ends: Indices
    #: The active branches of the chains that have one.
    active_branches: tuple[int, ...]
    #: The same as starts and ends, and the chains of ``heated``, in plain numbers.
    ends_of: tuple[tuple[int, int], ...]
    heated_chains: tuple[int, ...]
    #: Where the chains with a power-law load, a regulated source, a constant-current load stand.
    law_span: slice
    regulated_span: slice
    current_span: slice
    reach_cache: dict[object, object] = field(default_factory=dict)
    code_cache: dict[str, object] = field(default_factory=dict)

    def branch_of_chain(self, chain: int) -> int:
        """The active branch of a chain."""
        return self.active_branches[chain]


def active_branch(chain: Chain, branches: Sequence[tuple[Law, int, int, int | None]]) -> int:
    """Return the branch that is a chain's active part."""
    return next(part.branch for part in chain.parts if branches[part.branch][0] in _ACTIVE)


def compile_topology(network: Network) -> Topology:
    """Return the topology of a network, from the store where the same structure was met before."""
    found = network.memo.get("topology")
    if not isinstance(found, Topology):
        structure = tuple((b.law, b.start, b.end, b.feeds) for b in network.branches)
        found = network.memo["topology"] = _compiled(len(network.nodes), structure)
    return found


@lru_cache(maxsize=256)
def _compiled(node_count: int, branches: tuple[tuple[Law, int, int, int | None], ...]) -> Topology:
    segments = _merge_series(node_count, branches)
    inside = {node for segment in segments for node in segment.inner}
    kept = tuple(node for node in range(node_count) if node not in inside)
    place = {node: index for index, node in enumerate(kept)}
    chains = tuple(
        sorted((_as_chain(segment, branches, place) for segment in segments), key=lambda chain: chain.kind)
    )
    heated = _layered(chains, branches, Law.HEATED)
    steps, slots = _eliminate(len(kept), chains)
    powers, laws, actives, currents, _ = accumulate(_counts(chains))
    return Topology(
        node_count=node_count,
        branches=branches,
        kept=kept,
        chains=chains,
        powers=powers,
        actives=actives,
        law_span=slice(powers, laws),
        regulated_span=slice(laws, actives),
        current_span=slice(actives, currents),
        resistors=_layered(chains, branches, Law.RESISTOR),
        heated=heated,
        heated_chains=tuple(heated.chains.tolist()),
        ends_of=tuple((chain.start, chain.end) for chain in chains),
        cells=_cells(chains, branches),
        converters=_converters(chains, branches),
        steps=steps,
        slot_count=len(slots),
        ties=tuple(
            (index, chain.start, chain.end, slots.get(frozenset((chain.start, chain.end)), -1))
            for index, chain in enumerate(chains)
            if chain.start != chain.end
        ),
        starts=np.array([chain.start for chain in chains], np.intp),
        ends=np.array([chain.end for chain in chains], np.intp),
        active_branches=tuple(active_branch(c, branches) for c in chains if c.kind is not Kind.PASSIVE),
    )


def _cells(
    chains: tuple[Chain, ...], branches: tuple[tuple[Law, int, int, int | None], ...]
) -> tuple[Cell, ...]:
    return tuple(
        Cell(part.branch, index, part.sign)
        for index, chain in enumerate(chains)
        for part in chain.parts
        if branches[part.branch][0] is Law.BATTERY
    )


@dataclass(slots=True)
class _Segment:
    start: int
    end: int
    parts: list[Part]
    inner: list[int]
    active: int

    def turned(self) -> "_Segment":
        parts = [Part(part.branch, -part.sign) for part in reversed(self.parts)]
        return _Segment(self.end, self.start, parts, self.inner[::-1], self.active)


def _merge_series(node_count: int, branches: tuple[tuple[Law, int, int, int | None], ...]) -> list[_Segment]:
    """Join branches at nodes of degree two while a chain has one active part at most."""
    segments: dict[int, _Segment] = {}
    touching: list[list[int]] = [[] for _ in range(node_count)]
    for index, (law, start, end, _) in enumerate(branches):
        segments[index] = _Segment(start, end, [Part(index, 1)], [], int(law in _ACTIVE))
        touching[start].append(index)
        touching[end].append(index)
    for node in range(1, node_count):
        if len(touching[node]) != 2 or touching[node][0] == touching[node][1]:
            continue
        key_a, key_b = touching[node]
        one, other = segments[key_a], segments[key_b]
        if one.active + other.active > 1:
            continue
        one = one if one.end == node else one.turned()
        other = other if other.start == node else other.turned()
        segments[key_a] = _Segment(
            one.start,
            other.end,
            one.parts + other.parts,
            [*one.inner, node, *other.inner],
            one.active + other.active,
        )
        del segments[key_b]
        far = touching[other.end]
        far[far.index(key_b)] = key_a
    return list(segments.values())


def _as_chain(
    segment: _Segment, branches: tuple[tuple[Law, int, int, int | None], ...], place: dict[int, int]
) -> Chain:
    """Number the kept nodes and let the chain point the way of its active part."""
    kind, sign = Kind.PASSIVE, 1
    for part in segment.parts:
        law = branches[part.branch][0]
        if law in _ACTIVE:
            kind, sign = _ACTIVE[law], part.sign
    if sign < 0:
        segment = segment.turned()
    return Chain(kind, place[segment.start], place[segment.end], tuple(segment.parts), tuple(segment.inner))


def _counts(chains: tuple[Chain, ...]) -> tuple[int, int, int, int, int]:
    power, law, regulated, current, passive = (sum(c.kind is kind for c in chains) for kind in Kind)
    return power, law, regulated, current, passive


def _layered(
    chains: tuple[Chain, ...], branches: tuple[tuple[Law, int, int, int | None], ...], law: Law
) -> Layered:
    having = [
        (index, [part.branch for part in chain.parts if branches[part.branch][0] is law])
        for index, chain in enumerate(chains)
    ]
    having = sorted((pair for pair in having if pair[1]), key=lambda pair: -len(pair[1]))
    depth = len(having[0][1]) if having else 0
    layers = [[found[level] for _, found in having if len(found) > level] for level in range(depth)]
    order, sizes = [index for index, _ in having], [len(layer) for layer in layers]
    return Layered(
        chains=np.array(order, np.intp),
        chain_of=tuple(chain for layer in layers for chain in order[: len(layer)]),
        sizes=tuple(sizes),
        spans=tuple((end - size, end) for end, size in zip(accumulate(sizes), sizes, strict=True)),
        branches=tuple(branch for layer in layers for branch in layer),
    )


def _converters(
    chains: tuple[Chain, ...], branches: tuple[tuple[Law, int, int, int | None], ...]
) -> tuple[tuple[int, int], ...]:
    """Pairs of a converter's input and output, as chains."""
    chain_of = {active_branch(c, branches): i for i, c in enumerate(chains) if c.kind is not Kind.PASSIVE}
    return tuple(
        (chain_of[index], chain_of[feeds])
        for index, (_, _, _, feeds) in enumerate(branches)
        if feeds is not None
    )


def _eliminate(
    kept_count: int, chains: tuple[Chain, ...]
) -> tuple[tuple[Step, ...], dict[frozenset[int], int]]:
    """Order the kept nodes by minimum degree; return the steps and the slot of each off-diagonal entry."""
    near: list[set[int]] = [set() for _ in range(kept_count)]
    for chain in chains:
        if chain.start != chain.end and chain.start and chain.end:
            near[chain.start].add(chain.end)
            near[chain.end].add(chain.start)
    left, order = set(range(1, kept_count)), []
    slots: dict[frozenset[int], int] = {}
    while left:
        node = min(left, key=lambda candidate: (len(near[candidate]), candidate))
        left.discard(node)
        around = sorted(near[node])
        order.append((node, around))
        for other in around:
            slots[frozenset((node, other))] = len(slots)
            near[other] |= near[node]
            near[other] -= {node, other}
    steps = tuple(
        Step(
            node=node,
            neighbours=tuple((other, slots[frozenset((node, other))]) for other in around),
            joins=tuple(
                tuple(
                    (slots[frozenset((node, far))], slots[frozenset((other, far))])
                    for far in around[position + 1 :]
                )
                for position, other in enumerate(around)
            ),
        )
        for node, around in order
    )
    return steps, slots
