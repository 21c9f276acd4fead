"""What the list shows of a job's text, as far as a text that may still have faults can be read."""

from __future__ import annotations

import re
from typing import Final

from groundstrap.job.tree import MapNode, Node, ScalarNode, parse_tree
from groundstrap.records import dataclass

__all__ = ["Facts", "facts_of"]

_LONGEST: Final = 200
_TITLE_LINE: Final = re.compile(r"^\ufeff?title[ \t]*:[ \t]*(.+?)[ \t]*\r?$", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Title and vehicle of a job, empty where the text has none."""

    title: str
    vehicle: str


def facts_of(text: str) -> Facts:
    r"""Return what the list shows of a text.

    >>> facts_of("title: Bed light\nabout: {vehicle: two-door pickup}\n")
    Facts(title='Bed light', vehicle='two-door pickup')
    >>> facts_of("title: Bed light\nloads: {light: [")
    Facts(title='Bed light', vehicle='')
    """
    root = parse_tree(text).root
    title = _text_at(root, "title")
    if not title:
        found = _TITLE_LINE.search(text)
        title = found.group(1).strip("'\"") if found is not None else ""
    return Facts(title=_line(title), vehicle=_line(_text_at(root, "about", "vehicle")))


def _text_at(node: Node | None, *keys: str) -> str:
    for key in keys:
        if not isinstance(node, MapNode):
            return ""
        node = next((entry.value for entry in node.entries if entry.key.text == key), None)
    return node.text if isinstance(node, ScalarNode) else ""


def _line(text: str) -> str:
    """One line that a list can show."""
    line = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return line if len(line) <= _LONGEST else line[: _LONGEST - 1] + "…"
