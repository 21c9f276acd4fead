"""Which loads a source can reach, and which islands hang on nothing, for one pattern of open chains.

A constant-power or constant-current load without a source is switched off before the solve: with one it
would have a current or collapse, without one it has none. An island without the reference node is held at 0
V at one of its nodes; no current flows there, so nothing else changes.
"""

from groundstrap.records import dataclass
from groundstrap.solve.network import Law
from groundstrap.solve.topology import Kind, Topology

_PATTERNS_KEPT = 1024


@dataclass(frozen=True, slots=True)
class Reach:
    """``carries``: for each chain whether current may flow; ``pins``: kept nodes that are held at 0 V."""

    carries: tuple[bool, ...]
    pins: tuple[int, ...]


def reach(topology: Topology, closed: tuple[bool, ...]) -> Reach:
    """Return what is reached when only the ``closed`` chains are there."""
    found = topology.reach_cache.get(closed)
    if not isinstance(found, Reach):
        found = _reach(topology, closed)
        if len(topology.reach_cache) >= _PATTERNS_KEPT:
            topology.reach_cache.clear()
        topology.reach_cache[closed] = found
    return found


def _reach(topology: Topology, closed: tuple[bool, ...]) -> Reach:
    """Outputs of converters count once their inputs are reached; each such output may reach further ones."""
    inputs = {output: entry for entry, output in topology.converters}
    live: set[int] = set()
    while True:
        there = tuple(
            is_closed and (index not in inputs or index in live) for index, is_closed in enumerate(closed)
        )
        carries = _fed(topology, there)
        more = {output for output, entry in inputs.items() if carries[entry] and closed[output]}
        if more == live:
            break
        live = more
    return Reach(carries=carries, pins=_pins(topology, carries))


def _fed(topology: Topology, there: tuple[bool, ...]) -> tuple[bool, ...]:
    """A load is fed where it closes a loop with a source, its ends being joined without loads like it."""
    needs_source = (Kind.POWER, Kind.CURRENT)
    chains = topology.chains
    joined = components(
        len(topology.kept),
        [
            (c.start, c.end)
            for c, is_there in zip(chains, there, strict=True)
            if is_there and c.kind not in needs_source
        ],
    )
    edges = [
        index
        for index, c in enumerate(chains)
        if there[index] and (c.kind not in needs_source or joined[c.start] == joined[c.end])
    ]
    loop_of = _loops(len(topology.kept), [(chains[i].start, chains[i].end) for i in edges])
    with_source = {loop_of[position] for position, index in enumerate(edges) if _has_source(topology, index)}
    fed = {index for position, index in enumerate(edges) if loop_of[position] in with_source}
    return tuple(
        there[index] and (c.kind not in needs_source or index in fed) for index, c in enumerate(chains)
    )


def _has_source(topology: Topology, index: int) -> bool:
    chain = topology.chains[index]
    return chain.kind is Kind.REGULATED or any(
        topology.branches[part.branch][0] is Law.BATTERY for part in chain.parts
    )


def components(count: int, edges: list[tuple[int, int]]) -> list[int]:
    """Return for each node the least node that it is joined to."""
    parent = list(range(count))

    def root(node: int) -> int:
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    for start, end in edges:
        one, other = sorted((root(start), root(end)))
        parent[other] = one
    return [root(node) for node in range(count)]


def _pins(topology: Topology, carries: tuple[bool, ...]) -> tuple[int, ...]:
    """Return the first node of each island that does not hold the reference."""
    edges = [(c.start, c.end) for c, on in zip(topology.chains, carries, strict=True) if on]
    roots = components(len(topology.kept), edges)
    return tuple(node for node, root in enumerate(roots) if root == node and node != 0)


def _loops(count: int, edges: list[tuple[int, int]]) -> list[int]:
    """Return for each edge the number of its biconnected component (depth first, without recursion)."""
    near: list[list[tuple[int, int]]] = [[] for _ in range(count)]
    for index, (start, end) in enumerate(edges):
        near[start].append((end, index))
        near[end].append((start, index))
    component, seen, low = [-1] * len(edges), [0] * count, [0] * count
    clock, number = 0, 0
    for top in range(count):
        if seen[top]:
            continue
        clock += 1
        seen[top] = low[top] = clock
        path: list[tuple[int, int, int]] = [(top, -1, 0)]
        pile: list[int] = []
        while path:
            node, came_by, position = path.pop()
            if position < len(near[node]):
                path.append((node, came_by, position + 1))
                other, edge = near[node][position]
                if edge == came_by or component[edge] >= 0:
                    continue
                if other == node:
                    component[edge] = number
                    number += 1
                elif not seen[other]:
                    clock += 1
                    seen[other] = low[other] = clock
                    pile.append(edge)
                    path.append((other, edge, 0))
                elif seen[other] < seen[node]:
                    pile.append(edge)
                    low[node] = min(low[node], seen[other])
            elif path:
                above = path[-1][0]
                low[above] = min(low[above], low[node])
                if low[node] >= seen[above]:
                    number = _close(component, pile, came_by, number)
    return component


def _close(component: list[int], pile: list[int], until: int, number: int) -> int:
    """Give the edges above ``until`` on the pile, itself included, one number; return the next number."""
    while True:
        edge = pile.pop()
        component[edge] = number
        if edge == until:
            return number + 1
