"""Small changes to a YAML text at known positions, in the manner in which the text around them is written."""

from __future__ import annotations

import re
from dataclasses import field
from typing import Final

from groundstrap.job.tree import MapNode, Node, ScalarNode, SequenceNode
from groundstrap.records import dataclass

__all__ = ["EmptyValue", "Patches", "empty_value", "end_of", "is_braced", "plain", "quoted"]

_NEEDS_QUOTES: Final = r"^[\s&*!|>'\"%@`?-]|[:#,\[\]{}]|\s$|^$|[^\x20-\x7e\xa0-\ud7ff\ue000-\ufffd]"


def quoted(text: str) -> str:
    """Return a text in single quotes.

    >>> quoted("Baker's van #2")
    "'Baker''s van #2'"
    """
    return "'" + text.replace("'", "''") + "'"


def plain(text: str) -> str:
    """Return a text as it can stand in a list or map, in quotes only where it needs them.

    >>> plain("bow light"), plain("- odd"), plain("a, b")
    ('bow light', "'- odd'", "'a, b'")
    """
    return quoted(text) if re.search(_NEEDS_QUOTES, text) else text


def is_braced(text: str, node: Node) -> bool:
    """Whether a map or list stands in braces or brackets."""
    return text[node.start : node.start + 1] in {"{", "["}


def end_of(text: str, node: Node) -> int:
    """Return where a node's own text ends, without what YAML counts to it of the next."""
    if isinstance(node, ScalarNode) or is_braced(text, node):
        return node.end
    if isinstance(node, SequenceNode):
        return end_of(text, node.items[-1]) if node.items else node.start
    if not node.entries:
        return node.start
    last = node.entries[-1]
    return max(last.key.end, end_of(text, last.value))


@dataclass(frozen=True, slots=True)
class EmptyValue:
    """Where the value of a key without one goes, and whether its colon stands before that."""

    at: int
    has_colon: bool


def empty_value(text: str, key: ScalarNode) -> EmptyValue:
    """Return where the value of a key goes that has none (`{fuse, holder: tap}`)."""
    after = re.match(r"[ \t]*:", text[key.end :])
    end = key.end if after is None else key.end + after.end()
    return EmptyValue(end, has_colon=after is not None)


@dataclass(slots=True)
class Patches:
    """Changes to a text, applied all at once."""

    text: str
    changes: list[tuple[int, int, str]] = field(default_factory=list)

    def replace(self, start: int, end: int, new: str) -> None:
        """Put a new text in the place of an old one."""
        self.changes.append((start, end, new))

    def insert(self, at: int, new: str) -> None:
        """Put a text between two others."""
        self.changes.append((at, at, new))

    def applied(self) -> str:
        """Return the text with all changes; those at one position in the order in which they were made."""
        pieces: list[str] = []
        at = 0
        for start, end, new in sorted(self.changes, key=lambda change: change[0]):
            pieces += [self.text[at:start], new]
            at = end
        return "".join((*pieces, self.text[at:]))

    @property
    def newline(self) -> str:
        """What the text ends its lines with."""
        return "\r\n" if "\r\n" in self.text else "\n"

    def _line_end(self, index: int) -> int:
        end = self.text.find("\n", index)
        end = len(self.text) if end < 0 else end
        return end - 1 if self.text[end - 1 : end] == "\r" else end

    def _indent(self, index: int) -> str:
        """Return as many spaces as stand (or would stand) before a position on its line."""
        start = self.text.rfind("\n", 0, index) + 1
        return " " * (index - start)

    def item_after(self, sequence: SequenceNode, number: int, new: str) -> None:
        """Put a new item behind one of a list; number -1 is the beginning."""
        if is_braced(self.text, sequence):
            if number < 0:
                self.insert(sequence.start + 1, f"{new}, ")
            else:
                self.insert(end_of(self.text, sequence.items[number]), f", {new}")
            return
        neighbour = sequence.items[max(number, 0)]
        dash = self.text.rfind("-", 0, neighbour.start)
        indent = self._indent(dash)
        if number < 0:
            self.insert(dash, f"- {new}{self.newline}{indent}")
        else:
            at = self._line_end(end_of(self.text, neighbour))
            self.insert(at, f"{self.newline}{indent}- {new}")

    def entry_in_step(self, step: MapNode, new: str) -> None:
        """Put a new entry first into a step of a path."""
        if is_braced(self.text, step):
            self.insert(step.start + 1, f"{new}, ")
        elif len(step.entries) == 1:
            end = end_of(self.text, step)
            self.replace(step.start, end, f"{{{new}, {self.text[step.start : end]}}}")
        else:
            self.insert(step.start, f"{new}{self.newline}{self._indent(step.start)}")

    def first_entry(self, node: MapNode, new: str) -> None:
        """Put a new entry first into a map."""
        if is_braced(self.text, node):
            self.insert(node.start + 1, f"{new}, " if node.entries else new)
        else:
            self.insert(node.start, f"{new}{self.newline}{self._indent(node.start)}")

    def last_entry(self, node: MapNode, new: str) -> None:
        """Put a new entry last into a map."""
        if is_braced(self.text, node):
            at = end_of(self.text, node.entries[-1].value) if node.entries else node.start + 1
            at = max(at, node.entries[-1].key.end) if node.entries else at
            self.insert(at, f", {new}" if node.entries or self._begun(node) else new)
        else:
            at = self._line_end(end_of(self.text, node))
            self.insert(at, f"{self.newline}{self._indent(node.start)}{new}")

    def _begun(self, node: MapNode) -> bool:
        return any(start == node.start + 1 for start, _, _ in self.changes)

    def entries_after(self, node: MapNode, key: str, new: list[str]) -> None:
        """Put new entries behind one of a map."""
        entry = next(entry for entry in node.entries if entry.key.text == key)
        at = end_of(self.text, entry.value)
        if is_braced(self.text, node):
            self.insert(at, "".join(f", {text}" for text in new))
        else:
            indent = self._indent(node.start)
            self.insert(self._line_end(at), "".join(f"{self.newline}{indent}{text}" for text in new))
