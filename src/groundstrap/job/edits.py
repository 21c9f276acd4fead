"""Edits of a job's text: a value put, taken out, added, renamed or moved, everything else left as it stands.

Each edit patches the text where its node stands. What comes out is read again and compared with what was
wanted, and the new value is judged by the form of its own key, before anybody gets it.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import Final, NoReturn

from groundstrap.errors import CallError, CannotDoError, Fault, JobError, nearest_name
from groundstrap.job.data import (
    Data,
    Value,
    as_data,
    is_number,
    plain_data,
    reordered,
    same,
    tidied,
    with_entry,
    with_item,
    with_value,
    without,
)
from groundstrap.job.faults import Faults, Spot
from groundstrap.job.forms import Shape
from groundstrap.job.grammar import NAMED_SECTIONS, form_of, judge, place_of
from groundstrap.job.renames import renamed
from groundstrap.job.schema import PART_WORDS, TOP_KEYS
from groundstrap.job.splices import PAIRED, Splices, entry_text, flow_text
from groundstrap.job.spoken import spelt
from groundstrap.job.traps import whole_tree
from groundstrap.job.tree import MapNode, Node, ScalarNode, SequenceNode
from groundstrap.records import dataclass

__all__ = ["Edit", "EditKind", "edited"]


class EditKind(StrEnum):
    """What an edit does."""

    SET = "set"
    """Put a value at a path; what is missing on the way is made."""
    REMOVE = "remove"
    ADD = "add"
    """Put in an entry that is not there yet, or one more item of a list."""
    RENAME = "rename"
    """Give an entry another name, wherever the file speaks of it."""
    MOVE = "move"
    """Put an entry or item before another one of the same section or list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edit:
    """One edit; without `do` a value is set, and no value removes."""

    path: tuple[str | int, ...]
    """Keys down to what is edited, items of lists by their number from 0."""
    value: Value | None = None
    """What is put there: a text, a map, a list or a sentence that says one; of a rename the new name."""
    do: EditKind | None = None
    before: str | int | None = None
    """Where an entry is added or moved to: before this one; None is behind all others."""

    @property
    def kind(self) -> EditKind:
        """What it does."""
        if self.do is not None:
            return EditKind(self.do)
        return EditKind.REMOVE if self.value is None else EditKind.SET


_SHOWN: Final = 40


def edited(text: str, edits: Sequence[Edit], *, file: str = "-") -> str:
    r"""Return a job's text with edits made one after the other; comments, order and quotes stay.

    A job with faults elsewhere can be edited. Raises `JobError` where a value is refused, with what would
    do, and where the text is no YAML; `CallError` where there is nothing to edit at the path.

    Parameters
    ----------
    text : str
        The whole text of the job file.
    edits : Sequence of Edit
        What to do, in this order.
    file : str
        Its name, for messages.

    Examples
    --------
    >>> text = '''groundstrap: 1
    ... title: Bed light
    ... system: 12 V
    ... loads:
    ...   light: {claims: {power: 5 W}}  # by the bed
    ... '''
    >>> more = (Edit(path=("loads", "light", "claims", "power"), value="6 W"),
    ...         Edit(path=("circuits", "light", "length"), value="3 m"))
    >>> print(*edited(text, more).splitlines()[3:], sep="\n")
    loads:
      light: {claims: {power: 6 W}}  # by the bed
    circuits:
      light: {length: 3 m}
    """
    for edit in edits:
        text = _Change(text, edit, file).made()
    return text


