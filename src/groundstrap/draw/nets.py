"""An installation as rungs: from one node to another, with the cables, parts and the load on the way.

A node is what is tied together without resistance: a block with the fuses that sit in it, a battery's pole,
a point of the body. Every cable, part, load and supply lies on exactly one rung.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import field, replace
from enum import StrEnum
from typing import Final

from groundstrap.draw.references import circuits_in_order, natural
from groundstrap.model import Circuit, Gear, Installation, Load, Part, Passage, Supply, Tie, Wire
from groundstrap.records import dataclass

__all__ = ["Comb", "Input", "Inside", "Item", "Nets", "Node", "Role", "Rung", "nets"]


class Role(StrEnum):
    """What a node is, in the order in which its names go before each other."""

    POLE = "pole"
    """Of a supply."""
    BLOCK = "block"
    CHASSIS = "chassis"
    TERMINAL = "terminal"
    """Of a load, or of a converter's input."""
    INSIDE = "inside"
    """Between the parts of a circuit."""
    LOOSE = "loose"
    """An end that nobody found."""


@dataclass(frozen=True, slots=True)
class Node:
    """What cables meet at."""

    root: str
    """The one of its points that stands for all of them."""
    role: Role
    owner: str
    """Supply, gear, load or part whose point it is; a chassis point is its own."""
    others: tuple[str, ...] = ()
    """Other things that are the same point."""


@dataclass(frozen=True, slots=True)
class Inside:
    """A node that a cable touches on its way."""

    root: str
    way: str | None = None


@dataclass(frozen=True, slots=True)
class Input:
    """The side of a converter that takes current; as a `Supply` it gives."""

    supply: Supply


Item = Wire | Part | Load | Supply | Tie | Inside | Input


