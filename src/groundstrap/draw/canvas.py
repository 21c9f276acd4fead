"""What a drawing is made on: lines, areas and texts that are kept beside the SVG, so that a test can measure.

Lengths are points of print, x to the right and y down. A text is reckoned as wide as it is in the widest
letter that is usual, so that two texts that are apart here are apart everywhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import field
from functools import lru_cache
from html import escape
from typing import Final

from groundstrap.records import dataclass
from groundstrap.report.drawing import Box, Point, text_width, wrapped

__all__ = ["BOLD", "Canvas", "Drawn", "Group", "Stroke", "Written", "wide", "wrap"]

BOLD: Final = 1.2
"""How much wider than a plain text a bold one is at most."""
ASCENT: Final = 0.80
DESCENT: Final = 0.24
"""Of a text over and under its baseline, as shares of its size."""
_MM_PER_PT: Final = 25.4 / 72.0
_CORNERS: Final = ((1.0, 0.0), (0.7071, 0.7071), (0.0, 1.0), (-0.7071, 0.7071))
"""Of a circle where it is measured: an octagon about its middle, half of it."""


@dataclass(frozen=True, slots=True)
class Written:
    """A text and the room that it takes."""

    text: str
    box: Box
    size: float


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line of straight pieces, or the outline of an area."""

    points: tuple[Point, ...]
    width: float


@dataclass(frozen=True, slots=True)
class Group:
    """What belongs to one thing of the job: a page finds it by its id, or by its kind and name."""

    kind: str
    """`wire`, `part`, `load`, `supply`, `input`, `tie`, `node`, `slot`, `joined`, `place` or `route`."""
    name: str
    id: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A drawing: its SVG, and where everything lies on it."""

    key: str
    """What its groups' ids begin with, and what its file is called: `wiring-1`."""
    title: str
    words: str
    """What is to be seen, for whoever does not see it."""
    svg: str
    width_pt: float
    height_pt: float
    texts: tuple[Written, ...]
    strokes: tuple[Stroke, ...]
    groups: tuple[Group, ...]
    """Things and cables of the job that are drawn on it, once for each time."""


def wide(text: str, size: float, *, bold: bool = False) -> float:
    """Return how wide a text is at most.

    >>> round(wide("-F3", 10), 1), round(wide("-F3", 10, bold=True), 1)
    (15.7, 18.9)
    """
    return _width(text) * size * (BOLD if bold else 1.0)


@lru_cache(maxsize=8192)
def _width(text: str) -> float:
    """Width of a text of size 1."""
    return text_width(text, 1.0)


def wrap(text: str, size: float, most: float, *, bold: bool = False) -> list[str]:
    """Return a text in lines that are no wider than `most`; a long word is broken at a hyphen first.

    >>> wrap("navigation lights", 8, 50), wrap("terminal-mounted", 8, 50)
    (['navigation', 'lights'], ['terminal-', 'mounted'])
    """
    if wide(text, size, bold=bold) <= most and "  " not in text:
        return [text] if text else []
    size = size * (BOLD if bold else 1.0)
    words = [piece for word in text.split(" ") for piece in _pieces(word, size, most)]
    return wrapped(" ".join(words), size, most)


def _pieces(word: str, size: float, most: float) -> list[str]:
    """A word that is too long, cut behind its hyphens."""
    if text_width(word, size) <= most or "-" not in word[1:-1]:
        return [word]
    return [piece for piece in re.split(r"(?<=\w-)", word) if piece]