class _Change:
    """One edit of one text."""

    def __init__(self, text: str, edit: Edit, file: str, *, judged: bool = True) -> None:
        """Read the text and keep what is to be done; `judged` says whether the value is."""
        self.text, self.edit, self.file, self.judged = text, edit, file, judged
        self.path = tuple(tidied(str(key)) for key in edit.path)
        root = whole_tree(text, file)
        self.empty = isinstance(root, ScalarNode) and not root.text
        self.root: Node = MapNode(len(text), len(text), 1, 1, flow=False) if self.empty else root
        if not isinstance(self.root, MapNode):
            raise JobError([_fault(file, self.root, "", "a job file that begins with groundstrap: 1",
                                   "the text is no map of keys and values")])  # fmt: skip
        if not self.path:
            raise CallError("an edit needs a path", wanted="the keys down to what is edited")
        self.splices = Splices(text)

    def made(self) -> str:
        """Return the text with the edit in it."""
        kind = self.edit.kind
        if kind is EditKind.RENAME:
            retold = renamed(self.text, self.root, self.path, self._new_name())
            return self._checked(retold.text, retold.held)
        value = as_data(self.edit.value)
        if self.judged and value is not None:
            adding = kind is EditKind.ADD
            value = spelt(self.path, value, plain_data(self.root), adding=adding).value
        match kind:
            case EditKind.SET:
                wanted = self._set(self._value(value))
            case EditKind.ADD:
                wanted = self._add(self._value(value))
            case EditKind.REMOVE:
                wanted = self._remove()
            case _:
                return self._checked(*self._moved())
        return self._checked(self.splices.applied(), wanted)

    def _value(self, value: Data | None) -> Data:
        if value is None:
            raise CallError("nothing was given to put there", wanted="a text, a map or a list")
        return value

    def _new_name(self) -> str:
        if not isinstance(self.edit.value, str) or not tidied(self.edit.value):
            raise CallError("a rename needs the new name", wanted="a name", given=str(self.edit.value))
        return tidied(self.edit.value)

    # --- what is at the path --------------------------------------------------------------------------------

    def _nodes(self) -> list[Node]:
        """Return the nodes on the way, the root first, as far as they are there."""
        nodes: list[Node] = [self.root]
        for key in self.path:
            below = _child(nodes[-1], key)
            if below is None:
                break
            nodes.append(below)
        return nodes

    def _missing(self, nodes: list[Node]) -> NoReturn:
        parent, key = nodes[-1], self.path[len(nodes) - 1]
        where = _told(self.path[: len(nodes) - 1])
        if isinstance(parent, MapNode):
            known = [entry.key.text for entry in parent.entries]
            wanted = f"one of {', '.join(known[:12])}" if known else "a key that is there"
            raise CallError(f"{where} has no {key}", wanted=wanted, nearest=nearest_name(key, known))
        if isinstance(parent, SequenceNode):
            last = len(parent.items) - 1
            wanted = f"a number from 0 to {last}" if last >= 0 else "an item to be added first"
            raise CallError(f"{where} has no item {key}", wanted=wanted)
        raise CallError(f"{where} is one text, and has no {key}", wanted="a key that is there")

    def _braced(self, nodes: list[Node]) -> bool:
        return any(getattr(node, "flow", False) for node in nodes)

    def _pairs(self, depth: int) -> bool:
        return any(key in PAIRED for key in self.path[:depth])

    # --- the edits ------------------------------------------------------------------------------------------

    def _set(self, value: Data) -> Data:
        nodes = self._nodes()
        if len(nodes) == len(self.path) + 1:
            pieces = self._piecewise(nodes[-1], value)
            if pieces is not None:
                self.splices.replace(0, len(self.text), pieces)
            else:
                self._put(nodes, value)
            return with_value(plain_data(self.root), self.path, value)
        return self._insert(nodes, value)

    def _put(self, nodes: list[Node], value: Data) -> None:
        """Put a value where one stands, entry by entry where both are maps."""
        old, parent, key = nodes[-1], nodes[-2], self.path[-1]
        depth = len(self.path)
        if plain_data(old) == value and not _is_blank(old):
            return
        braced, pairs = self._braced(nodes[:-1]), self._pairs(depth)
        if isinstance(parent, MapNode):
            entry = next(e for e in parent.entries if e.value is old)
            self.splices.value(entry, value, braced=braced, pairs=pairs)
        else:
            self._put_item(parent, int(key), value)

    def _put_item(self, parent: Node, number: int, value: Data) -> None:
        """Put an item in the place of another; a map of one key stands as the others of the list do."""
        assert isinstance(parent, SequenceNode)
        item, pairs = parent.items[number], self._pairs(len(self.path))
        one = flow_text([value], pairs=pairs)[1:-1]
        if isinstance(value, dict) and not one.startswith("{"):
            self.splices.replace(item.start, self.splices.end(item), one)
        else:
            self.splices.node(item, value, braced=parent.flow, pairs=pairs)

    def _piecewise(self, old: Node, value: Data) -> str | None:
        """Change a map or list entry by entry, so that what stands between stays; None where it can't be."""
        sets: list[tuple[str, Data | None]] = []
        if isinstance(old, MapNode) and isinstance(value, dict):
            there = {tidied(entry.key.text): plain_data(entry.value) for entry in old.entries}
            if not there.keys() & value.keys():
                return None
            sets += [(key, None) for key in there if key not in value]
            sets += [(key, new) for key, new in value.items() if key not in there or there[key] != new]
        elif isinstance(old, SequenceNode) and isinstance(value, list) and len(value) == len(old.items):
            pairs = zip(old.items, value, strict=True)
            sets += [(str(n), new) for n, (item, new) in enumerate(pairs) if plain_data(item) != new]
        else:
            return None
        text = self.text
        for key, new in sets:
            edit = Edit(path=(*self.path, key), value=new)
            text = _Change(text, edit, self.file, judged=False).made()
        wanted = with_value(plain_data(self.root), self.path, value)
        return text if same(plain_data(whole_tree(text, self.file)), wanted) else None

    def _insert(self, nodes: list[Node], value: Data) -> Data:
        """Put a value where nothing stands yet, with all that is missing above it."""
        depth = len(nodes) - 1
        parent, key = nodes[-1], self.path[depth]
        new = _nested(self.path[depth + 1 :], value, self.path[: depth + 1])
        wanted = plain_data(self.root)
        pairs = self._pairs(depth + 1)
        if isinstance(parent, MapNode):
            at = self._place_in(parent, depth)
            if self.empty:
                return self._begin(key, new)
            if parent.entries or parent.flow:
                self.splices.add_entry(parent, at, key, new, pairs=pairs)
                return with_entry(wanted, self.path[:depth], key, new, at)
            self._put(nodes[: depth + 1], {key: new})  # pragma: no cover - a map in lines has entries
            return wanted
        if isinstance(parent, SequenceNode):
            if key != str(len(parent.items)):
                self._missing(nodes)
            self.splices.add_item(parent, len(parent.items), new, pairs=pairs)
            return with_item(wanted, self.path[:depth], len(parent.items), new)
        return self._below_text(nodes, key, new)

    def _begin(self, key: str, new: Data) -> Data:
        newline = self.splices.newline
        gap = "" if not self.text or self.text.endswith("\n") else newline
        self.splices.insert(len(self.text), f"{gap}{entry_text(key, new, newline=newline)}{newline}")
        return {key: new}

    def _below_text(self, nodes: list[Node], key: str, new: Data) -> Data:
        """Put a key where one text stands: `fuse` becomes `{fuse, holder: tap}`, `unknown` goes."""
        parent, at = nodes[-1], self.path[: len(nodes) - 1]
        assert isinstance(parent, ScalarNode)
        place = place_of(at)
        shape = None if place.form is None else place.form.shape
        if shape is None or (shape.parts is None and shape.each is None):
            self._missing(nodes)
        value: Data = {key: new}
        if place.is_list and is_number(key):
            value = [new]
        elif parent.text in PART_WORDS and shape.names == "step" and key != parent.text:
            value = {parent.text: "", key: new}
        elif shape.names == "step" and parent.text not in {"", "unknown", *PART_WORDS}:
            self._missing(nodes)
        elif shape.quantities and parent.text not in {"", "unknown"}:
            value = {**{name: parent.text for name in _for_quantity(shape) if name != key}, key: new}
        above = _Change(self.text, Edit(path=at, value=value), self.file) if at else self
        above._put(nodes, value)
        self.splices = above.splices
        return with_value(plain_data(self.root), at, value)

    def _place_in(self, parent: MapNode, depth: int) -> int:
        """Return the number of the entry before which a new one goes."""
        if self.edit.before is not None and self.edit.kind is EditKind.ADD:
            return self._number(parent, str(self.edit.before))
        place = place_of(self.path[: depth + 1])
        if place.parent is None or place.parent.shape.parts is None or place.parent.shape.each is not None:
            return len(parent.entries)
        order = TOP_KEYS if depth == 0 else place.known
        if self.path[depth] not in order:
            return len(parent.entries)
        own = order.index(self.path[depth])
        ahead = [
            n for n, e in enumerate(parent.entries) if e.key.text in order and order.index(e.key.text) < own
        ]
        return ahead[-1] + 1 if ahead else 0

    def _number(self, parent: Node, key: str) -> int:
        """Return the number of an entry or item that another one goes before."""
        if isinstance(parent, MapNode):
            known = [entry.key.text for entry in parent.entries]
            if key in known:
                return known.index(key)
            raise CallError(f"there is no {key} to go before", wanted=f"one of {', '.join(known[:12])}",
                            nearest=nearest_name(key, known))  # fmt: skip
        assert isinstance(parent, SequenceNode)
        if is_number(key) and int(key) <= len(parent.items):
            return int(key)
        raise CallError(f"there is no item {key} to go before", wanted=f"0 to {len(parent.items)}")

    def _add(self, value: Data) -> Data:
        nodes = self._nodes()
        if len(nodes) <= len(self.path):
            last_is_list = place_of(self.path).is_list and not isinstance(value, list)
            several = place_of(self.path).form
            if last_is_list and several is not None and not several.shape.several and not several.shape.alone:
                value = [value]
            return self._insert(nodes, value)
        node = nodes[-1]
        if isinstance(node, SequenceNode):
            at = len(node.items) if self.edit.before is None else self._number(node, str(self.edit.before))
            self.splices.add_item(node, at, value, pairs=self._pairs(len(self.path)))
            return with_item(plain_data(self.root), self.path, at, value)
        if not place_of(self.path).is_list:
            raise CallError(
                f"{_told(self.path)} is there already", wanted="another name, or to set its value"
            )
        if isinstance(node, ScalarNode) and node.text in {"", "unknown", "none"}:
            self._put(nodes, value)
            return with_value(plain_data(self.root), self.path, value)
        first = self.edit.before is not None
        self.splices.wrap(node, value, first=first, pairs=self._pairs(len(self.path)))
        old = plain_data(node)
        return with_value(plain_data(self.root), self.path, [value, old] if first else [old, value])

    def _remove(self) -> Data:
        nodes = self._nodes()
        if len(nodes) <= len(self.path):
            self._missing(nodes)
        if place_of(self.path).step and self.path[-1] in PART_WORDS:
            return self._open_again(nodes)
        depth = len(self.path)
        while depth > 1 and _size(nodes[depth - 1]) == 1 and not _stays(self.path[: depth - 1]):
            depth -= 1
        path, parent = self.path[:depth], nodes[depth - 1]
        number = _index(parent, path[-1])
        if _size(parent) == 1 and depth > 1:
            self.path = path[:-1]
            blank: Data = {} if isinstance(parent, MapNode) else []
            self._put_blank(nodes[:depth], blank)
            return with_value(plain_data(self.root), path[:-1], blank)
        if isinstance(parent, MapNode):
            self.splices.remove_entry(parent, number)
        else:
            assert isinstance(parent, SequenceNode)
            self.splices.remove_item(parent, number)
        return without(plain_data(self.root), path)

    def _open_again(self, nodes: list[Node]) -> Data:
        """Take the rating off a part, which stays: `fuse: 15 A` becomes `fuse`."""
        word, step = self.path[-1], plain_data(nodes[-2])
        assert isinstance(step, dict)
        self.path = self.path[:-1]
        value: Data = word if len(step) == 1 else {**step, word: ""}
        self._put(nodes[:-1], value)
        return with_value(plain_data(self.root), self.path, value)

    def _put_blank(self, nodes: list[Node], blank: Data) -> None:
        node, parent = nodes[-1], nodes[-2]
        if isinstance(parent, MapNode):
            entry = next(e for e in parent.entries if e.value is node)
            self.splices.value(entry, blank, braced=self._braced(nodes[:-1]), pairs=False)
        else:
            self.splices.node(node, blank, braced=True, pairs=False)

    def _moved(self) -> tuple[str, Data]:
        """Move an entry or item: its own lines go to another place of the same map or list."""
        nodes = self._nodes()
        if len(nodes) <= len(self.path):
            self._missing(nodes)
        parent, key = nodes[-2], self.path[-1]
        here, size = _index(parent, key), _size(parent)
        there = size if self.edit.before is None else self._number(parent, str(self.edit.before))
        wanted = plain_data(self.root)
        if there in {here, here + 1}:
            return self.text, wanted
        assert not isinstance(parent, ScalarNode)
        return self.splices.moved(parent, here, there), reordered(wanted, self.path[:-1], here, there)

    # --- judging --------------------------------------------------------------------------------------------

    def _checked(self, text: str, wanted: Data) -> str:
        """Return the new text once it reads as it was meant, and its new value is one that would do."""
        root: Node = whole_tree(text, self.file) if text.strip() else MapNode(0, 0, 1, 1, flow=False)
        if isinstance(root, ScalarNode) and not root.text:
            root = MapNode(0, 0, 1, 1, flow=False)
        if not same(plain_data(root), wanted):
            line = self._nodes()[-1].line
            told = f"{_told(self.path)} can't be edited at line {line} without changing something else"
            raise CannotDoError(told, next_step="write it into the text by hand")
        if self.judged and self.edit.kind in {EditKind.SET, EditKind.ADD}:
            self._judge(text, root)
        return text

    def _judge(self, text: str, root: Node) -> None:
        faults = Faults(self.file, text)
        node, beside = root, root
        for key in self.path:
            below = _child(node, key)
            if below is None:
                break
            node, beside = below, node
        judge(Spot(node, self.path, faults), place_of(self.path), beside)
        faults.check()


