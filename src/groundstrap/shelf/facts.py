"""What the list shows of a job's text and what a search looks at, as far as one with faults can be read."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from functools import lru_cache
from typing import Final

from groundstrap.job.tree import MapNode, Node, ScalarNode, parse_tree, scalars_of
from groundstrap.records import dataclass

__all__ = ["Facts", "facts_of", "folded"]

_LONGEST: Final = 200
_TITLE_LINE: Final = re.compile(r"^\ufeff?title[ \t]*:[ \t]*(.+?)[ \t]*\r?$", re.MULTILINE)
_SECTION: Final = re.compile(r"^(?=[^\s#])", re.MULTILINE)
_LONGEST_KEPT: Final = 20_000
_COMMENT: Final = re.compile(r"(?:^|\s)#(.*)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Title and vehicle of a job, empty where the text has none, and its words for a search."""

    title: str
    vehicle: str
    words: str


def facts_of(text: str) -> Facts:
    r"""Return what the list shows of a text, and its words: values, names that somebody gave, comments.

    >>> facts_of("title: Bed light\nabout: {vehicle: Two-door pickup}  # Ada's\n")
    Facts(title='Bed light', vehicle='Two-door pickup', words="bed light\ntwo-door pickup\nada's")
    >>> facts_of("title: Bed light\nloads: {light: [").title
    'Bed light'
    """
    pieces = [_kept(piece) if len(piece) <= _LONGEST_KEPT else _read(piece) for piece in _sections(text)]
    if not all(piece.sound for piece in pieces):
        # What goes over the border of two sections is read as a whole.
        pieces = [_read(text)]
    title = next((piece.title for piece in pieces if piece.title), "")
    if not title:
        found = _TITLE_LINE.search(text)
        title = found.group(1).strip("'\"") if found is not None else ""
    vehicle = next((piece.vehicle for piece in pieces if piece.vehicle), "")
    sound = all(piece.sound for piece in pieces)
    words = "\n".join(word for piece in pieces for word in piece.words) if sound else text
    return Facts(title=_line(title), vehicle=_line(vehicle), words=folded(words))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    """What a part of a text says; not sound where it can't be read by itself."""

    title: str
    vehicle: str
    words: tuple[str, ...]
    sound: bool


def _sections(text: str) -> Iterator[str]:
    """The text cut before each line that begins with a key: a save mostly changes one of them."""
    at = 0
    for found in _SECTION.finditer(text, 1):
        yield text[at : found.start()]
        at = found.start()
    yield text[at:]


def _read(text: str) -> _Piece:
    parsed = parse_tree(text)
    root = parsed.root
    sound = parsed.complete and (isinstance(root, MapNode) or root is None)
    words: tuple[str, ...] = ()
    if sound:
        words = (*_words(root), *_comments(text, root)) if isinstance(root, MapNode) else ()
        words = words or tuple(found.strip() for found in _COMMENT.findall(text))
    return _Piece(
        title=_text_at(root, "title"), vehicle=_text_at(root, "about", "vehicle"), words=words, sound=sound
    )


_kept = lru_cache(maxsize=512)(_read)


def folded(text: str) -> str:
    """Return a text without what a search does not care for: capitals, and ways to write one letter.

    >>> folded("10 mm² Straße")
    '10 mm2 strasse'
    """
    return unicodedata.normalize("NFKC", text).casefold()


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


def _words(root: MapNode) -> Iterator[str]:
    """Every value, and the names of what the sections hold; keys of the format are in every job."""
    for section in root.entries:
        if not isinstance(section.value, MapNode):
            yield from _values(section.value)
            continue
        for entry in section.value.entries:
            if section.key.text != "about":
                yield entry.key.text
            yield from _values(entry.value)


def _values(node: Node) -> Iterator[str]:
    if isinstance(node, ScalarNode):
        yield node.text
    elif isinstance(node, MapNode):
        for entry in node.entries:
            yield from _values(entry.value)
    else:
        for item in node.items:
            yield from _values(item)


def _comments(text: str, root: MapNode) -> Iterator[str]:
    """What people wrote beside the values."""
    at = 0
    for scalar in scalars_of(root):
        if scalar.start > at:
            yield from (found.strip() for found in _COMMENT.findall(text[at : scalar.start]))
        at = max(at, scalar.end)
    yield from (found.strip() for found in _COMMENT.findall(text[at:]))