@dataclass(frozen=True, slots=True)
class Comb:
    """Several loads on one run of cable: between each and the next one piece out and one back."""

    before: tuple[Item, ...]
    loads: tuple[Load, ...]
    out: tuple[tuple[Item, ...], ...]
    """From each load to the next one."""
    back: tuple[tuple[Item, ...], ...]
    """From each load to the next one too, in the order in which they lie from left to right."""
    behind: tuple[Item, ...]
    """From the first load on."""

    @property
    def items(self) -> tuple[Item, ...]:
        """Everything on it."""
        between = [item for pieces in (*self.out, *self.back) for item in pieces]
        return (*self.before, *self.loads, *between, *self.behind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """What lies between two nodes."""

    circuit: Circuit | None = None
    left: str
    right: str
    items: tuple[Item, ...] = ()
    comb: Comb | None = None
    left_way: str = ""
    """Slot, or point of a part, that it begins at."""
    right_way: str = ""
    back: bool = False
    """Whether it is the way back of a circuit whose way out is a rung of its own."""

    @property
    def all_items(self) -> tuple[Item, ...]:
        """Everything on it, out and back."""
        return self.items if self.comb is None else self.comb.items


@dataclass(frozen=True, slots=True)
class Nets:
    """All nodes and rungs, rungs grouped by the node at their left."""

    nodes: Mapping[str, Node]
    groups: tuple[tuple[str, tuple[Rung, ...]], ...]
    points: Mapping[str, str]
    """Point -> root of its node."""
    alone: tuple[Gear, ...] = field(default=())
    """Gear that nothing is connected to."""


_JOINED: Final = frozenset({"same", "alternator"})
"""Ties that make one node of two points."""


def nets(installation: Installation, apart: frozenset[str] = frozenset(), most: int = 40) -> Nets:
    """Return the nodes and rungs of an installation.

    Parameters
    ----------
    apart : frozenset of str
        Circuits that no comb may be made of.
    most : int
        Things on one rung; a longer run goes on as a rung of its own.
    """
    points = _Points(installation)
    whole = _Circuits(installation, points, apart).rungs()
    rungs = [piece for rung in whole for piece in _cut(rung, points, most)]
    used = {root for rung in rungs for root in _roots(rung)}
    nodes = {root: points.node(root) for root in sorted(used)}
    owners = {owner for node in nodes.values() for owner in (node.owner, *node.others)}
    passed = {item.gear for rung in rungs for item in rung.all_items if isinstance(item, Part)}
    relays = {load.relay for load in installation.loads.values()}
    alone = tuple(
        gear
        for name, gear in sorted(installation.gear.items(), key=lambda pair: natural(pair[0]))
        if name not in owners | passed | relays
    )
    return Nets(nodes, _grouped(rungs, nodes, points.root), points.roots(), alone)


def _cut(rung: Rung, points: _Points, most: int) -> Iterator[Rung]:
    """A rung in pieces, each of which ends at a node that the next one begins at."""
    items = rung.items
    while len(items) > most:
        ends = [n for n in range(2, most) if isinstance(items[n], Inside | Part)]
        if not ends:
            break
        last = items[ends[-1]]
        root = last.root if isinstance(last, Inside) else points.root(_end_of(last))
        first = items[: ends[-1] + (0 if isinstance(last, Inside) else 1)]
        yield replace(rung, right=root, right_way="", items=first)
        rung = replace(rung, left=root, left_way="", items=items[ends[-1] + 1 :])
        items = rung.items
    yield rung


def _end_of(item: Item) -> str:
    assert isinstance(item, Part)
    return item.end


def _roots(rung: Rung) -> Iterator[str]:
    yield rung.left
    yield rung.right
    yield from (item.root for item in rung.all_items if isinstance(item, Inside))


@dataclass(slots=True)
class _Points:
    """Which points are one node, and what each point is."""

    installation: Installation
    _parent: dict[str, str] = field(default_factory=dict)
    _known: dict[str, Node] = field(default_factory=dict)
    _members: dict[str, list[str]] | None = None

    def __post_init__(self) -> None:
        for node in _named_points(self.installation):
            self._known.setdefault(node.root, node)
        for tie in self.installation.ties:
            if tie.kind in _JOINED:
                first, second = self._find(tie.start), self._find(tie.end)
                best, other = sorted((first, second), key=self._rank)
                if best != other:
                    self._parent[other] = best

    def _rank(self, point: str) -> tuple[int, int, tuple[tuple[int, int, str], ...]]:
        node = self._what(point)
        supply = self.installation.supplies.get(node.owner)
        machine = supply is not None and supply.kind.value != "battery"
        return list(Role).index(node.role), int(machine), natural(point)

    def _what(self, point: str) -> Node:
        return self._known.get(point) or Node(point, Role.LOOSE, point)

    def _find(self, point: str) -> str:
        while point in self._parent:
            point = self._parent[point]
        return point

    def root(self, point: str) -> str:
        """The point that stands for all that are one with it."""
        return self._find(point)

    def is_inside(self, point: str) -> bool:
        """Whether a point lies at a part, and its node is something else."""
        return self._what(point).role is Role.INSIDE and self._find(point) != point

    def roots(self) -> dict[str, str]:
        """Every point with the root of its node."""
        return {point: self._find(point) for point in (*self._known, *self._parent)}

    def node(self, root: str) -> Node:
        """The node of a root, with everything else that is the same point."""
        if self._members is None:
            self._members = {}
            for point in self._parent:
                self._members.setdefault(self._find(point), []).append(point)
        found = self._what(root)
        owners = [self._what(point) for point in self._members.get(root, ())]
        others = {n.owner for n in owners if n.role is not Role.INSIDE} - {found.owner}
        return Node(root, found.role, found.owner, tuple(sorted(others, key=natural)))


def _named_points(installation: Installation) -> Iterator[Node]:
    for supply in installation.supplies.values():
        for point in (supply.plus, supply.minus, *supply.taps):
            yield Node(point, Role.POLE, supply.name)
        for end in (supply.in_plus, supply.in_minus):
            if end is not None:
                yield Node(end, Role.TERMINAL, supply.name)
    for gear in installation.gear.values():
        if gear.kind.value in {"block", "chassis"}:
            yield Node(gear.name, Role(gear.kind.value), gear.name)
    for load in installation.loads.values():
        for point in (load.plus, load.minus):
            yield Node(point, Role.TERMINAL, load.name)
    for point in installation.chassis_points:
        yield Node(point, Role.CHASSIS, point)
    for circuit in installation.circuits.values():
        for part in circuit.parts:
            yield Node(part.start, Role.INSIDE, part.name)
            yield Node(part.end, Role.INSIDE, part.name)


@dataclass(slots=True)
class _Circuits:
    """Makes rungs of circuits; each load is drawn on the first of them that it can be drawn on whole."""

    installation: Installation
    points: _Points
    apart: frozenset[str]
    consumers: dict[str, tuple[Item, str, str]] = field(default_factory=dict)
    """Plus of a load or of a converter's input -> it, its plus and its minus."""
    terminals: set[str] = field(default_factory=set)
    hosted: set[str] = field(default_factory=set)
    """Pluses of loads that are drawn."""

    def __post_init__(self) -> None:
        for load in self.installation.loads.values():
            self.consumers[load.plus] = (load, load.plus, load.minus)
        for supply in self.installation.supplies.values():
            if supply.in_plus is not None and supply.in_minus is not None:
                self.consumers[supply.in_plus] = (Input(supply), supply.in_plus, supply.in_minus)
        self.terminals = {end for _, plus, minus in self.consumers.values() for end in (plus, minus)}

    def rungs(self) -> Iterator[Rung]:
        """Every rung, circuits first and in their order."""
        circuits = circuits_in_order(self.installation)
        made: dict[str, list[Rung]] = {}
        for whole in (True, False):
            for circuit in circuits:
                if circuit.name not in made and (found := self._of(circuit, whole=whole)):
                    made[circuit.name] = found
        for circuit in circuits:
            yield from made[circuit.name]
        yield from self._supplies()
        for item, plus, minus in self.consumers.values():
            if plus not in self.hosted:
                yield Rung(left=self.points.root(plus), right=self.points.root(minus), items=(item,))
        for tie in self.installation.ties:
            if tie.kind not in _JOINED:
                yield Rung(left=self.points.root(tie.start), right=self.points.root(tie.end), items=(tie,))

    def _supplies(self) -> Iterator[Rung]:
        every = self.installation.supplies.values()
        for supply in sorted(every, key=lambda each: (each.kind.value != "battery", natural(each.name))):
            plus, minus = self.points.root(supply.plus), self.points.root(supply.minus)
            yield Rung(left=plus, right=minus, items=(supply,))

    def _of(self, circuit: Circuit, *, whole: bool) -> list[Rung]:
        """Rungs of a circuit; none where its load cannot be drawn on it whole and that is asked for."""
        touched = [e.point for e in circuit.path[1:] if isinstance(e, Passage)]
        passed = [point for point in touched if point in self.consumers]
        last = circuit.path[-1]
        ends = isinstance(last, Passage) and last.point in self.consumers
        free = not self.hosted.intersection(passed)
        if ends and free and circuit.back:
            if len(passed) == 1 and (rung := self._simple(circuit)):
                return [rung]
            if len(passed) > 1 and (rung := self._comb(circuit, passed)):
                return [rung]
        if whole and passed:
            return []
        if ends and free and not circuit.back and len(passed) == 1:
            item, plus, minus = self.consumers[passed[0]]
            self.hosted.add(plus)
            items = (*self._items(circuit.path[1:-1]), item)
            return [self._rung(circuit, items, circuit.path[0], self.points.root(minus))]
        return self._apart(circuit)

    def _simple(self, circuit: Circuit) -> Rung | None:
        """One load between the way out and the way back."""
        item, plus, minus = self.consumers[_point(circuit.path[-1])]
        first = circuit.back[0]
        inner = circuit.back[1:-1]
        if _point(first) != minus or any(self._is_terminal(e) for e in inner) or len(circuit.back) < 2:
            return None
        self.hosted.add(plus)
        items = (*self._items(_inner(circuit.path)), item, *self._items(_until_last(circuit.back[1:])))
        return self._rung(circuit, items, circuit.path[0], *self._end(circuit.back[-1]))

    def _is_terminal(self, element: Wire | Part | Passage) -> bool:
        return isinstance(element, Passage) and element.point in self.terminals

    def _comb(self, circuit: Circuit, passed: list[str]) -> Rung | None:
        """Several loads, where the way back passes them all the other way round."""
        minuses = [self.consumers[plus][2] for plus in passed]
        back = [e.point for e in circuit.back[:-1] if self._is_terminal(e) and isinstance(e, Passage)]
        loads = [self.consumers[plus][0] for plus in passed]
        if (
            circuit.name in self.apart
            or back != minuses[::-1]
            or not all(isinstance(load, Load) for load in loads)
        ):
            return None
        before, *out = self._pieces(circuit.path[1:], passed)
        *inner, behind = self._pieces(circuit.back[:-1], back)[1:]
        comb = Comb(
            before=before,
            loads=tuple(load for load in loads if isinstance(load, Load)),
            out=tuple(out[:-1]),
            back=tuple(piece[::-1] for piece in inner[::-1]),
            behind=behind,
        )
        self.hosted.update(passed)
        right, way = self._end(circuit.back[-1])
        left, left_way = self._end(circuit.path[0])
        return Rung(circuit=circuit, left=left, right=right, comb=comb, left_way=left_way, right_way=way)

    def _pieces(self, elements: Iterable[Wire | Part | Passage], at: list[str]) -> list[tuple[Item, ...]]:
        """Elements cut where they touch these points."""
        pieces: list[list[Wire | Part | Passage]] = [[]]
        for element in elements:
            if isinstance(element, Passage) and element.point in at:
                pieces.append([])
            else:
                pieces[-1].append(element)
        return [self._items(piece) for piece in pieces]

    def _apart(self, circuit: Circuit) -> list[Rung]:
        """The way out and the way back, each as a rung of its own."""
        found = [self._way(circuit, circuit.path, back=False)]
        if circuit.back:
            found.append(self._way(circuit, circuit.back, back=True))
        return found

    def _way(self, circuit: Circuit, elements: tuple[Wire | Part | Passage, ...], *, back: bool) -> Rung:
        right, right_way = self._end(elements[-1])
        items = self._items(_until_last(_inner_from(elements)))
        return replace(self._rung(circuit, items, elements[0], right, right_way), back=back)

    def _rung(
        self,
        circuit: Circuit,
        items: tuple[Item, ...],
        first: Wire | Part | Passage,
        right: str,
        right_way: str = "",
    ) -> Rung:
        left, left_way = self._end(first, leaving=True)
        return Rung(
            circuit=circuit, left=left, right=right, items=items, left_way=left_way, right_way=right_way
        )

    def _end(self, element: Wire | Part | Passage, *, leaving: bool = False) -> tuple[str, str]:
        """Root of the node that a way begins or ends at, and the slot or point of a part there."""
        if isinstance(element, Passage):
            way = element.way or (element.point if self.points.is_inside(element.point) else "")
            return self.points.root(element.point), way
        return self.points.root(element.start if leaving else element.end), ""

    def _items(self, elements: Iterable[Wire | Part | Passage]) -> tuple[Item, ...]:
        return tuple(
            Inside(self.points.root(e.point), e.way) if isinstance(e, Passage) else e for e in elements
        )


def _point(element: Wire | Part | Passage) -> str:
    return element.point if isinstance(element, Passage) else element.end


def _inner(path: tuple[Wire | Part | Passage, ...]) -> tuple[Wire | Part | Passage, ...]:
    """A path without the node it begins at and the load it ends at."""
    return _inner_from(path[:-1])


def _inner_from(elements: tuple[Wire | Part | Passage, ...]) -> tuple[Wire | Part | Passage, ...]:
    return elements[1:] if isinstance(elements[0], Passage) else elements


def _until_last(elements: tuple[Wire | Part | Passage, ...]) -> tuple[Wire | Part | Passage, ...]:
    return elements[:-1] if elements and isinstance(elements[-1], Passage) else elements


def _grouped(
    rungs: list[Rung], nodes: Mapping[str, Node], root_of: Callable[[str], str]
) -> tuple[tuple[str, tuple[Rung, ...]], ...]:
    """Rungs by the node at their left: sources first, then what they feed, ways back last."""
    by_left: dict[str, list[Rung]] = {}
    for rung in rungs:
        by_left.setdefault(rung.left, []).append(rung)
    order: list[str] = []
    seen: set[str] = set()
    starts = [r.left for r in rungs if len(r.items) == 1 and isinstance(r.items[0], Supply)]
    fed = [root for root in starts if not _is_given(by_left[root])]
    for queue in ([root for root in starts if root not in fed], fed):
        _follow([*queue], by_left, order, seen, root_of)
    rest = sorted(
        (root for root in by_left if root not in seen),
        key=lambda root: (list(Role).index(nodes[root].role), natural(root)),
    )
    _follow(rest, by_left, order, seen, root_of)
    return tuple((root, tuple(_in_rows(by_left[root]))) for root in order)


def _is_given(rungs: list[Rung]) -> bool:
    """Whether a source of its own stands at a node, and not the output of a converter."""
    return any(isinstance(item, Supply) and item.in_plus is None for rung in rungs for item in rung.items[:1])


def _follow(
    queue: list[str],
    by_left: Mapping[str, list[Rung]],
    order: list[str],
    seen: set[str],
    root_of: Callable[[str], str],
) -> None:
    """Add nodes, and each time those that they feed without a load between."""
    queue = list(dict.fromkeys(queue))
    while queue:
        root = queue.pop(0)
        if root in seen or root not in by_left:
            continue
        seen.add(root)
        order.append(root)
        for rung in by_left[root]:
            if rung.circuit is not None and rung.comb is None and not rung.back:
                if not any(isinstance(item, Load | Input | Supply) for item in rung.items):
                    queue.append(rung.right)
                queue.extend(root_of(item.supply.plus) for item in rung.items if isinstance(item, Input))


def _in_rows(rungs: list[Rung]) -> list[Rung]:
    """Supplies first; then in the order of the circuits, those with one end after each other."""
    first: dict[tuple[int, str], int] = {}
    for number, rung in enumerate(rungs):
        first.setdefault((_rank(rung), rung.right), number)
    return sorted(rungs, key=lambda rung: (_rank(rung), first[_rank(rung), rung.right], rungs.index(rung)))


def _rank(rung: Rung) -> int:
    if rung.circuit is None:
        return 0 if rung.items and isinstance(rung.items[0], Supply) else 2
    return 1
