"""Lines, areas and texts on a sheet of SVG: the same bytes for the same drawing, in black and white legible.

Widths of texts are those of a wide sans-serif letter, so that a text is only shorter elsewhere.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import field
from functools import cache
from html import escape
from itertools import pairwise
from typing import Final

from groundstrap.records import dataclass
from groundstrap.report.layout import held_units
from groundstrap.report.signs import HELD

__all__ = ["Box", "Sheet", "clipped_area", "clipped_lines", "text_box", "text_width", "wrapped"]

Point = tuple[float, float]

# Measured on the widest sans-serif letter that is in common use; thousandths of the height.
_WIDTHS: Final = (
    (275, "'"), (278, "ijlìíîï"), (295, "IJÌÍÎÏ"), (318, " ,.\xa0·‘’"), (337, "/:;\\|¦"), (352, "f"),
    (361, "-\xad"), (390, "()[]"), (392, "t"), (401, "!¡²³¹"), (411, "r"), (460, '"'), (471, "ªº"),
    (500, "*_`§¨¯°´¸–"), (518, "“”"), (521, "s"), (525, "z"), (531, "?¿"), (550, "cç"), (557, "L"),
    (575, "F"), (579, "k"), (592, "vxyýÿ"), (603, "P"), (605, "Þ"), (611, "TYÝ"), (612, "o«»ðòóôõöø"),
    (613, "aàáâãäå"), (615, "eèéêë"), (630, "ß"), (632, "EÈÉÊË"), (634, "hnuñùúûü"), (635, "Sbdgpqþ"),
    (636, "$0123456789{}¢£¤¥µ¶μ"), (656, "K"), (684, "AVÀÁÂÃÄÅΔ"), (685, "XZ"), (686, "B"), (695, "R"),
    (698, "CÇ"), (732, "UÙÚÛÜ"), (748, "NÑ"), (752, "H"), (764, "Ω"), (770, "D"), (775, "GÐ"), (780, "&"),
    (787, "OQÒÓÔÕÖØ"), (818, "w"), (838, "#+<=>^~¬±×÷≤≥"), (863, "M"), (950, "%"), (969, "¼½¾"),
    (974, "mÆ"), (982, "æ"), (989, "W"), (1000, "@©®—…"),
)  # fmt: skip
_OTHER: Final = 1100
_PICTOGRAPH: Final = 1400
_ASCENT: Final = 0.80
_DESCENT: Final = 0.24
"""Of a text over and under its baseline, as shares of its size."""


@cache
def _table() -> dict[str, int]:
    return {char: width for width, chars in _WIDTHS for char in chars}


def text_width(text: str, size: float) -> float:
    """Return how wide a text is at most.

    >>> round(text_width("15 A", 10), 2)
    22.74
    """
    return sum(_table().get(char) or _other(char) for char in text) * size / 1000


@cache
def _other(char: str) -> int:
    """A letter that is not in the table: wide, unless it stands on the one before it."""
    category = unicodedata.category(char)
    if category in {"Mn", "Me", "Cf"}:
        return 0
    return _PICTOGRAPH if category in {"So", "Cs", "Co"} else _OTHER


def wrapped(text: str, size: float, most: float) -> list[str]:
    """Return a text in lines that are no wider than `most`; a word that is wider itself is broken.

    >>> wrapped("a short at the far end", 10, 60)
    ['a short at', 'the far end']
    """
    lines, line = [], ""
    for held in held_units(text).split(" "):
        word = held.replace(HELD, " ")
        tried = f"{line} {word}" if line else word
        if text_width(tried, size) <= most:
            line = tried
            continue
        if line:
            lines.append(line)
        line = word
        while text_width(line, size) > most and len(line) > 1:
            cut = _fitting(line, size, most)
            lines.append(line[:cut])
            line = line[cut:]
    return [*lines, line] if line else lines


def _fitting(word: str, size: float, most: float) -> int:
    """How many letters of a word fit, at least one."""
    for count in range(1, len(word) + 1):
        if text_width(word[:count], size) > most:
            return max(1, count - 1)
    return len(word)


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the sheet, x to the right and y down."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Whether two rectangles have some area in common."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def crossed_by(self, a: Point, b: Point) -> bool:
        """Whether a straight line from one point to another goes through it."""
        return _clipped(a, b, self) is not None

    def grown(self, by: float) -> Box:
        """Return it with a rim about it."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)


def text_box(text: str, x: float, y: float, size: float, anchor: str = "start") -> Box:
    """Return the room that a text takes whose baseline begins, ends or has its middle at a point."""
    width = text_width(text, size)
    left = x - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
    return Box(left, y - _ASCENT * size, left + width, y + _DESCENT * size)


def _clipped(a: Point, b: Point, box: Box) -> tuple[Point, Point] | None:
    """The part of a straight line that lies in a rectangle."""
    first, last = 0.0, 1.0
    dx, dy = b[0] - a[0], b[1] - a[1]
    edges = ((-dx, a[0] - box.left), (dx, box.right - a[0]), (-dy, a[1] - box.top), (dy, box.bottom - a[1]))
    for slope, room in edges:
        if slope == 0.0:
            if room < 0.0:
                return None
        elif slope < 0.0:
            first = max(first, room / slope)
        else:
            last = min(last, room / slope)
    if first > last:
        return None
    start = a if first == 0.0 else (a[0] + first * dx, a[1] + first * dy)
    return start, b if last == 1.0 else (a[0] + last * dx, a[1] + last * dy)


