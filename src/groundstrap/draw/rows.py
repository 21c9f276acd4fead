"""A rung as it lies on the page: cells side by side on lines, with the room that their texts take."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from groundstrap.draw.canvas import ASCENT, DESCENT, Canvas, wide
from groundstrap.draw.cells import SIZE, Cell, Line
from groundstrap.draw.symbols import Pen
from groundstrap.records import dataclass

__all__ = [
    "LEADING",
    "Resolve",
    "Row",
    "above_of",
    "below_of",
    "draw_cell",
    "least_width",
    "rows_of",
    "spread",
]

LEADING: Final = 9.3
"""From one line of text to the next."""
_PIN: Final = 3.0
"""Free line on each side of a symbol at least."""
_CLEAR: Final = 2.6
"""Between a line and the text over or under it."""
_BEHIND_LOAD: Final = 125.0
"""From the middle of a load to the end of its row, where there is room."""
_ASCENT: Final = ASCENT * SIZE
_DESCENT: Final = DESCENT * SIZE

Resolve = Callable[[Line], str]
"""Gives the text of a line with its places in it."""


@dataclass(frozen=True, slots=True)
class Row:
    """Cells side by side, with the width of each."""

    cells: tuple[Cell, ...]
    widths: tuple[float, ...]

    @property
    def above(self) -> float:
        """Room over the line."""
        return max((above_of(cell) for cell in self.cells), default=4.0)

    @property
    def below(self) -> float:
        """Room under the line."""
        return max((below_of(cell) for cell in self.cells), default=4.0)


def _mark_width(cell: Cell) -> float:
    """Room for what stands at a pin, the wider of both sides."""
    left = f"{cell.left_test} {cell.left}".strip()
    right = f"{cell.right} {cell.right_test}".strip()
    return max((wide(text, SIZE) for text in (left, right) if text), default=0.0)


def least_width(cell: Cell) -> float:
    """How wide a cell is at least."""
    texts = max((line.width() for line in (*cell.above, *cell.below)), default=0.0)
    if cell.symbol is None:
        return max(texts + 8.0, 34.0)
    return max(texts + 6.0, 2 * (cell.symbol.half_u + _PIN + _mark_width(cell)) + 4.0)


def above_of(cell: Cell) -> float:
    """Room that a cell takes over its line."""
    return _base_above(cell) + LEADING * len(cell.above)


def _base_above(cell: Cell) -> float:
    """From the line to the lower edge of the first text over it."""
    if cell.symbol is None:
        return _CLEAR + (3.0 if cell.removed else 0.0)
    marks = LEADING + _CLEAR if _mark_width(cell) else 0.0
    return max(cell.symbol.half_v + 1.5, marks)


def below_of(cell: Cell) -> float:
    """Room that a cell takes under its line."""
    return _base_below(cell) + LEADING * len(cell.below)


def _base_below(cell: Cell) -> float:
    if cell.symbol is None:
        return _CLEAR + (3.0 if cell.removed else 0.0)
    return cell.symbol.under + 1.5


def rows_of(cells: Sequence[Cell], most: float) -> list[Row]:
    """Cells in as many lines as they need, each spread to the whole width."""
    rows: list[list[Cell]] = [[]]
    taken = 0.0
    for cell in cells:
        needed = least_width(cell)
        if rows[-1] and taken + needed > most:
            rows.append([])
            taken = 0.0
        rows[-1].append(cell)
        taken += needed
    return [spread(row, most) for row in rows]


def spread(cells: Sequence[Cell], width: float) -> Row:
    """Cells over a whole width: what is over goes to the pieces of cable, evenly.

    Where a load has cable before and behind it the cable behind gets a width of its own, so that the loads of
    all rungs stand under each other.
    """
    widths = [least_width(cell) for cell in cells]
    load = next((number for number, cell in enumerate(cells) if cell.kind in {"load", "input"}), len(cells))
    behind = [number for number, cell in enumerate(cells) if number > load and cell.wire]
    before = [number for number, cell in enumerate(cells) if number < load and cell.wire]
    over = max(0.0, width - sum(widths))
    if len(behind) == 1 and before and load + 2 == len(cells):
        wanted = _BEHIND_LOAD - widths[load] / 2 - widths[behind[0]]
        more = min(max(0.0, wanted), over)
        widths[behind[0]] += more
        over -= more
    stretch = before or behind or list(range(len(cells)))
    for number in stretch:
        widths[number] += over / len(stretch)
    return Row(tuple(cells), tuple(widths))


def draw_cell(canvas: Canvas, cell: Cell, left: float, width: float, y: float, resolve: Resolve) -> None:
    """Draw a cell with its line, from left to right."""
    middle = left + width / 2
    with canvas.group(cell.kind, cell.name):
        if cell.symbol is None:
            canvas.line([(left, y), (left + width, y)], cell.thick, cell.dashes)
            if cell.removed:
                _cross(canvas, middle, y)
        else:
            half = cell.symbol.half_u
            canvas.line([(left, y), (middle - half, y)], 1.0, cell.dashes)
            canvas.line([(middle + half, y), (left + width, y)], 1.0, cell.after)
            cell.symbol.draw(Pen(canvas, middle, y))
            _marks(canvas, cell, middle, y)
        _texts(canvas, cell, middle, y, resolve)


def _cross(canvas: Canvas, x: float, y: float) -> None:
    """Two strokes through what is to be taken out."""
    canvas.line([(x - 3.0, y - 3.0), (x + 3.0, y + 3.0)], 1.2)
    canvas.line([(x - 3.0, y + 3.0), (x + 3.0, y - 3.0)], 1.2)


def _marks(canvas: Canvas, cell: Cell, middle: float, y: float) -> None:
    """Terminals and test points at the pins."""
    half = 0.0 if cell.symbol is None else cell.symbol.half_u + _PIN
    up = y - _CLEAR - _DESCENT - 1.0
    left = f"{cell.left_test} {cell.left}".strip()
    right = f"{cell.right} {cell.right_test}".strip()
    if left:
        canvas.text(left, middle - half, up, SIZE, anchor="end")
    if right:
        canvas.text(right, middle + half, up, SIZE)
    for test, x in ((cell.left_test, middle - half - 1.0), (cell.right_test, middle + half + 1.0)):
        if test:
            canvas.circle(x, y, 2.0, fill="#fff")


def _texts(canvas: Canvas, cell: Cell, middle: float, y: float, resolve: Resolve) -> None:
    bottom = y - _base_above(cell)
    for number, line in enumerate(reversed(cell.above)):
        at = bottom - number * LEADING - _DESCENT
        canvas.text(resolve(line), middle, at, SIZE, anchor="middle", bold=line.bold)
    top = y + _base_below(cell)
    for number, line in enumerate(cell.below):
        at = top + number * LEADING + _ASCENT
        canvas.text(resolve(line), middle, at, SIZE, anchor="middle", bold=line.bold)
