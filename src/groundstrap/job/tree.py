"""The text of a job file as a tree of texts, each with its place; nothing in it ever becomes a number.

The parser of ruamel.yaml does the reading and only its events are used. So `01`, `1.10`, `no`, `null` and
dates stay what stands there, and every node knows where it starts and ends in the text. A schema library is
not used on top: pydantic adds 70 ms to the start of a program that has 250 ms for its help page (measured),
and knows neither line nor column.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field
from typing import Final

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)
from ruamel.yaml.reader import ReaderError

from groundstrap.records import dataclass

__all__ = [
    "DEEPEST",
    "LONGEST_TEXT",
    "MOST_NODES",
    "Entry",
    "MapNode",
    "Node",
    "ScalarNode",
    "SequenceNode",
    "Trouble",
    "parse_tree",
    "scalars_of",
]

LONGEST_TEXT: Final = 1_000_000
"""Bytes that a job file may have."""
DEEPEST: Final = 20
"""Levels of lists and maps that a job file may have."""
MOST_NODES: Final = 50_000
"""Texts, lists and maps that a job file may have."""


@dataclass(slots=True)
class ScalarNode:
    """A text: `start` and `end` count characters of the file, `line` and `column` count from 1."""

    text: str
    start: int
    end: int
    line: int
    column: int
    plain: bool = True

    @property
    def empty(self) -> bool:
        """Whether nothing stands there (quotes with nothing between are something)."""
        return self.plain and not self.text


@dataclass(slots=True)
class Entry:
    """A key of a map and what it holds."""

    key: ScalarNode
    value: Node


@dataclass(slots=True)
class MapNode:
    """A map in the order of the file."""

    start: int
    end: int
    line: int
    column: int
    flow: bool
    entries: list[Entry] = field(default_factory=list)


@dataclass(slots=True)
class SequenceNode:
    """A list."""

    start: int
    end: int
    line: int
    column: int
    flow: bool
    items: list[Node] = field(default_factory=list)


Node = ScalarNode | MapNode | SequenceNode


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something that is wrong with the text itself, before any key has a meaning."""

    line: int
    column: int
    found: str
    reason: str
    wanted: str
    nearest: str | None = None
    index: int = 0


class _StopReading(Exception):
    """The rest of the text can't be read."""


class _Composer:
    """Turns events into nodes and collects what a job file may not have: anchors, tags, doubled keys."""

    def __init__(self, events: Iterator[Event], shift: int) -> None:
        self.events = events
        self.shift = shift
        self.troubles: list[Trouble] = []
        self.scalars: list[ScalarNode] = []
        self.nodes = 0

    def trouble(self, mark_line: int, mark_column: int, found: str, reason: str, wanted: str) -> None:
        self.troubles.append(Trouble(mark_line + 1, mark_column + 1, found, reason, wanted))

    def document(self) -> Node | None:
        root: Node | None = None
        for event in self.events:
            if isinstance(event, DocumentStartEvent):
                self._directives(event)
                if root is not None:
                    mark = event.start_mark
                    self.trouble(
                        mark.line, mark.column, "---", "a second document begins", "one job in a file"
                    )
                    raise _StopReading
            elif isinstance(event, ScalarEvent | MappingStartEvent | SequenceStartEvent | AliasEvent):
                root = self.node(event, 1)
            elif isinstance(event, StreamEndEvent):
                break
        return root

    def _directives(self, event: DocumentStartEvent) -> None:
        mark = event.start_mark
        version = event.version
        if version is not None and tuple(version) != (1, 2):
            found = f"%YAML {'.'.join(str(part) for part in version)}"
            self.trouble(mark.line, mark.column, found, "", "YAML 1.2, which needs no line that says so")
        if event.tags:
            self.trouble(mark.line, mark.column, "%TAG", "tags are not read", "a job without tags")

    def node(self, event: Event, depth: int) -> Node:
        self.nodes += 1
        mark = event.start_mark
        if self.nodes > MOST_NODES:
            self.trouble(mark.line, mark.column, "", "the text is too large", f"at most {MOST_NODES} entries")
            raise _StopReading
        if isinstance(event, AliasEvent):
            self.trouble(mark.line, mark.column, f"*{event.anchor}", _REUSE, "the text itself")
            return self._scalar(event, f"*{event.anchor}")
        assert isinstance(event, ScalarEvent | MappingStartEvent | SequenceStartEvent)
        self._decoration(event)
        if isinstance(event, ScalarEvent):
            return self._scalar(event, event.value)
        if depth > DEEPEST:
            self.trouble(mark.line, mark.column, "", "the text is too deep", f"at most {DEEPEST} levels")
            raise _StopReading
        if isinstance(event, MappingStartEvent):
            return self._map(event, depth)
        return self._sequence(event, depth)

    def _decoration(self, event: NodeEvent) -> None:
        mark = event.start_mark
        if event.anchor:
            self.trouble(
                mark.line, mark.column, f"&{event.anchor}", _REUSE, "the text itself, or quotes around it"
            )
        tag = getattr(event, "ctag", None) or getattr(event, "tag", None)
        if tag:
            self.trouble(
                mark.line, mark.column, str(tag), "tags are not read", "the text alone, or quotes around it"
            )

    def _scalar(self, event: Event, text: str) -> ScalarNode:
        mark, end = event.start_mark, event.end_mark
        plain = not getattr(event, "style", None)
        made = ScalarNode(
            text, mark.index + self.shift, end.index + self.shift, mark.line + 1, mark.column + 1, plain
        )
        self.scalars.append(made)
        return made

    def _sequence(self, event: SequenceStartEvent, depth: int) -> SequenceNode:
        mark = event.start_mark
        flow = bool(event.flow_style)
        made = SequenceNode(mark.index + self.shift, 0, mark.line + 1, mark.column + 1, flow)
        for inner in self.events:
            if isinstance(inner, SequenceEndEvent):
                made.end = inner.end_mark.index + self.shift
                break
            made.items.append(self.node(inner, depth + 1))
        return made

    def _map(self, event: MappingStartEvent, depth: int) -> MapNode:
        mark = event.start_mark
        flow = bool(event.flow_style)
        made = MapNode(mark.index + self.shift, 0, mark.line + 1, mark.column + 1, flow)
        seen: dict[str, ScalarNode] = {}
        for inner in self.events:
            if isinstance(inner, MappingEndEvent):
                made.end = inner.end_mark.index + self.shift
                break
            key = self.node(inner, depth + 1)
            value = self.node(next(self.events), depth + 1)
            if isinstance(value, ScalarNode) and value.empty:
                # YAML puts what is not there behind all the blank lines that follow.
                value.start = value.end = key.end
                value.line, value.column = key.line, key.column
            if not isinstance(key, ScalarNode):
                self.troubles.append(
                    Trouble(
                        key.line, key.column, "a list or map", "it stands where a key is wanted", "a name"
                    )
                )
            elif self._may_stand(key, seen):
                seen[key.text] = key
                made.entries.append(Entry(key, value))
        return made

    def _may_stand(self, key: ScalarNode, seen: dict[str, ScalarNode]) -> bool:
        if key.text == "<<" and key.plain:
            self.troubles.append(Trouble(key.line, key.column, "<<", _REUSE, "the entries themselves"))
            return False
        first = seen.get(key.text)
        if first is not None:
            reason = f"it stands on line {first.line} already"
            self.troubles.append(Trouble(key.line, key.column, key.text, reason, "each key once"))
            return False
        return True


