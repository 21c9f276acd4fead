"""Several loads on one run of cable: they hang between the way out over them and the way back under them.

Where they do not fit beside each other both ways go on in the next line. The way back leaves the first load
to the left, runs down outside of everything and ends under it all, so that nothing crosses.
"""

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
_RAILS: Final = (2.5, 5.5, 8.0)
"""Where lines run down beside the cells: the way back of all, then that between loads, then the way out."""
_CHANNEL: Final = 5.0
"""From what is above to the first line that runs back to the left, and to the second."""


@dataclass(frozen=True, slots=True)
class _Hung:
    """A load with the cable before it."""

    load: Cell
    width: float
    """Of its column."""
    out: Row | None
    back: Row | None
    between: float
    """Width of the cable before it, out and back."""

    @property
    def least(self) -> float:
        return self.between + self.width


@dataclass(frozen=True, slots=True)
class _Line:
    """Loads side by side; on the first line what comes before them all."""

    before: Row | None
    hung: tuple[_Hung, ...]

    @property
    def _over(self) -> list[Row]:
        return [row for row in (self.before, *(hung.out for hung in self.hung)) if row is not None]

    @property
    def _under(self) -> list[Row]:
        return [hung.back for hung in self.hung if hung.back is not None]

    @property
    def above(self) -> float:
        """Room over the way out."""
        return max((row.above for row in self._over), default=4.0)

    @property
    def drop(self) -> float:
        """From the way out to the way back."""
        under = max((row.below for row in self._over), default=4.0)
        texts = under + max((row.above for row in self._under), default=4.0)
        return max(texts, *(_high(hung.load) for hung in self.hung))

    @property
    def below(self) -> float:
        """Room under the way back."""
        return max((row.below for row in self._under), default=4.0)

    @property
    def height(self) -> float:
        """From the way out to the end of what is under the way back."""
        return self.drop + self.below


@dataclass(frozen=True, slots=True)
class CombRow:
    """A run with several loads as it lies on the page, between two bars' rims."""

    lines: tuple[_Line, ...]
    behind: Row
    width: float
    first: float | None
    """From the left to the first load, where the way back goes straight down from it; None where it runs
    down at the left."""

    @property
    def above(self) -> float:
        """Room over the line that it begins on."""
        return self.lines[0].above

    @property
    def below(self) -> float:
        """Room under it."""
        steps = sum(3 * _CHANNEL + line.above for line in self.lines[1:])
        heights = sum(line.height for line in self.lines)
        return heights + steps + self.behind.above + _CHANNEL + self.behind.below

    def draw(self, canvas: Canvas, left: float, y: float, resolve: Resolve) -> float:
        """Draw it from the first cell's left on; the height of the line that it ends on."""
        rail, end = left - 9.0 + _RAILS[0], left + self.width
        low = y + self.lines[0].drop
        start = low
        for number, line in enumerate(self.lines):
            last = number + 1 == len(self.lines)
            from_left = self.first is None or number > 0
            _draw_line(canvas, line, (left, end), y, resolve, from_left=from_left, last=last)
            if last:
                y += line.height
                break
            after = y + line.height + 3 * _CHANNEL + self.lines[number + 1].above
            back = after + self.lines[number + 1].drop
            channel = y + line.height + _CHANNEL
            self._turn(canvas, (left, end), (low, channel, back), inner=True)
            self._turn(canvas, (left, end), (y, channel + _CHANNEL, after), inner=False)
            y, low = after, back
        ends = y + _CHANNEL + self.behind.above
        if self.first is not None:
            x = left + self.first
            canvas.line([(x, start), (x, ends), (x + _GAP, ends)], 1.0)
            _draw_row(canvas, self.behind, x + _GAP, ends, resolve)
            return ends
        canvas.line([(left, start), (rail, start), (rail, ends), (left, ends)], 1.0)
        _draw_row(canvas, self.behind, left, ends, resolve)
        return ends

    def _turn(
        self, canvas: Canvas, ends: tuple[float, float], heights: tuple[float, float, float], *, inner: bool
    ) -> None:
        """One line on to the next row: down at the right, back to the left, down to where it goes on."""
        left, right = ends
        x = right + (3.0 if inner else 6.0)
        rail = left - 9.0 + _RAILS[1 if inner else 2]
        y, channel, after = heights
        canvas.line([(right, y), (x, y), (x, channel), (rail, channel), (rail, after), (left, after)], 1.0)


