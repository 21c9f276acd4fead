"""Values, entries and list items put into a YAML text or taken out of it, where its nodes stand.

Beside what a splice is about nothing moves: comments, order, quotes and indentation stay as they are.
"""

from __future__ import annotations

import re
from typing import Final

from groundstrap.job.data import Data, plain_data
from groundstrap.job.patches import Patches, empty_value, end_of, is_braced, quoted
from groundstrap.job.tree import Entry, MapNode, Node, ScalarNode, SequenceNode

__all__ = ["PAIRED", "Splices", "entry_text", "flow_text", "scalar_text"]

PAIRED: Final = frozenset({"path", "return", "using", "except", "values"})
"""Lists whose maps of one key stand without braces."""
_ODD: Final = r"[^\x20-\x7e\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd]"
_QUOTED_IN_LINE: Final = re.compile(
    rf"^[&*!|>'\"%@`#,\[\]{{}}?:~]|^-(?:\s|$)|^---|^\.\.\.|:(?:\s|$)|\s#|^$|{_ODD}"
)
_QUOTED_IN_BRACES: Final = re.compile(rf"{_QUOTED_IN_LINE.pattern}|[:#,\[\]{{}}]")


def scalar_text(text: str, *, braced: bool, quote: str = "") -> str:
    """Return a text as it stands in a file, in the quotes that stood there or in those that it needs.

    >>> scalar_text("red, by the door", braced=False), scalar_text("red, by the door", braced=True)
    ('red, by the door', "'red, by the door'")
    """
    if quote == '"':
        return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
    needs = _QUOTED_IN_BRACES if braced else _QUOTED_IN_LINE
    return quoted(text) if quote == "'" or needs.search(text) else text


def flow_text(value: Data, *, braced: bool = True, pairs: bool = False) -> str:
    """Return a value in braces and brackets; with `pairs` maps of one key in a list stand without them.

    >>> flow_text({"path": ["battery", {"fuse": "5 A"}, {"fuse": "", "holder": "tap"}]}, pairs=True)
    '{path: [battery, fuse: 5 A, {fuse, holder: tap}]}'
    """
    if isinstance(value, str):
        return scalar_text(value, braced=braced)
    if isinstance(value, dict):
        return f"{{{', '.join(_entry_text(k, v, pairs=pairs) for k, v in value.items())}}}"
    items = []
    for item in value:
        bare = (
            pairs
            and isinstance(item, dict)
            and len(item) == 1
            and all(isinstance(v, str) for v in item.values())
        )
        text = flow_text(item, pairs=pairs)
        items.append(text[1:-1] if bare and list(item.values()) != [""] else text)  # type: ignore[union-attr]
    return f"[{', '.join(items)}]"


def _entry_text(key: str, value: Data, *, pairs: bool, braced: bool = True) -> str:
    name = scalar_text(key, braced=True)
    if value == "":
        return name if braced else f"{name}:"
    return f"{name}: {flow_text(value, braced=braced, pairs=pairs or key in PAIRED)}"


def entry_text(key: str, value: Data, *, newline: str = "", pairs: bool = False) -> str:
    """Return an entry as it stands in lines; with `newline` maps in it get a line each.

    >>> entry_text("routes", [{"from": "bow", "to": "helm"}], newline="|")
    'routes:|  - {from: bow, to: helm}'
    """
    lines: list[str] = []
    if newline and isinstance(value, dict) and value and all(isinstance(v, dict) for v in value.values()):
        lines = [_entry_text(name, each, pairs=pairs, braced=False) for name, each in value.items()]
    elif newline and isinstance(value, list) and value and all(isinstance(v, dict) for v in value):
        lines = [f"- {flow_text(each)}" for each in value]
    if lines:
        return newline.join((f"{scalar_text(key, braced=True)}:", *(f"  {line}" for line in lines)))
    return _entry_text(key, value, pairs=pairs, braced=False)