_REUSE: Final = "anchors, aliases and merge keys are not read"


@dataclass(frozen=True, slots=True)
class Parsed:
    """What came of a text: its root where it could be read to the end, and what was wrong on the way."""

    root: Node | None
    troubles: tuple[Trouble, ...]
    scalars: tuple[ScalarNode, ...]
    complete: bool


def parse_tree(text: str) -> Parsed:
    """Read a text into nodes; troubles come back in a list, with as much of the rest as could be read."""
    # A byte order mark is no text: it is left out, and what follows keeps its own place.
    shift = 1 if text.startswith("\ufeff") else 0
    yaml = YAML(typ="safe", pure=True)
    composer = _Composer(iter(yaml.parse(text[shift:])), shift)
    root: Node | None = None
    complete = False
    try:
        root = composer.document()
        complete = True
    except _StopReading:
        pass
    except MarkedYAMLError as error:
        composer.troubles.append(_from_parser(error, shift))
    except ReaderError as error:
        composer.troubles.append(_from_reader(error, text, shift))
    except (YAMLError, ValueError, OverflowError, StopIteration) as error:
        composer.troubles.append(Trouble(0, 0, "", _one_line(error), "a YAML text"))
    return Parsed(root, tuple(composer.troubles), tuple(composer.scalars), complete)


def _from_parser(error: MarkedYAMLError, shift: int) -> Trouble:
    mark = error.problem_mark or error.context_mark
    reason = error.problem or "it can't be read as YAML"
    if mark is None:
        return Trouble(0, 0, "", reason, "a YAML text")
    return Trouble(mark.line + 1, mark.column + 1, "", reason, "a YAML text", None, mark.index + shift)


def _from_reader(error: ReaderError, text: str, shift: int) -> Trouble:
    """A character that no YAML text may hold."""
    index = error.position + shift
    line = text.count("\n", 0, index) + 1
    column = index - text.rfind("\n", 0, index)
    found = text[index : index + 1]
    return Trouble(
        line, column, found, "a character that no text may hold", "plain text in UTF-8", None, index
    )


def _one_line(error: BaseException) -> str:
    return " ".join(str(error).split()) or "it can't be read as YAML"


def scalars_of(node: Node) -> Iterator[ScalarNode]:
    """Every text of a tree, keys included, in the order of the file."""
    if isinstance(node, ScalarNode):
        yield node
    elif isinstance(node, SequenceNode):
        for item in node.items:
            yield from scalars_of(item)
    else:
        for entry in node.entries:
            yield entry.key
            yield from scalars_of(entry.value)