def clipped_lines(points: Sequence[Point], box: Box) -> list[list[Point]]:
    """Return the pieces of a line of many points that lie in a rectangle.

    >>> clipped_lines([(0, 5), (20, 5)], Box(5, 0, 10, 10))
    [[(5.0, 5.0), (10.0, 5.0)]]
    """
    pieces: list[list[Point]] = []
    for a, b in pairwise(points):
        part = _clipped(a, b, box)
        if part is None:
            continue
        if pieces and pieces[-1][-1] == part[0]:
            pieces[-1].append(part[1])
        else:
            pieces.append(list(part))
    return pieces


def clipped_area(points: Sequence[Point], box: Box) -> list[Point]:
    """Return the part of an area that lies in a rectangle, cut at one side after the other.

    >>> clipped_area([(0, 0), (20, 0), (20, 20), (0, 20)], Box(5, 5, 10, 10))
    [(5.0, 10.0), (5.0, 5.0), (10.0, 5.0), (10.0, 10.0)]
    """
    found: list[Point] = list(points)
    for axis, limit, sign in ((0, box.left, 1), (0, box.right, -1), (1, box.top, 1), (1, box.bottom, -1)):
        kept: list[Point] = []
        for a, b in zip(found[-1:] + found[:-1], found, strict=True):
            inside_a, inside_b = sign * (a[axis] - limit) >= 0, sign * (b[axis] - limit) >= 0
            if inside_a != inside_b:
                share = (limit - a[axis]) / (b[axis] - a[axis])
                kept.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
            if inside_b:
                kept.append(b)
        found = kept
    return found


@dataclass(slots=True)
class Sheet:
    """A page that is drawn on from the back to the front."""

    width: float
    title: str
    words: str
    """What is to be seen, for whoever does not see it."""
    _parts: list[str] = field(default_factory=list)
    _hatched: bool = False

    def line(self, points: Sequence[Point], stroke: str, width: float, dashes: str = "") -> None:
        """Draw a line of straight pieces."""
        if len(points) < 2:
            return
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        shape = " ".join(f"{_figure(x)},{_figure(y)}" for x, y in points)
        self._parts.append(
            f'<polyline points="{shape}" fill="none" stroke="{stroke}" stroke-width="{_figure(width)}"'
            f' stroke-linejoin="round"{dashed}/>'
        )

    def hatched(self, points: Sequence[Point]) -> None:
        """Fill an area with slanting lines."""
        if len(points) < 3:
            return
        self._hatched = True
        shape = " ".join(f"{_figure(x)},{_figure(y)}" for x, y in points)
        self._parts.append(f'<polygon points="{shape}" fill="url(#hatch)" stroke="none"/>')

    def rectangle(self, box: Box, *, fill: str = "none", stroke: str = "none") -> None:
        """Draw a rectangle, filled or not."""
        self._parts.append(
            f'<rect x="{_figure(box.left)}" y="{_figure(box.top)}" width="{_figure(box.right - box.left)}"'
            f' height="{_figure(box.bottom - box.top)}" fill="{fill}" stroke="{stroke}"/>'
        )

    def ring(self, x: float, y: float, radius: float) -> None:
        """Draw a ring."""
        self._parts.append(
            f'<circle cx="{_figure(x)}" cy="{_figure(y)}" r="{_figure(radius)}" fill="none" stroke="#000"'
            ' stroke-width="2"/>'
        )

    def text(self, text: str, x: float, y: float, size: float, anchor: str = "start") -> Box:
        """Write a text and return the room that it takes."""
        at = f'x="{_figure(x)}" y="{_figure(y)}" font-size="{_figure(size)}" text-anchor="{anchor}"'
        self._parts.append(f"<text {at}>{_escaped(text)}</text>")
        return text_box(text, x, y, size, anchor)

    def upright(self, text: str, x: float, y: float, size: float) -> None:
        """Write a text from the bottom up, with its middle at a point."""
        turned = f'transform="rotate(-90 {_figure(x)} {_figure(y)})"'
        at = f'x="{_figure(x)}" y="{_figure(y)}" font-size="{_figure(size)}" text-anchor="middle"'
        self._parts.append(f"<text {at} {turned}>{_escaped(text)}</text>")

    def svg(self, height: float) -> str:
        """Return the whole page."""
        wide, high = _figure(self.width), _figure(height)
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}"'
            f' viewBox="0 0 {wide} {high}" role="img" aria-label="{escape(_printable(self.title))}"'
            ' font-family="sans-serif" fill="#000">'
        )
        about = [
            f"<title>{_escaped(self.title)}</title>",
            f"<desc>{_escaped(self.words)}</desc>",
        ]
        hatch = [_HATCH] if self._hatched else []
        paper = f'<rect x="0" y="0" width="{wide}" height="{high}" fill="#fff"/>'
        return "\n".join([head, *about, *hatch, paper, *self._parts, "</svg>"]) + "\n"


_HATCH: Final = (
    '<defs><pattern id="hatch" width="7" height="7" patternUnits="userSpaceOnUse"'
    ' patternTransform="rotate(45)"><line x1="0" y1="0" x2="0" y2="7" stroke="#666"'
    ' stroke-width="1.6"/></pattern></defs>'
)


def _figure(value: float) -> str:
    """A number to the hundredth, without idle zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def _escaped(text: str) -> str:
    """A text as it stands between two tags."""
    return escape(_printable(text), quote=False)


def _printable(text: str) -> str:
    """A text without what no XML may hold."""
    return "".join(char if char.isprintable() else " " for char in text)
