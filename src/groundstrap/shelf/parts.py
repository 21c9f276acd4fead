"""A job's text cut into the entries of its maps and lists, each with the comments that belong to it.

Put together again in the same order, the parts are the text as it was. A comment belongs to the entry below
it where it has a line of its own, and to the entry before it where it ends a line.
"""

from __future__ import annotations

from typing import Final, Literal

from groundstrap.job.patches import empty_value, end_of, is_braced
from groundstrap.job.tree import MapNode, Node, ScalarNode, SequenceNode
from groundstrap.records import dataclass

__all__ = [
    "Container",
    "Layout",
    "Part",
    "Value",
    "container",
    "extent",
    "last_column",
    "shifted",
    "value_of",
]

Layout = Literal["lines", "braces", "bare"]
"""Entries on lines of their own, between braces or brackets, or one in a list without braces of its own."""
Value = object
"""What a node says, comments, quotes and order of keys aside: equal where two nodes mean the same."""

_EMPTY: Final = ("empty",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """An entry of a map or an item of a list, as it stands.

    `head` is what stands before it (comments, blank lines), `lead` key, colon and what follows up to the
    value (of an item its dash), `tail` what follows the value on its line.
    """

    key: str
    head: str
    lead: str
    node: Node
    raw: str
    tail: str
    value: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Container:
    """A map or list of a text: its parts, the column it starts in, and what stands at its two ends."""

    text: str
    mapping: bool
    layout: Layout
    column: int
    opening: str
    closing: str
    parts: tuple[Part, ...]

    @property
    def style(self) -> tuple[bool, Layout]:
        """What two have in common that can be merged part by part."""
        return self.mapping, self.layout


def value_of(node: Node | None) -> Value:
    """Return what a node says."""
    if node is None:
        return None
    if isinstance(node, ScalarNode):
        return _EMPTY if node.empty else node.text
    if isinstance(node, SequenceNode):
        return ("list", *(value_of(item) for item in node.items))
    return ("map", *sorted(((e.key.text, value_of(e.value)) for e in node.entries), key=lambda pair: pair[0]))


def container(text: str, node: Node) -> Container | None:
    """Return a map or list cut into its parts; nothing for a text."""
    if isinstance(node, ScalarNode):
        return None
    layout = _layout(text, node)
    cuts = _braced_cuts(text, node) if layout == "braces" else _block_cuts(text, node, layout)
    return Container(
        text=text,
        mapping=isinstance(node, MapNode),
        layout=layout,
        column=node.start - (text.rfind("\n", 0, node.start) + 1),
        opening=cuts.opening,
        closing=cuts.closing,
        parts=tuple(cuts.parts),
    )


def _layout(text: str, node: MapNode | SequenceNode) -> Layout:
    if is_braced(text, node):
        return "braces"
    return "bare" if node.flow else "lines"


@dataclass(slots=True)
class _Cuts:
    opening: str
    closing: str
    parts: list[Part]


@dataclass(frozen=True, slots=True)
class _Span:
    """Where a member stands: its beginning with key or dash, and its value."""

    key: str
    node: Node
    begin: int
    start: int
    end: int


def _spans(text: str, node: MapNode | SequenceNode) -> list[_Span]:
    found = []
    if isinstance(node, MapNode):
        for entry in node.entries:
            start, end = entry.value.start, extent(text, entry.value)
            if isinstance(entry.value, ScalarNode) and entry.value.empty:
                start = end = empty_value(text, entry.key).at
            found.append(_Span(entry.key.text, entry.value, entry.key.start, start, end))
        return found
    at = node.start
    for item in node.items:
        begin = item.start
        if not is_braced(text, node):
            # The dash of an item is the last one before it; that of the first begins the list.
            begin = text.rfind("-", at, item.start) if item.start > at else item.start
        end = extent(text, item)
        found.append(_Span("", item, begin, item.start, end))
        at = end
    return found


def extent(text: str, node: Node) -> int:
    """Return where a value ends; what stands in lines of its own reaches to the end of its last line."""
    end = end_of(text, node)
    if isinstance(node, ScalarNode):
        # A text of several lines also has the line end that closes it.
        return node.start + len(text[node.start : end].rstrip())
    if _layout(text, node) != "lines":
        return end
    spans = _spans(text, node)
    return _line_end(text, spans[-1].end) if spans else end


def _line_end(text: str, index: int) -> int:
    end = text.find("\n", index)
    return len(text) if end < 0 else end


def _block_cuts(text: str, node: MapNode | SequenceNode, layout: Layout) -> _Cuts:
    parts: list[Part] = []
    at: int | None = None
    for span in _spans(text, node):
        line_end = _line_end(text, span.end) if layout == "lines" else span.end
        head = "" if at is None else text[at : text.rfind("\n", at, span.begin) + 1]
        parts.append(_part(text, span, head=head, tail=text[span.end : line_end]))
        at = line_end
    return _Cuts("", "", parts)


def _braced_cuts(text: str, node: MapNode | SequenceNode) -> _Cuts:
    parts: list[Part] = []
    spans = _spans(text, node)
    head_at = node.start + 1
    for number, span in enumerate(spans):
        last = number == len(spans) - 1
        until = node.end - 1 if last else spans[number + 1].begin
        comma = _comma(text, span.end, until)
        tail = "" if last else text[span.end : comma]
        parts.append(_part(text, span, head=text[head_at : span.begin], tail=tail))
        head_at = comma + 1
    rest = text[spans[-1].end : node.end - 1] if spans else text[node.start + 1 : node.end - 1]
    return _Cuts(text[node.start], rest + text[node.end - 1], parts)


def _comma(text: str, start: int, end: int) -> int:
    """Where the comma between two members stands, comments left aside; the end where there is none."""
    at = start
    while at < end:
        if text[at] == ",":
            return at
        at = _line_end(text, at) if text[at] == "#" else at + 1
    return end


def _part(text: str, span: _Span, *, head: str, tail: str) -> Part:
    return Part(
        key=span.key,
        head=head,
        lead=text[span.begin : span.start],
        node=span.node,
        raw=text[span.start : span.end],
        tail=tail,
        value=value_of(span.node),
    )


def last_column(lead: str, column: int) -> int:
    r"""Return the column in which a value stands whose part begins in a column.

    >>> last_column("loads:\n  ", 0), last_column("- ", 4)
    (2, 6)
    """
    line = lead.rfind("\n")
    return column + len(lead) if line < 0 else len(lead) - line - 1


def shifted(text: str, by: int) -> str:
    r"""Return a text whose lines after the first are moved to the right, or to the left as far as they can.

    >>> shifted("a:\n  b: 1", 2)
    'a:\n    b: 1'
    """
    if by == 0 or "\n" not in text:
        return text
    first, *lines = text.split("\n")
    moved = [
        _moved(line, by) if line.strip() or number == len(lines) - 1 else line
        for number, line in enumerate(lines)
    ]
    return "\n".join([first, *moved])


def _moved(line: str, by: int) -> str:
    if by > 0:
        return " " * by + line
    spaces = len(line) - len(line.lstrip(" "))
    return line[min(spaces, -by) :]