@dataclass(slots=True)
class Canvas:
    """A page that is drawn on from the back to the front."""

    key: str
    width: float
    screen: bool = False
    """Whether a point is a dot of a screen, and not one of print."""
    texts: list[Written] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    groups: list[Group] = field(default_factory=list)
    _parts: list[str] = field(default_factory=list)
    _ids: set[str] = field(default_factory=set)

    @contextmanager
    def group(self, kind: str, name: str) -> Iterator[None]:
        """Draw what follows as one thing of the job, which a page can find by its kind and name."""
        stem = re.sub(r"[^a-z0-9]+", "-", f"{self.key}-{kind}-{name}".lower()).strip("-")
        made, number = stem, 2
        while made in self._ids:
            made, number = f"{stem}-{number}", number + 1
        self._ids.add(made)
        self.groups.append(Group(kind, name, made))
        self._parts.append(f'<g id="{made}" data-kind="{kind}" data-name={_quoted(_printable(name))}>')
        yield
        self._parts.append("</g>")

    def line(self, points: Sequence[Point], width: float = 0.8, dashes: str = "") -> None:
        """Draw a line of straight pieces."""
        self.strokes.append(Stroke(tuple(points), width))
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        shape = " ".join(f"{_figure(x)},{_figure(y)}" for x, y in points)
        self._parts.append(
            f'<polyline points="{shape}" fill="none" stroke="#000" stroke-width="{_figure(width)}"'
            f' stroke-linejoin="round"{dashed}/>'
        )

    def area(self, points: Sequence[Point], *, fill: str = "#000") -> None:
        """Fill an area."""
        self.strokes.append(Stroke((*points, points[0]), 0.0))
        shape = " ".join(f"{_figure(x)},{_figure(y)}" for x, y in points)
        self._parts.append(f'<polygon points="{shape}" fill="{fill}"/>')

    def rectangle(self, box: Box, *, width: float = 0.8, fill: str = "none", dashes: str = "") -> None:
        """Draw a rectangle."""
        corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
        self.strokes.append(Stroke((*corners, corners[0]), width))
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        self._parts.append(
            f'<rect x="{_figure(box.left)}" y="{_figure(box.top)}" width="{_figure(box.right - box.left)}"'
            f' height="{_figure(box.bottom - box.top)}" fill="{fill}" stroke="#000"'
            f' stroke-width="{_figure(width)}"{dashed}/>'
        )

    def circle(self, x: float, y: float, radius: float, *, width: float = 0.8, fill: str = "none") -> None:
        """Draw a circle, filled or not."""
        half = [(x + radius * u, y + radius * v) for u, v in _CORNERS]
        rest = [(2 * x - u, 2 * y - v) for u, v in half]
        self.strokes.append(Stroke((*half, *rest, half[0]), width))
        self._parts.append(
            f'<circle cx="{_figure(x)}" cy="{_figure(y)}" r="{_figure(radius)}" fill="{fill}" stroke="#000"'
            f' stroke-width="{_figure(width)}"/>'
        )

    def text(
        self, text: str, x: float, y: float, size: float, *, anchor: str = "start", bold: bool = False
    ) -> None:
        """Write a text whose baseline begins, ends or has its middle at a point."""
        width = wide(text, size, bold=bold)
        left = x - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
        box = Box(left, y - ASCENT * size, left + width, y + DESCENT * size)
        self.texts.append(Written(text, box, size))
        weight = ' font-weight="bold"' if bold else ""
        at = f'x="{_figure(x)}" y="{_figure(y)}" font-size="{_figure(size)}" text-anchor="{anchor}"'
        self._parts.append(f"<text {at}{weight}>{escape(_printable(text), quote=False)}</text>")

    def drawn(self, title: str, words: str, height: float) -> Drawn:
        """Return the finished drawing."""
        return Drawn(
            key=self.key,
            title=title,
            words=words,
            svg=self._svg(title, words, height),
            width_pt=self.width,
            height_pt=height,
            texts=tuple(self.texts),
            strokes=tuple(self.strokes),
            groups=tuple(self.groups),
        )

    def _svg(self, title: str, words: str, height: float) -> str:
        across, down = _figure(self.width), _figure(height)
        size = f'width="{_figure(self.width * _MM_PER_PT)}mm" height="{_figure(height * _MM_PER_PT)}mm"'
        if self.screen:
            size = f'width="{across}" height="{down}"'
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 {across} {down}" role="img"'
            f' aria-label={_quoted(_printable(title))} font-family="sans-serif" fill="#000">'
        )
        about = (
            f"<title>{escape(_printable(title), quote=False)}</title>",
            f"<desc>{escape(_printable(words), quote=False)}</desc>",
        )
        paper = f'<rect x="0" y="0" width="{across}" height="{down}" fill="#fff"/>'
        return "\n".join([head, *about, paper, *self._parts, "</svg>"]) + "\n"


def _figure(value: float) -> str:
    """A number to the hundredth, without idle zeros."""
    rounded = round(value, 2)
    whole = int(rounded)
    return str(whole) if whole == rounded else str(rounded)


def _printable(text: str) -> str:
    """A text without what no XML may hold."""
    return text if text.isprintable() else "".join(char if char.isprintable() else " " for char in text)


def _quoted(text: str) -> str:
    """A text as the value of an attribute."""
    return f'"{escape(text)}"'
