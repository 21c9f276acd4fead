"""Ways that current takes, looked up once for all circuits: in each case of a drop, in each kind of fault."""

from __future__ import annotations

import heapq
from collections.abc import Callable

from groundstrap.assess.drops import DropRows, solve_drops
from groundstrap.assess.shorts import Short
from groundstrap.assess.wiring import Wiring, open_pieces

__all__ = ["Found", "Ways"]


class Ways:
    """Least ways from one node to all others through what conducts in one case."""

    def __init__(self, wiring: Wiring, weight: Callable[[int], float | None]) -> None:
        self._near: dict[int, list[tuple[int, int, int, float]]] = {}
        for number, piece in enumerate(wiring.topology.pieces):
            cost = weight(number)
            if cost is not None:
                self._near.setdefault(piece.start, []).append((number, piece.end, 1, cost))
                self._near.setdefault(piece.end, []).append((number, piece.start, -1, cost))
        self._trees: dict[int, dict[int, tuple[int, int, int]]] = {}

    def way(self, start: int, end: int) -> list[tuple[int, int]] | None:
        """Return pieces with their direction, 1 from start to end of a piece; None where there is no way."""
        tree = self._tree(start)
        found: list[tuple[int, int]] = []
        node = end
        while node != start:
            if node not in tree:
                return None
            number, before, sign = tree[node]
            found.append((number, sign))
            node = before
        return found[::-1]

    def back(self, start: int, end: int) -> list[tuple[int, int]] | None:
        """Return the way from many starts to one end, which is the way there turned round."""
        found = self.way(end, start)
        return None if found is None else [(number, -sign) for number, sign in reversed(found)]

    def _tree(self, start: int) -> dict[int, tuple[int, int, int]]:
        """For each node the piece that the least way comes by, the node before it, and its direction."""
        if start in self._trees:
            return self._trees[start]
        tree: dict[int, tuple[int, int, int]] = {}
        queue: list[tuple[float, int, int, tuple[int, int, int]]] = [(0.0, 0, start, (-1, start, 0))]
        seen: set[int] = set()
        count = 0
        while queue:
            so_far, _, node, by = heapq.heappop(queue)
            if node in seen:
                continue
            seen.add(node)
            tree[node] = by
            for number, other, sign, cost in self._near.get(node, ()):
                if other not in seen:
                    count += 1
                    heapq.heappush(queue, (so_far + cost, count, other, (number, node, sign)))
        self._trees[start] = tree
        return tree


class Found:
    """What is looked up once for all circuits: the drops' cases with their ways, and the faults' ways."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring
        self.drops: DropRows = solve_drops(wiring)
        self._rows: dict[int, Ways] = {}
        self._networks: dict[int, Ways] = {}

    def in_row(self, row: int) -> Ways:
        """Return the ways in one of the drops' cases."""
        if row not in self._rows:
            pieces = self.wiring.topology.pieces
            open_ = open_pieces(self.wiring, self.drops.cases[row])
            closed = [piece.conducts and piece.name not in open_ for piece in pieces]
            self._rows[row] = Ways(self.wiring, lambda number: 1.0 if closed[number] else None)
        return self._rows[row]

    def in_fault(self, short: Short) -> Ways:
        """Return the ways in the network of a fault."""
        key = id(short.network)
        if key not in self._networks:
            self._networks[key] = Ways(self.wiring, short.ohm_of)
        return self._networks[key]
