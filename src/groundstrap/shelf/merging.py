"""Two texts that grew out of one, put together entry by entry, with the comments of both.

What only one of them changed is taken from it. What both changed, each in another way, is a clash: which of
the two is meant, a person has to say. Whatever comes out is read again and compared with what it should say.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from difflib import SequenceMatcher
from typing import Final, Literal

from groundstrap.job.tree import MapNode, parse_tree
from groundstrap.records import dataclass
from groundstrap.shelf.parts import (
    Container,
    Layout,
    Part,
    Value,
    container,
    extent,
    last_column,
    shifted,
    value_of,
)
from groundstrap.shelf.records import ClashAt

__all__ = ["Choice", "Choices", "Merged", "MergedFiles", "merge_files", "merge_texts"]

Path = tuple[str | int, ...]
Choice = Literal["mine", "theirs"]
Choices = Mapping[Path, Choice]

# Lists in which an item means something by its place: two new ones beside each other are no matter of taste.
_IN_ORDER: Final = {"path", "return", "day", "ways"}
_GONE: Final = object()
# Of longer lists only what is alike at the two ends is looked for: time grows with the square of the rest.
_MOST_COMPARED: Final = 250_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Merged:
    """What came of it: the text, or the clashes that are in its way."""

    text: str | None
    clashes: tuple[ClashAt, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MergedFiles:
    """The files that have what both changed; those of clashes are mine."""

    files: Mapping[str, str]
    clashes: tuple[ClashAt, ...] = ()


def merge_texts(base: str, mine: str, theirs: str, choices: Choices | None = None) -> Merged:
    r"""Return the text that has what both changed since the base.

    Parameters
    ----------
    base, mine, theirs : str
        The three texts.
    choices : Mapping or None
        Which one is meant where both changed a value: path -> `mine` or `theirs`.

    Examples
    --------
    >>> base = "loads:\n  lamp: {claims: {power: 5 W}}  # by the door\n"
    >>> mine = base.replace("5 W", "10 W")
    >>> theirs = base.replace("the door", "the bed") + "  fan: {claims: {power: 30 W}}\n"
    >>> print(merge_texts(base, mine, theirs).text.strip())
    loads:
      lamp: {claims: {power: 10 W}}  # by the bed
      fan: {claims: {power: 30 W}}
    >>> merge_texts(base, mine, base.replace("5 W", "7 W")).clashes[0].path
    ('loads', 'lamp', 'claims', 'power')
    """
    if theirs in {mine, base}:
        return Merged(text=mine)
    if mine == base:
        return Merged(text=theirs)
    whole = ClashAt(path=(), base=base, mine=mine, theirs=theirs)
    if () in (choices or {}):
        return Merged(text=mine if (choices or {})[()] == "mine" else theirs)
    trees = [_tree(text) for text in (base, mine, theirs)]
    if None in trees:
        return Merged(text=None, clashes=(whole,))
    sides = [each for each in trees if each is not None]
    merging = _Merging(choices or {})
    made = merging.document(*sides)
    if merging.clashes:
        return Merged(text=None, clashes=tuple(merging.clashes))
    text = _as_written(made.text, theirs)
    again = parse_tree(text)
    if again.troubles or value_of(again.root) != made.value:
        return Merged(text=None, clashes=(whole,))
    return Merged(text=text)


def merge_files(
    base: Mapping[str, str],
    mine: Mapping[str, str],
    theirs: Mapping[str, str],
    choices: Choices | None = None,
) -> MergedFiles:
    """Return the files beside a job that have what both changed, and those that both changed.

    >>> merge_files({"a": "1"}, {"a": "1", "b": "2"}, {"a": "3"}).files
    {'a': '3', 'b': '2'}
    """
    found: dict[str, str] = {}
    clashes = []
    for name in sorted({*base, *mine, *theirs}):
        was, own, other = base.get(name), mine.get(name), theirs.get(name)
        kept = theirs.get(name) if own == was else own
        if own != other and was not in {own, other}:
            path: Path = ("files", name)
            chosen = (choices or {}).get(path)
            if chosen is None:
                clashes.append(ClashAt(path=path, base=was, mine=own, theirs=other))
            kept = other if chosen == "theirs" else own
        if kept is not None:
            found[name] = kept
    return MergedFiles(files=found, clashes=tuple(clashes))


@dataclass(frozen=True, slots=True)
class _Tree:
    text: str
    root: MapNode


def _tree(text: str) -> _Tree | None:
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n")
    parsed = parse_tree(plain)
    if parsed.troubles or not parsed.complete or not isinstance(parsed.root, MapNode):
        return None
    return _Tree(plain, parsed.root)


def _as_written(text: str, like: str) -> str:
    """A text with the line ends and the mark at its beginning that another one has."""
    text = text.replace("\n", "\r\n") if "\r\n" in like else text
    return "\ufeff" + text if like.startswith("\ufeff") else text


@dataclass(frozen=True, slots=True)
class _Made:
    """A text, and what it should say."""

    text: str
    value: Value


@dataclass(frozen=True, slots=True)
class _Side:
    """A part in one of the three texts, and the column of the container that it is in."""

    part: Part
    of: Container


@dataclass(slots=True)
class _Merging:
    """Goes down three trees at once and collects the clashes."""

    choices: Choices
    clashes: list[ClashAt] = field(default_factory=list)

    def document(self, base: _Tree, mine: _Tree, theirs: _Tree) -> _Made:
        """Merge whole texts: what stands before the first key and behind the last line is kept too."""
        trees = (base, mine, theirs)
        found = [_needed(container(tree.text, tree.root)) for tree in trees]
        if len({each.style for each in found}) > 1:
            self._clash((), *(tree.text for tree in trees))
            return _Made("", None)
        before = _comments(*(tree.text[: tree.root.start] for tree in trees))
        after = _comments(*(tree.text[extent(tree.text, tree.root) :] for tree in trees))
        made = self._members((), found[0], found[1], found[2], last_column(before, 0))
        return _Made(before + made.text + after, made.value)

    def _members(
        self, path: Path, base: Container | None, mine: Container, theirs: Container, column: int
    ) -> _Made:
        if mine.mapping:
            made = self._entries(path, base, mine, theirs, column)
        else:
            made = self._items(path, base, mine, theirs, column)
        members = ((key, each.value) for key, each, _ in made)
        value: Value = (
            ("map", *sorted(members, key=lambda pair: pair[0]))
            if mine.mapping
            else ("list", *(each.value for _, each, _ in made))
        )
        texts = [(each.text, head) for _, each, head in made]
        if mine.layout == "braces":
            return _Made(_braced(texts, base, mine, theirs), value)
        if not texts:
            return _Made("{}" if mine.mapping else "[]", value)
        if mine.layout == "bare":
            inside = ", ".join(text for text, _ in texts)
            return _Made(inside if len(texts) == 1 else f"{{{inside}}}", value)
        return _Made(_block(texts, column), value)

    def _entries(
        self, path: Path, base: Container | None, mine: Container, theirs: Container, column: int
    ) -> list[tuple[str, _Made, str]]:
        by_key = [
            {} if each is None else {part.key: _Side(part, each) for part in each.parts}
            for each in (base, mine, theirs)
        ]
        found = []
        for key in _order(*(list(each) for each in by_key)):
            sides = [each.get(key) for each in by_key]
            made = self._one((*path, key), sides, column)
            if made is not None:
                heads = [None if side is None else side.part.head for side in sides]
                found.append((key, made, _comments(*heads)))
        return found

    def _one(self, path: Path, sides: Sequence[_Side | None], column: int) -> _Made | None:
        """Merge one entry of the three texts; none where it is to go."""
        base, mine, theirs = sides
        if mine is not None and theirs is not None:
            return self._both(path, base, mine, theirs, column)
        left = mine or theirs
        if left is None:
            return None
        if base is None:
            return _copied(left, column)
        if left.part.value == base.part.value:
            return None
        chosen = self.choices.get(path)
        if chosen is None:
            self._clash(path, *(None if side is None else side.part.raw for side in sides))
            return _copied(left, column)
        kept = mine if chosen == "mine" else theirs
        return None if kept is None else _copied(kept, column)

    def _both(self, path: Path, base: _Side | None, mine: _Side, theirs: _Side, column: int) -> _Made:
        """Merge an entry that both have: inside, where all are of one kind; else one of them as a whole."""
        if base is not None and _as_it_was(base, mine):
            return _copied(theirs, column)
        if base is not None and _as_it_was(base, theirs):
            return _copied(mine, column)
        sides = [side for side in (base, mine, theirs) if side is not None]
        if len({_style(side) for side in sides}) > 1 or not _same_thing(base, mine, theirs):
            return _copied(self._whole(path, base, mine, theirs), column)
        lead = _comments(*(None if each is None else _lead(each, column) for each in (base, mine, theirs)))
        tail = _comments(*(None if each is None else each.part.tail for each in (base, mine, theirs)))
        inside = last_column(lead, column)
        own, other = _inner(mine), _inner(theirs)
        if own is not None and other is not None:
            made = self._members(path, None if base is None else _inner(base), own, other, inside)
        else:
            made = _raw(self._whole(path, base, mine, theirs), inside)
        # One of them may have given a value to a key that had none.
        between = " " if made.text and lead.endswith(":") else ""
        return _Made(lead + between + made.text + tail, made.value)

    def _whole(self, path: Path, base: _Side | None, mine: _Side, theirs: _Side) -> _Side:
        """Whose value it is to be, the value being one thing."""
        before = _GONE if base is None else base.part.value
        if mine.part.value != theirs.part.value and before in {mine.part.value, theirs.part.value}:
            return theirs if mine.part.value == before else mine
        if mine.part.value == theirs.part.value:
            # Where both say the same, whoever wrote it in another way meant to.
            return theirs if base is not None and mine.part.raw == base.part.raw else mine
        chosen = self.choices.get(path)
        if chosen is None:
            self._clash(path, None if base is None else base.part.raw, mine.part.raw, theirs.part.raw)
        return theirs if chosen == "theirs" else mine

    def _clash(self, path: Path, base: str | None, mine: str | None, theirs: str | None) -> None:
        self.clashes.append(ClashAt(path=path, base=base, mine=mine, theirs=theirs))

    def _items(
        self, path: Path, base: Container | None, mine: Container, theirs: Container, column: int
    ) -> list[tuple[str, _Made, str]]:
        found: list[tuple[str, _Made, str]] = []
        was = _sides(base)
        for old, own, other in _chunks(was, _sides(mine), _sides(theirs)):
            found += self._chunk((*path, len(found)), old, own, other, column)
        return found

    def _chunk(
        self, path: Path, old: list[_Side], own: list[_Side], other: list[_Side], column: int
    ) -> list[tuple[str, _Made, str]]:
        """Merge a run of items; `path` is the place of its first."""
        said = [[side.part.value for side in each] for each in (old, own, other)]
        if len(old) == len(own) == len(other):
            return [
                (
                    "",
                    self._both((*path[:-1], _place(path) + number), a, b, c, column),
                    _comments(*_heads(a, b, c)),
                )
                for number, (a, b, c) in enumerate(zip(old, own, other, strict=True))
            ]
        if said[2] == said[0]:
            return _all_copied(own, column)
        if said[1] in (said[0], said[2]):
            return _all_copied(other, column)
        records = all(isinstance(side.part.node, MapNode) for side in (*own, *other))
        if not old and records and not _IN_ORDER & {str(key) for key in path}:
            return _all_copied(other, column) + _all_copied(own, column)
        chosen = self.choices.get(path)
        if chosen is None:
            self._clash(path, *(_listed(each) for each in (old, own, other)))
        return _all_copied(other if chosen == "theirs" else own, column)


def _needed(found: Container | None) -> Container:
    assert found is not None
    return found


def _inner(side: _Side) -> Container | None:
    return container(side.of.text, side.part.node)


def _as_it_was(base: _Side, side: _Side) -> bool:
    """Whether an entry stands as it stood, comments and all."""
    old, new = base.part, side.part
    return base.of.column == side.of.column and (old.lead, old.raw, old.tail) == (new.lead, new.raw, new.tail)


def _style(side: _Side) -> tuple[bool, Layout] | None:
    """Which kind of container a value is; nothing for a text."""
    inner = _inner(side)
    return None if inner is None else inner.style


def _same_thing(base: _Side | None, mine: _Side, theirs: _Side) -> bool:
    """Whether what both hold is still the item that it was: at least half of what an item of a list says.

    Two lists are compared by the place of their items alone, and a new item in the place of an old one is no
    change of it.
    """
    if base is None or base.part.key or not isinstance(base.part.node, MapNode):
        return True
    was = _said(base)
    return all(2 * len(was & _said(side)) >= len(was) for side in (mine, theirs))


def _said(side: _Side) -> set[str]:
    value = side.part.value
    return {repr(pair) for pair in value[1:]} if isinstance(value, tuple) else {repr(value)}


def _sides(of: Container | None) -> list[_Side]:
    return [] if of is None else [_Side(part, of) for part in of.parts]


def _lead(side: _Side, column: int) -> str:
    return shifted(side.part.lead, column - side.of.column)


def _raw(side: _Side, column: int) -> _Made:
    """A value as it stands in one of the texts, moved to where it goes."""
    return _Made(
        shifted(side.part.raw, column - last_column(side.part.lead, side.of.column)), side.part.value
    )


def _copied(side: _Side, column: int) -> _Made:
    part = side.part
    return _Made(shifted(part.lead + part.raw + part.tail, column - side.of.column), part.value)


def _all_copied(sides: Sequence[_Side], column: int) -> list[tuple[str, _Made, str]]:
    return [("", _copied(side, column), side.part.head) for side in sides]


def _heads(*sides: _Side) -> list[str]:
    return [side.part.head for side in sides]


def _place(path: Path) -> int:
    return path[-1] if isinstance(path[-1], int) else 0


def _listed(sides: Sequence[_Side]) -> str | None:
    return ", ".join(side.part.raw for side in sides) or None


def _order(base: list[str], mine: list[str], theirs: list[str]) -> list[str]:
    """Every key of the three, in their order, or in mine where I moved some; new ones after a neighbour."""
    shared = set(base) & set(mine)
    moved = [key for key in mine if key in shared] != [key for key in base if key in shared]
    first, second = (mine, theirs) if moved else (theirs, mine)
    found = list(first)
    for number, key in enumerate(second):
        if key not in found:
            before = [found.index(each) for each in second[:number] if each in found]
            found.insert(before[-1] + 1 if before else 0, key)
    return found


def _chunks(
    base: list[_Side], mine: list[_Side], theirs: list[_Side]
) -> list[tuple[list[_Side], list[_Side], list[_Side]]]:
    """Runs of items: those that all three have, and between them those that somebody changed."""
    own, other = _matches(base, mine), _matches(base, theirs)
    found = []
    at = [0, 0, 0]
    for number in range(len(base) + 1):
        if number < len(base) and (number not in own or number not in other):
            continue
        ends = [number, own.get(number, len(mine)), other.get(number, len(theirs))]
        found.append(_cut(at, ends, base, mine, theirs))
        if number < len(base):
            at = [end + 1 for end in ends]
            found.append(_cut(ends, at, base, mine, theirs))
    return [chunk for chunk in found if any(chunk)]


def _cut(
    start: list[int], end: list[int], *lists: list[_Side]
) -> tuple[list[_Side], list[_Side], list[_Side]]:
    one, two, three = (each[a:b] for each, a, b in zip(lists, start, end, strict=True))
    return one, two, three


def _matches(base: list[_Side], side: list[_Side]) -> dict[int, int]:
    """Position of an item in the base -> its position on one side, for what stayed as it was."""
    old, new = ([repr(each.part.value) for each in sides] for sides in (base, side))
    least = min(len(old), len(new))
    start = next((n for n in range(least) if old[n] != new[n]), least)
    end = next((n for n in range(least - start) if old[-1 - n] != new[-1 - n]), least - start)
    found = {number: number for number in range(start)}
    found |= {len(old) - n: len(new) - n for n in range(1, end + 1)}
    old, new = old[start : len(old) - end], new[start : len(new) - end]
    if len(old) * len(new) <= _MOST_COMPARED:
        blocks = SequenceMatcher(None, old, new, autojunk=False).get_matching_blocks()
        found |= {start + block.a + n: start + block.b + n for block in blocks for n in range(block.size)}
    return found


def _comments(base: str | None, mine: str | None, theirs: str | None) -> str:
    """What stands between two values, of the three texts: comments that both wrote are both kept."""
    if mine is None or theirs is None:
        return mine or theirs or ""
    if mine in {theirs, base} or theirs == base:
        return theirs if mine == base else mine
    if "#" not in theirs or "#" not in mine:
        return theirs if "#" in theirs else mine
    if "\n" not in mine:
        return mine if theirs.strip() in mine else f"{mine.rstrip()}  {theirs.strip()}"
    new = [line for line in theirs.split("\n")[:-1] if line.strip().startswith("#") and line not in mine]
    first = theirs.split("\n", 1)[0]
    new += [first[first.index("#") :]] if "#" in first and first[first.index("#") :] not in mine else []
    body, indent = mine[: mine.rfind("\n") + 1], mine[mine.rfind("\n") + 1 :]
    return body + "".join(f"{indent}{line.strip()}\n" for line in dict.fromkeys(new)) + indent


def _block(texts: Sequence[tuple[str, str]], column: int) -> str:
    """Entries on lines of their own; the first stands where the container begins."""
    indent = " " * column
    first, head = texts[0]
    above = head.lstrip("\n ")
    pieces = [above + indent + first if above else first]
    pieces += [(head or "\n") + indent + text for text, head in texts[1:]]
    return "".join(pieces)


def _braced(
    texts: Sequence[tuple[str, str]], base: Container | None, mine: Container, theirs: Container
) -> str:
    """Entries between braces or brackets, with a space behind each comma where nothing else stands there."""
    opening = mine.parts[0].head if mine.parts else ""
    pieces = [mine.opening]
    for number, (text, head) in enumerate(texts):
        if head.strip() or "\n" in head:
            lead = head
        else:
            lead = " " if number else opening if not opening.strip() else ""
        pieces += [lead, text, "," if number < len(texts) - 1 else ""]
    closing = _comments(None if base is None else base.closing, mine.closing, theirs.closing)
    return "".join((*pieces, closing))