def _draw_line(
    canvas: Canvas,
    line: _Line,
    ends: tuple[float, float],
    y: float,
    resolve: Resolve,
    *,
    from_left: bool,
    last: bool,
) -> None:
    """Loads side by side with the cable between them."""
    x, low = ends[0], y + line.drop
    if line.before is not None:
        x = _draw_row(canvas, line.before, x, y, resolve)
    at = ends[0]
    for number, hung in enumerate(line.hung):
        if hung.out is not None and hung.back is not None:
            _draw_row(canvas, hung.out, x, y, resolve)
            _draw_row(canvas, hung.back, x, low, resolve)
            if number:
                canvas.line([(at, low), (x, low)], 1.0)
            x += hung.between
        axis = x + _axis(hung.load)
        if hung.out is not None or from_left:
            canvas.line([(x if hung.out is not None else at, low), (axis, low)], 1.0)
        canvas.line([(x, y), (axis, y)], 1.0)
        _hang(canvas, hung.load, axis, (y, low), resolve)
        ending = last and number + 1 == len(line.hung)
        if not ending:
            after = x + hung.width if number + 1 < len(line.hung) else ends[1]
            canvas.line([(axis, y), (after, y)], 1.0)
            if number + 1 == len(line.hung):
                canvas.line([(axis, low), (after, low)], 1.0)
            canvas.circle(axis, y, 1.6, fill="#000")
        if not ending:
            canvas.circle(axis, low, 1.6, fill="#000")
        at, x = axis, x + hung.width


def _hang(canvas: Canvas, cell: Cell, axis: float, heights: tuple[float, float], resolve: Resolve) -> None:
    """One load with its terminals, its texts to the right."""
    assert cell.symbol is not None
    half = cell.symbol.half_u
    middle = sum(heights) / 2
    with canvas.group(cell.kind, cell.name):
        canvas.line([(axis, heights[0]), (axis, middle - half)], 1.0)
        canvas.line([(axis, middle + half), (axis, heights[1])], 1.0)
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
    ends = ((cell.left, cell.left_test), (cell.right, cell.right_test))
    marks = max(wide(f"{test} {sign}".strip(), SIZE) for sign, test in ends)
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
    """A run with several loads over a whole width; None where a piece of it is wider than that."""
    before = [*slot, *(made(item) for item in comb.before)]
    behind = [made(item) for item in comb.behind]
    hung: list[list[_Hung]] = [[]]
    taken = _least(before)
    if max(taken, _least(behind)) > width:
        return None
    for number, load in enumerate(comb.loads):
        each = _hung(comb, made, number, made(load))
        if each.least > width:
            return None
        if taken + each.least > width and (hung[-1] or before):
            hung.append([])
            taken = 0.0
        hung[-1].append(each)
        taken += each.least
    if not hung[0]:
        return None
    lines = [_spread(before if not number else [], each, width) for number, each in enumerate(hung)]
    first = _straight(lines, comb)
    if first is not None and _least(behind) <= width - first - _GAP:
        return CombRow(tuple(lines), spread(behind, width - first - _GAP), width, first)
    return CombRow(tuple(lines), spread(behind, width), width, None)


def _straight(lines: list[_Line], comb: Comb) -> float | None:
    """From the left to the first load, where all stand on one line."""
    if len(lines) > 1 or len(comb.loads) < 2:
        return None
    before = lines[0].before
    return (sum(before.widths) if before is not None else 0.0) + _axis(lines[0].hung[0].load)


def _hung(comb: Comb, made: Callable[[Item], Cell], number: int, load: Cell) -> _Hung:
    if not number:
        return _Hung(load, _column(load), None, None, 0.0)
    out = [made(item) for item in comb.out[number - 1]]
    back = [made(item) for item in comb.back[number - 1]]
    between = max(_least(out), _least(back))
    return _Hung(load, _column(load), spread(out, between), spread(back, between), between)


def _spread(before: list[Cell], hung: list[_Hung], width: float) -> _Line:
    """Loads over a whole width: what is over goes to the cable before each."""
    over = width - _least(before) - sum(each.least for each in hung)
    pieces = (1 if before else 0) + sum(each.out is not None for each in hung)
    more = over / max(pieces, 1)
    wider = tuple(_widened(each, more) for each in hung)
    first = spread(before, _least(before) + more) if before else None
    return _Line(first, wider)


def _widened(hung: _Hung, more: float) -> _Hung:
    if hung.out is None or hung.back is None:
        return hung
    between = hung.between + more
    out, back = spread(hung.out.cells, between), spread(hung.back.cells, between)
    return _Hung(hung.load, hung.width, out, back, between)


def _least(cells: list[Cell]) -> float:
    return sum(least_width(cell) for cell in cells)
