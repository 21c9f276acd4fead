"""Plain text for a terminal: wrapped, in columns, legible in black and white; colour is only an extra."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

__all__ = ["Style", "fit", "heading", "paragraph", "table"]

_COLOURS: Final = {"stop": "1;31", "caution": "33", "good": "32", "strong": "1", "plain": "0"}
_LEAST_WIDTH: Final = 40
_BEFORE_UNIT: Final = re.compile(r"(?<=\d) (?=(?:V|A|W|mm2|AWG|m|cm|mm|ft|in|ohm|mohm|degC|degF|K|pc)\b|%)")
_HELD: Final = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How wide the terminal is, and whether it shows colours."""

    width: int = 80
    colour: bool = False

    def paint(self, text: str, what: str) -> str:
        """Return a text in the colour of what it is, as it stands where there are none.

        >>> Style().paint("STOP", "stop")
        'STOP'
        """
        return f"\x1b[{_COLOURS[what]}m{text}\x1b[0m" if self.colour and text else text


def heading(text: str, style: Style) -> list[str]:
    """Return a heading with a blank line before it."""
    return ["", style.paint(text, "strong")]


def paragraph(text: str, style: Style, *, first: str = "", rest: str | None = None) -> list[str]:
    """Return a text wrapped to the width, each line after its lead; a number keeps its unit beside it.

    >>> paragraph("one two three four five six seven", Style(width=40), first="- ", rest="    ")
    ['- one two three four five six seven']
    """
    follow = rest if rest is not None else " " * len(first)
    wrapped = textwrap.wrap(
        _BEFORE_UNIT.sub(_HELD, text),
        width=max(style.width, _LEAST_WIDTH),
        initial_indent=first,
        subsequent_indent=follow,
        break_long_words=True,
        break_on_hyphens=False,
    )
    return [line.replace(_HELD, " ") for line in wrapped] or [first.rstrip()]


def fit(text: str, width: int) -> str:
    """Return a text cut to a width, the cut shown.

    >>> fit("navigation lights", 10), fit("horn", 10)
    ('navigatio~', 'horn')
    """
    return text if len(text) <= width else text[: width - 1] + "~"


def table(rows: Sequence[Sequence[str]], *, right: frozenset[int], most: int, gap: int = 2) -> list[str]:
    """Return rows in columns; the first column gives way where they are wider than `most`.

    >>> table([["horn", "5 A"], ["pump", "12 A"]], right=frozenset({1}), most=20)
    ['horn   5 A', 'pump  12 A']
    """
    if not rows:
        return []
    widths = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    total = sum(widths) + gap * (len(widths) - 1)
    if total > most:
        widths[0] = max(8, widths[0] - (total - most))
    lines = []
    for row in rows:
        cells = [
            fit(cell, width).rjust(width) if number in right else fit(cell, width).ljust(width)
            for number, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append((" " * gap).join(cells).rstrip())
    return lines
