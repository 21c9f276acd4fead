"""The tree of a text that was read before but for a few of its entries: only what is new goes to the parser.

A text is cut where an entry of the root, or of a map right below it, begins a line. What stands between two
cuts gives the same nodes wherever it stands, if it was read once as whole entries in such a place: no list,
quote or block of text is left open at its end. Whatever is not that plain is read as a whole, and so is each
text with something wrong in it, so that a fault is told from its own text alone.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Final, TypeGuard

from groundstrap.job.tree import MOST_NODES, Entry, MapNode, Node, Parsed, ScalarNode, SequenceNode
from groundstrap.records import dataclass

__all__ = ["Blocks"]

_MOST: Final = 1000
_LONGEST: Final = 1000
"""Characters of an entry that is kept; with the number above it bounds what is kept to some megabytes."""
_LONGEST_TEXT: Final = 100_000
"""Characters of a text of which the whole tree is kept."""

_BEGINS: Final = re.compile(r"^( *)[A-Za-z]", re.MULTILINE)
_HEAD: Final = re.compile(r"[A-Za-z][\w ]*:[ \t]*(?:#.*)?\n(?: *(?:#.*)?\n)*( +)[A-Za-z]")
"""A key alone on its line, and the first entry below it, behind blank lines and comments."""
_AHEAD: Final = re.compile(r"(?: *(?:#.*)?\n)*")
_NOT_PLAIN: Final = re.compile(
    r"[|>][-+0-9]*[ \t]*(?:#.*)?$|^(?:---|\.\.\.|%)|[\r\x85\u2028\u2029\ufeff]", re.MULTILINE
)
"""Blocks of text, marks between documents, and ends of lines that are not the usual one."""
_OPEN: Final = -1
"""End of a map or list that ends where whatever comes next begins."""

_Key = tuple[int, bool, str]
_Kept = dict[_Key, Entry]


@dataclass(frozen=True, slots=True)
class _Piece:
    """One entry with all up to the next; of a head, whose entries are pieces of their own, only its key."""

    text: str
    start: int
    indent: int
    head: bool

    @property
    def key(self) -> _Key:
        """What its nodes hang on."""
        return self.indent, self.head, self.text

    @property
    def end(self) -> int:
        """Where the next one begins."""
        return self.start + len(self.text)


class Blocks:
    """Reads texts, and keeps entries by their text for the next one."""

    def __init__(self, parse: Callable[[str], Parsed]) -> None:
        """Start with none; `parse` reads a text as a whole."""
        self._parse = parse
        self._kept: _Kept = {}
        # An edit reads the text before and behind itself, and then the job is read.
        self._read_lately = lru_cache(maxsize=2)(self._read)

    def read(self, text: str) -> Parsed:
        """Return what the parser makes of a text; others are given the same tree: it is for reading."""
        return (self._read_lately if len(text) <= _LONGEST_TEXT else self._read)(text)

    def _read(self, text: str) -> Parsed:
        pieces = _cut(text)
        if not pieces:
            return self._parse(text)
        found = {p.key: entry for p in pieces if (entry := self._kept.get(p.key)) is not None}
        missing = [piece for piece in pieces if piece.key not in found]
        if sum(len(piece.text) for piece in missing) > len(text) / 2:
            parsed = self._parse(text)
            self._keep(_harvest(parsed, pieces) or {})
            return parsed
        if missing:
            excerpt, places = _excerpt(missing)
            fresh = _harvest(self._parse(excerpt), places)
            if fresh is None:
                return self._parse(text)
            self._keep(fresh)
            found |= fresh
        return _put_together(text, pieces, found) or self._parse(text)

    def _keep(self, fresh: _Kept) -> None:
        if len(self._kept) + len(fresh) > _MOST:
            self._kept.clear()
        self._kept.update({key: entry for key, entry in fresh.items() if len(key[2]) <= _LONGEST})


def _cut(text: str) -> list[_Piece]:
    """Cut a text where entries of the root or of the maps below it begin; none where it is not that plain."""
    if not text.endswith("\n") or _NOT_PLAIN.search(text):
        return []
    cuts: list[tuple[int, int, bool]] = []
    inner = 0
    for begin in _BEGINS.finditer(text):
        indent = len(begin[1])
        if indent == 0:
            head = _HEAD.match(text, begin.start())
            inner = len(head[1]) if head is not None else 0
            cuts.append((begin.start(), 0, inner > 0))
        elif indent == inner:
            cuts.append((begin.start(), indent, False))
    if not cuts or cuts[0][1] or not _AHEAD.fullmatch(text, 0, cuts[0][0]):
        return []
    behind = (*cuts[1:], (len(text), 0, False))
    return [
        _Piece(text[start:end], start, indent, head)
        for (start, indent, head), (end, _, _) in zip(cuts, behind, strict=True)
    ]


def _excerpt(pieces: Sequence[_Piece]) -> tuple[str, list[_Piece]]:
    """Return a text of some pieces alone, each below a key where it had one above it."""
    texts: list[str] = []
    places: list[_Piece] = []
    length = 0
    for number, piece in enumerate(pieces):
        above = f"x{number}:\n" if piece.indent else ""
        below = " x: x\n" if piece.head else ""
        places.append(_Piece(piece.text, length + len(above), piece.indent, piece.head))
        texts += [above, piece.text, below]
        length += len(above) + len(piece.text) + len(below)
    return "".join(texts), places


def _harvest(parsed: Parsed, pieces: Sequence[_Piece]) -> _Kept | None:
    """Take the entry of each piece from a text that was read; None where some piece is no whole entry."""
    root = parsed.root
    if not parsed.complete or parsed.troubles or not isinstance(root, MapNode) or root.flow:
        return None
    levels: dict[int, list[Entry]] = {0: root.entries}
    for entry in root.entries:
        if _holds_entries(entry.value):
            levels.setdefault(entry.value.column - 1, []).extend(entry.value.entries)
    starts = {indent: [entry.key.start for entry in entries] for indent, entries in levels.items()}
    kept: _Kept = {}
    for piece in pieces:
        here = starts.get(piece.indent, [])
        first, last = bisect_left(here, piece.start), bisect_left(here, piece.end)
        if last - first != 1 or here[first] != piece.start + piece.indent:
            return None
        entry = levels[piece.indent][first]
        if piece.head:
            if not _holds_entries(entry.value) or entry.value.start < piece.end:
                return None
            entry = Entry(entry.key, ScalarNode("", piece.start, piece.start, entry.key.line, 1))
        moved = _Mover(-piece.start, 1 - entry.key.line, _leaving_open(-piece.start, piece.end))
        kept[piece.key] = moved.entry(entry)
    return kept


def _holds_entries(node: Node) -> TypeGuard[MapNode]:
    return isinstance(node, MapNode) and not node.flow


class _Mover:
    """Copies nodes to another place of a text, and gathers their texts in the order of the file."""

    def __init__(self, by: int, lines: int, end_of: Callable[[int], int]) -> None:
        """Say how far; `end_of` tells whether an end is left open, or what an open one is."""
        self._by, self._lines, self._end_of = by, lines, end_of
        self.scalars: list[ScalarNode] = []
        self.nodes = 0

    def entry(self, entry: Entry) -> Entry:
        """Copy an entry."""
        return Entry(self.scalar(entry.key), self._node(entry.value))

    def scalar(self, node: ScalarNode) -> ScalarNode:
        """Copy a text."""
        by = self._by
        made = ScalarNode(
            node.text, node.start + by, node.end + by, node.line + self._lines, node.column, node.plain
        )
        self.scalars.append(made)
        self.nodes += 1
        return made

    def _node(self, node: Node) -> Node:
        if isinstance(node, ScalarNode):
            return self.scalar(node)
        self.nodes += 1
        place = (node.start + self._by, self._end_of(node.end), node.line + self._lines, node.column)
        if isinstance(node, MapNode):
            return MapNode(*place, node.flow, [self.entry(entry) for entry in node.entries])
        return SequenceNode(*place, node.flow, [self._node(item) for item in node.items])


def _leaving_open(by: int, last: int) -> Callable[[int], int]:
    """Ends moved by so much; those at the last place or behind it are open."""
    return lambda end: _OPEN if end >= last else end + by


def _closing(by: int, following: int) -> Callable[[int], int]:
    """Ends moved by so much; open ones stand where what follows begins."""
    return lambda end: following if end == _OPEN else end + by


def _put_together(text: str, pieces: Sequence[_Piece], found: _Kept) -> Parsed | None:
    """Return the whole tree; None where it has something wrong that no entry has by itself."""
    root = MapNode(pieces[0].start, len(text), text.count("\n", 0, pieces[0].start) + 1, 1, flow=False)
    line, nodes, into = root.line, 1, root
    scalars: list[ScalarNode] = []
    for piece, following in pairwise([*pieces, _Piece("", len(text), 0, head=False)]):
        begins = following.start + following.indent
        mover = _Mover(piece.start, line - 1, _closing(piece.start, begins))
        into = into if piece.indent else root
        if piece.head:
            into = MapNode(begins, 0, 0, following.indent + 1, flow=False)
            root.entries.append(Entry(mover.scalar(found[piece.key].key), into))
            into.line = line + piece.text.count("\n")
            nodes += 1
        else:
            into.entries.append(mover.entry(found[piece.key]))
        if into is not root:
            into.end = begins
        scalars += mover.scalars
        nodes += mover.nodes
        line += piece.text.count("\n")
    maps = [root, *(entry.value for entry in root.entries if _holds_entries(entry.value))]
    if nodes > MOST_NODES or any(len({e.key.text for e in m.entries}) < len(m.entries) for m in maps):
        return None
    return Parsed(root, (), tuple(scalars), complete=True)
