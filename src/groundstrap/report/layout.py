"""Plain text for a terminal: wrapped, in columns, legible in black and white; colour is only an extra."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from dataclasses import field
from functools import lru_cache
from typing import Final

from groundstrap.records import dataclass
from groundstrap.report.figures import Display
from groundstrap.report.signs import HELD, UNIT

__all__ = ["Style", "heading", "held_units", "laid_out", "paragraph", "table"]

_COLOURS: Final = {"stop": "1;31", "caution": "33", "good": "32", "strong": "1", "plain": "0"}
_LEAST_WIDTH: Final = 40
_BEFORE_UNIT: Final = re.compile(rf"(?<=\d) (?={UNIT}(?!\w))")


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How wide the terminal is, whether it shows colours, and in which units texts are shown."""

    width: int = 80
    colour: bool = False
    shown: Display = field(default_factory=Display)

    def paint(self, text: str, what: str) -> str:
        """Return a text in the colour of what it is, as it stands where there are none.

        >>> Style().paint("STOP", "stop")
        'STOP'
        """
        return f"\x1b[{_COLOURS[what]}m{text}\x1b[0m" if self.colour and text else text


def held_units(text: str) -> str:
    """Return a text in which every number is held to its unit.

    >>> held_units("5 A") == "5" + HELD + "A"
    True
    """
    return _BEFORE_UNIT.sub(HELD, text)


def heading(text: str, style: Style) -> list[str]:
    """Return a heading with a blank line before it."""
    return ["", style.paint(text, "strong")]


def paragraph(text: str, style: Style, *, first: str = "", rest: str | None = None) -> list[str]:
    """Return a text wrapped to the width, each line after its lead; a number keeps its unit beside it.

    >>> paragraph("one two three four five six seven", Style(width=40), first="- ", rest="    ")
    ['- one two three four five six seven']
    """
    follow = rest if rest is not None else " " * len(first)
    told = held_units(style.shown.text(text))
    return list(_wrapped(told, max(style.width, _LEAST_WIDTH), first, follow)) or [first.rstrip()]


@lru_cache(maxsize=4096)
def _wrapped(text: str, width: int, first: str, follow: str) -> tuple[str, ...]:
    """Lines of a text; most are the same in the next plan of a job that somebody is editing."""
    wrapped = textwrap.wrap(
        text,
        width=width,
        initial_indent=first,
        subsequent_indent=follow,
        break_long_words=True,
        break_on_hyphens=False,
    )
    return tuple(line.replace(HELD, " ") for line in wrapped)


def table(
    rows: Sequence[Sequence[str]],
    *,
    right: frozenset[int] = frozenset(),
    wrap: frozenset[int] = frozenset({0}),
    most: int,
    gap: int = 2,
) -> list[str]:
    """Return rows in columns; where they are wider than `most`, the columns in `wrap` go over lines.

    Nothing is cut: two names that begin alike stay two names.

    >>> table([["horn", "5 A"], ["pump", "12 A"]], right=frozenset({1}), most=20)
    ['horn   5 A', 'pump  12 A']
    >>> table([["navigation lights", "5 A"]], most=16)
    ['navigation  5 A', ' lights']
    """
    if not rows:
        return []
    widths = _narrowed([max(len(row[n]) for row in rows) for n in range(len(rows[0]))], wrap, most, gap)
    grid = [[_lines(cell, width) for cell, width in zip(row, widths, strict=True)] for row in rows]
    widths = [max(len(line) for row in grid for line in row[n]) for n in range(len(widths))]
    lines = []
    for cells in grid:
        for number in range(max(len(cell) for cell in cells)):
            texts = [cell[number] if number < len(cell) else "" for cell in cells]
            placed = [
                text.rjust(width) if column in right else text.ljust(width)
                for column, (text, width) in enumerate(zip(texts, widths, strict=True))
            ]
            lines.append((" " * gap).join(placed).rstrip())
    return lines


_LEAST_COLUMN: Final = 10
"""A column that goes over lines is no narrower than this. [characters]"""


def _narrowed(widths: Sequence[int], wrap: frozenset[int], most: int, gap: int) -> list[int]:
    """Widths that fit, the widest of the columns in `wrap` giving way first, none below its least."""
    result = list(widths)
    over = sum(result) + gap * (len(result) - 1) - most
    while over > 0:
        widest = max((n for n in wrap if result[n] > _LEAST_COLUMN), key=lambda n: result[n], default=None)
        if widest is None:
            break
        result[widest] -= 1
        over -= 1
    return result


def _lines(cell: str, width: int) -> list[str]:
    """A cell over lines of a width: broken at spaces and behind slashes, a number beside its unit."""
    if len(cell) <= width:
        return [cell]
    lines, line = [], ""
    for piece in re.split(r"(?<=[ /])", held_units(cell)):
        if line.strip() and len(line) + len(piece.rstrip()) > width:
            lines.append(line.rstrip())
            line = " "
        line += piece
        while len(line.rstrip()) > width:
            lines.append(line[:width])
            line = " " + line[width:]
    return [each.replace(HELD, " ") for each in [*lines, line.rstrip()]]


def laid_out(lines: list[str]) -> str:
    """Return lines as one text that ends with a line's end; no line ends with spaces.

    >>> print(laid_out(["lamp  ", "pump"]), end="")
    lamp
    pump
    """
    return "\n".join(line.rstrip() for line in lines) + "\n"