class Splices(Patches):
    """Changes of one text by its nodes."""

    def _first_on_line(self, index: int) -> bool:
        start = self.text.rfind("\n", 0, index) + 1
        return not self.text[start:index].strip(" \ufeff")

    def _line_start(self, index: int) -> int:
        start = self.text.rfind("\n", 0, index) + 1
        return start + 1 if self.text.startswith("\ufeff", start) else start

    def end(self, node: Node) -> int:
        """Return where a node's own text ends."""
        if isinstance(node, ScalarNode):
            end = node.end
            # A block of text is given the blank lines and comments behind it.
            return (
                len(self.text[:end].rstrip()) if self.text[node.start : node.start + 1] in {"|", ">"} else end
            )
        if is_braced(self.text, node):
            return node.end
        if isinstance(node, SequenceNode):
            return self.end(node.items[-1]) if node.items else end_of(self.text, node)
        return self.entry_end(node.entries[-1]) if node.entries else node.start

    def entry_end(self, entry: Entry) -> int:
        """Return where an entry of a map ends, be its value empty or not."""
        if isinstance(entry.value, ScalarNode) and entry.value.empty:
            return max(entry.key.end, empty_value(self.text, entry.key).at)
        return max(entry.key.end, self.end(entry.value))

    # --- values -------------------------------------------------------------------------------------------

    def value(self, entry: Entry, new: Data, *, braced: bool, pairs: bool) -> None:
        """Put another value behind a key."""
        node = entry.value
        if isinstance(node, ScalarNode) and node.empty:
            place = empty_value(self.text, entry.key)
            text = flow_text(new, braced=braced, pairs=pairs)
            self.insert(place.at, f" {text}" if place.has_colon else f": {text}")
            return
        between = self.text[entry.key.end : node.start]
        if not braced and not isinstance(node, ScalarNode) and "\n" in between and "#" not in between:
            colon = entry.key.end + between.index(":") + 1
            self.replace(colon, self.end(node), f" {flow_text(new, braced=False, pairs=pairs)}")
            return
        self.node(node, new, braced=braced, pairs=pairs)

    def node(self, node: Node, new: Data, *, braced: bool, pairs: bool) -> None:
        """Put another value in the place of a node, in the quotes that stood there."""
        quote = ""
        if isinstance(node, ScalarNode) and not node.plain:
            quote = self.text[node.start : node.start + 1]
        if isinstance(new, str):
            text = scalar_text(new, braced=braced, quote=quote if quote in {"'", '"'} else "")
        else:
            text = flow_text(new, braced=braced, pairs=pairs)
        self.replace(node.start, self.end(node), text)

    def wrap(self, node: Node, more: Data, *, first: bool, pairs: bool) -> None:
        """Make a list of one value and another."""
        text = flow_text(more, pairs=pairs)
        if isinstance(node, ScalarNode):
            one = scalar_text(node.text, braced=True) if node.plain else self.text[node.start : node.end]
            self.replace(node.start, node.end, f"[{text}, {one}]" if first else f"[{one}, {text}]")
        elif is_braced(self.text, node):
            self.insert(node.start, f"[{text}, " if first else "[")
            self.insert(node.end, "]" if first else f", {text}]")
        else:
            old = plain_data(node)
            self.node(node, [more, old] if first else [old, more], braced=False, pairs=pairs)

    # --- entries ------------------------------------------------------------------------------------------

    def add_entry(self, node: MapNode, at: int, key: str, value: Data, *, pairs: bool) -> None:
        """Put an entry into a map, before the entry of that number or last."""
        if not node.flow:
            lines = self.newline if node.column == 1 else ""
            text = entry_text(key, value, newline=lines, pairs=pairs)
            starts = [entry.key.start for entry in node.entries]
            self._add_line(node.start, starts, [self.entry_end(entry) for entry in node.entries], at, text)
            return
        text = _entry_text(key, value, pairs=pairs)
        if not is_braced(self.text, node):
            # The one pair of a list, `wire: 6 mm2`.
            old = self.text[node.start : self.end(node)]
            self.replace(node.start, self.end(node), f"{{{old}, {text}}}" if at else f"{{{text}, {old}}}")
        elif not node.entries:
            self.insert(node.start + 1, text)
        elif at < len(node.entries):
            self.insert(node.entries[at].key.start, f"{text}, ")
        else:
            self.insert(self.entry_end(node.entries[-1]), f", {text}")

    def add_item(self, node: SequenceNode, at: int, value: Data, *, pairs: bool) -> None:
        """Put an item into a list, before the item of that number or last."""
        one = flow_text([value], pairs=pairs)[1:-1]
        if is_braced(self.text, node):
            if not node.items:
                self.insert(node.start + 1, one)
            elif at < len(node.items):
                self.insert(node.items[at].start, f"{one}, ")
            else:
                self.insert(self.end(node.items[-1]), f", {one}")
            return
        dashes = [self.text.rfind("-", 0, item.start) for item in node.items]
        if isinstance(value, str):
            one = scalar_text(value, braced=False)
        self._add_line(dashes[0], dashes, [self.end(item) for item in node.items], at, f"- {one}")

    def _add_line(self, column_at: int, starts: list[int], ends: list[int], at: int, text: str) -> None:
        indent = " " * (column_at - self._line_start(column_at))
        if at == 0 and starts:
            self.insert(starts[0], f"{text}{self.newline}{indent}")
            return
        self.insert(self._line_end(ends[min(at, len(ends)) - 1]), f"{self.newline}{indent}{text}")

    def remove_entry(self, node: MapNode, at: int) -> None:
        """Take an entry out of a map that has others."""
        entry = node.entries[at]
        spans = [(each.key.start, self.entry_end(each)) for each in node.entries]
        if node.flow:
            self._remove_from_braces(spans, at)
        else:
            self._remove_lines(entry.key.start, self.entry_end(entry), following=at + 1 < len(spans))

    def remove_item(self, node: SequenceNode, at: int) -> None:
        """Take an item out of a list."""
        item = node.items[at]
        if is_braced(self.text, node):
            self._remove_from_braces([(each.start, self.end(each)) for each in node.items], at)
            return
        dash = self.text.rfind("-", 0, item.start)
        self._remove_lines(dash, self.end(item), following=at + 1 < len(node.items))

    def _remove_from_braces(self, spans: list[tuple[int, int]], at: int) -> None:
        start, end = spans[at]
        if at + 1 < len(spans):
            gap = self.text[end : spans[at + 1][0]]
            if "#" not in gap:
                self.replace(start, spans[at + 1][0], "")
                return
            # A comment stands between the two: only what was written and its comma go.
            self.replace(start, end + gap.index(",") + 1, "")
        elif at:
            gap = self.text[spans[at - 1][1] : start]
            if "#" not in gap:
                self.replace(spans[at - 1][1], end, "")
                return
            comma = spans[at - 1][1] + gap.index(",")
            self.replace(comma, comma + 1, "")
            self.replace(start, end, "")
        else:
            self.replace(start, end, "")

    def _remove_lines(self, start: int, end: int, *, following: bool) -> None:
        """Take whole lines out; what begins behind a dash leaves the dash to the entry that follows."""
        line_end = self._line_end(end)
        if self._first_on_line(start):
            line_start = self._line_start(start)
            if line_start > 0 and self.text[line_start - 1] == "\n":
                before = line_start - (2 if self.text[line_start - 2 : line_start] == "\r\n" else 1)
                self.replace(before, line_end, "")
            else:
                self.replace(line_start, min(line_end + len(self.newline), len(self.text)), "")
            return
        after = re.compile(r"(?:\r?\n[ \t]*)+").match(self.text, line_end)
        self.replace(start, after.end() if following and after is not None else line_end, "")

    # --- moving -------------------------------------------------------------------------------------------

    def moved(self, parent: MapNode | SequenceNode, here: int, there: int) -> str:
        """Return the text with one entry or item before another; what stands between them stays there."""
        spans = self._spans(parent)
        texts = [self.text[start:end] for start, end in spans]
        texts.insert(there - 1 if there > here else there, texts.pop(here))
        for (start, end), text in zip(spans, texts, strict=True):
            self.replace(start, end, text)
        return self.applied()

    def _spans(self, parent: MapNode | SequenceNode) -> list[tuple[int, int]]:
        """Return where each entry or item stands; in lines with its comments, those right above it too."""
        if isinstance(parent, MapNode):
            spans = [(entry.key.start, self.entry_end(entry)) for entry in parent.entries]
        else:
            spans = [(item.start, self.end(item)) for item in parent.items]
        if parent.flow:
            return spans
        if isinstance(parent, SequenceNode):
            spans = [(self.text.rfind("-", 0, start), end) for start, end in spans]
        return [(self._with_comments_above(start), self._line_end(end)) for start, end in spans]

    def _with_comments_above(self, start: int) -> int:
        """Return where the comments begin that stand right above an entry, as far in as it."""
        if not self._first_on_line(start):
            return start
        line_start = self._line_start(start)
        indent = self.text[line_start:start]
        while line_start > 0:
            above = self._line_start(line_start - 1)
            if not self.text.startswith(f"{indent}#", above):
                break
            line_start = above
        return line_start + len(indent)
