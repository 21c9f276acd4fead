"""Several loads on one run of cable: they hang between the way out over them and the way back under them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from groundstrap.draw.canvas import Canvas, wide
from groundstrap.draw.cells import SIZE, Cell
from groundstrap.draw.nets import Comb, Item
from groundstrap.draw.rows import LEADING, Resolve, Row, draw_cell, least_width, spread
from groundstrap.draw.symbols import Pen
from groundstrap.records import dataclass

__all__ = ["CombRow", "comb_row"]

_GAP: Final = 6.0
"""Between a load's symbol and its texts, and about them."""
_PIN: Final = 13.0
"""Free line at each end of a load, with its terminal beside it."""


@dataclass(frozen=True, slots=True)
class CombRow:
    """A run with several loads as it lies on the page; all from left to right."""

    before: Row
    loads: tuple[Cell, ...]
    wide: tuple[float, ...]
    """Width of each load's column."""
    out: tuple[Row, ...]
    back: tuple[Row, ...]
    between: tuple[float, ...]
    """Width from each load's column to the next."""
    behind: Row
    width: float

    @property
    def _rows(self) -> tuple[Row, ...]:
        return (self.before, *self.out)

    @property
    def above(self) -> float:
        """Room over the way out."""
        return max(row.above for row in self._rows)

    @property
    def drop(self) -> float:
        """From the way out to the way back between the loads."""
        texts = max(row.below for row in self._rows) + max((row.above for row in self.back), default=0.0)
        load = max(_high(cell) for cell in self.loads)
        return max(texts, load)

    @property
    def last(self) -> float:
        """From there to the way back from the first load on."""
        return max((row.below for row in self.back), default=4.0) + self.behind.above + 4.0

    @property
    def below(self) -> float:
        """Room under the way out."""
        return self.drop + self.last + self.behind.below

    def draw(self, canvas: Canvas, left: float, y: float, resolve: Resolve) -> float:
        """Draw it; the height of the line that it ends on."""
        x = _draw_row(canvas, self.before, left, y, resolve)
        first = x + _axis(self.loads[0])
        low = y + self.drop
        for number, load in enumerate(self.loads):
            axis = x + _axis(load)
            self._hang(canvas, load, x, y, resolve)
            x += self.wide[number]
            if number == len(self.loads) - 1:
                canvas.line([(axis - _axis(load), y), (axis, y)], 1.0)
                break
            canvas.line([(axis - _axis(load), y), (x, y)], 1.0)
            canvas.line([(axis, low), (x, low)], 1.0)
            _draw_row(canvas, self.out[number], x, y, resolve)
            _draw_row(canvas, self.back[number], x, low, resolve)
            x += self.between[number]
            canvas.line([(x, low), (x + _axis(self.loads[number + 1]), low)], 1.0)
            canvas.circle(axis, y, 1.6, fill="#000")
            if number:
                canvas.circle(axis, low, 1.6, fill="#000")
        end = low + self.last
        canvas.line([(first, low), (first, end), (first + _GAP, end)], 1.0)
        if len(self.loads) > 1:
            canvas.circle(first, low, 1.6, fill="#000")
        _draw_row(canvas, self.behind, first + _GAP, end, resolve)
        return end

    def _hang(self, canvas: Canvas, cell: Cell, x: float, y: float, resolve: Resolve) -> None:
        """One load with its terminals, its texts to the right."""
        assert cell.symbol is not None
        axis, half = x + _axis(cell), cell.symbol.half_u
        middle = y + self.drop / 2
        with canvas.group(cell.kind, cell.name):
            canvas.line([(axis, y), (axis, middle - half)], 1.0)
            canvas.line([(axis, middle + half), (axis, y + self.drop)], 1.0)
            cell.symbol.draw(Pen(canvas, axis, middle, down=True))
            side = axis + cell.symbol.half_v + _GAP
            lines = (*cell.above, *cell.below)
            top = middle - LEADING * len(lines) / 2 + 0.8 * SIZE
            for number, line in enumerate(lines):
                canvas.text(resolve(line), side, top + number * LEADING, SIZE, bold=line.bold)
            marks = (
                (cell.left, cell.left_test, middle - half - 4.0),
                (cell.right, cell.right_test, middle + half + 9.0),
            )
            for sign, test, at in marks:
                canvas.text(f"{test} {sign}".strip(), axis - 3.5, at, SIZE, anchor="end")
                if test:
                    canvas.circle(axis, at - 3.0, 2.0, fill="#fff")


def _axis(cell: Cell) -> float:
    """Where the line of a load lies in its column."""
    assert cell.symbol is not None
    marks = max(
        wide(f"{test} {sign}".strip(), SIZE)
        for sign, test in ((cell.left, cell.left_test), (cell.right, cell.right_test))
    )
    return max(marks + 6.0, cell.symbol.half_v + 4.0)


def _column(cell: Cell) -> float:
    assert cell.symbol is not None
    texts = max((line.width() for line in (*cell.above, *cell.below)), default=0.0)
    return _axis(cell) + cell.symbol.half_v + _GAP + texts + _GAP


def _high(cell: Cell) -> float:
    assert cell.symbol is not None
    texts = LEADING * (len(cell.above) + len(cell.below))
    return max(2 * (cell.symbol.half_u + _PIN), texts + 8.0)


def _draw_row(canvas: Canvas, row: Row, x: float, y: float, resolve: Resolve) -> float:
    for cell, width in zip(row.cells, row.widths, strict=True):
        draw_cell(canvas, cell, x, width, y, resolve)
        x += width
    return x


def comb_row(comb: Comb, made: Callable[[Item], Cell], width: float, slot: list[Cell]) -> CombRow | None:
    """A run with several loads over a whole width; None where it does not fit."""
    before = [*slot, *(made(item) for item in comb.before)]
    loads = tuple(made(load) for load in comb.loads)
    out = [[made(item) for item in piece] for piece in comb.out]
    back = [[made(item) for item in piece] for piece in comb.back]
    behind = [made(item) for item in comb.behind]
    columns = [_column(cell) for cell in loads]
    between = [max(_least(o), _least(b)) for o, b in zip(out, back, strict=True)]
    least = _least(before) + sum(columns) + sum(between)
    room = width - _least(before) - _axis(loads[0]) - _GAP
    if least > width or _least(behind) > room:
        return None
    over = (width - least) / (len(between) + 1)
    between = [each + over for each in between]
    first = _least(before) + over if before else 0.0
    return CombRow(
        before=spread(before, first),
        loads=loads,
        wide=tuple(columns),
        out=tuple(spread(cells, each) for cells, each in zip(out, between, strict=True)),
        back=tuple(spread(cells, each) for cells, each in zip(back, between, strict=True)),
        between=tuple(between),
        behind=spread(behind, width - first - _axis(loads[0]) - _GAP),
        width=width,
    )


def _least(cells: list[Cell]) -> float:
    return sum(least_width(cell) for cell in cells)