def _is_blank(node: Node) -> bool:
    return isinstance(node, ScalarNode) and node.empty


def _fault(file: str, node: Node, found: str, wanted: str, reason: str) -> Fault:
    return Fault(
        file=file, line=node.line, column=node.column, key="", found=found, wanted=wanted, reason=reason
    )


def _for_quantity(shape: Shape) -> list[str]:
    """Return the key of a map that the quantity goes to which stood there alone: `11 A` of a stall."""
    parts = (shape.parts or {}).items()
    return [name for name, part in parts if form_of(part).shape.quantities == shape.quantities][:1]


def _told(path: Sequence[str]) -> str:
    told = " > ".join(path) or "the job"
    return told if len(told) <= _SHOWN * 3 else f"{told[:_SHOWN]}..."


def _child(node: Node, key: str) -> Node | None:
    if isinstance(node, MapNode):
        found = next((e.value for e in node.entries if e.key.text == key), None)
        if found is None:
            found = next((e.value for e in node.entries if tidied(e.key.text) == key), None)
        return found
    if isinstance(node, SequenceNode) and is_number(key) and int(key) < len(node.items):
        return node.items[int(key)]
    return None


def _index(node: Node, key: str) -> int:
    if isinstance(node, MapNode):
        return next(n for n, e in enumerate(node.entries) if tidied(e.key.text) == key)
    return int(key)


def _size(node: Node) -> int:
    if isinstance(node, MapNode):
        return len(node.entries)
    return len(node.items) if isinstance(node, SequenceNode) else 0


def _stays(path: Sequence[str]) -> bool:
    """Whether something stays in the file when nothing is left in it: an entry with a name."""
    return len(path) == 2 and path[0] in NAMED_SECTIONS


def _nested(keys: Sequence[str], value: Data, above: Sequence[str]) -> Data:
    """Return a value below keys that are not there yet."""
    for number in range(len(keys) - 1, -1, -1):
        place = place_of((*above, *keys[:number]))
        form = place.form
        a_list = (
            place.is_list
            and keys[number] == "0"
            and not (form and form.shape.parts and keys[number] in form.shape.parts)
        )
        value = [value] if a_list else {keys[number]: value}
    return value
