"""Rungs as strips of a page: how high each is, and how it is drawn between the bars of its nodes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from groundstrap.draw.canvas import Canvas, wide
from groundstrap.draw.cells import SIZE, Cell, Line, Sayer, cut
from groundstrap.draw.combs import CombRow, comb_row
from groundstrap.draw.nets import Item, Rung
from groundstrap.draw.rows import LEADING, Resolve, Row, above_of, draw_cell, rows_of
from groundstrap.model import State
from groundstrap.records import dataclass
from groundstrap.words import Name, words

__all__ = ["HEADING", "Strip", "bar_height", "slot_cells", "strip_of"]

HEADING: Final = 8.5
"""Size of the circuit's number and name."""
_HEAD: Final = 11.5
_TOP: Final = 2.0
_FOOT: Final = 5.0
_FOLD: Final = 9.0
"""Between two lines of one rung: the run back to the left goes there."""
_RIM: Final = 9.0
"""From a bar to the first cell."""
_SLOT: Final = 60.0
"""How wide the name of a slot may be."""
_NARROWER: Final = (66.0, 52.0, 42.0)
"""Widths of texts that are tried until several loads fit beside each other."""


@dataclass(frozen=True, slots=True)
class Strip:
    """One rung with its heading."""

    rung: Rung
    heading: str
    body: tuple[Row, ...] | CombRow
    width: float

    @property
    def height(self) -> float:
        """Room from top to bottom."""
        if isinstance(self.body, CombRow):
            return self.axis + self.body.below + _FOOT
        rows = sum(row.above + row.below for row in self.body) - self.body[0].above
        return self.axis + rows + _FOLD * (len(self.body) - 1) + _FOOT

    @property
    def axis(self) -> float:
        """From its top to the line that it begins on: the heading stands over what is at the left."""
        if isinstance(self.body, CombRow):
            return self.body.above + (_HEAD if self.heading else _TOP)
        first = self.body[0]
        above = _TOP + first.above
        if not self.heading:
            return above
        reach, x = wide(self.heading, HEADING, bold=True) + 4.0, 0.0
        for cell, width in zip(first.cells, first.widths, strict=True):
            if x < reach:
                above = max(above, _HEAD + above_of(cell))
            x += width
        return above

    def draw(self, canvas: Canvas, left: float, top: float, resolve: Resolve) -> None:
        """Draw it between two bars, whose edges are at `left` and `left + width`."""
        if self.heading:
            canvas.text(self.heading, left + _RIM, top + HEADING, HEADING, bold=True)
        y = top + self.axis
        if isinstance(self.body, CombRow):
            canvas.line([(left, y), (left + _RIM, y)], 1.0)
            end = self.body.draw(canvas, left + _RIM, y, resolve)
            canvas.line([(left + self.width - _RIM, end), (left + self.width, end)], 1.0)
            return
        self._rows(canvas, left, y, resolve)

    def _rows(self, canvas: Canvas, left: float, y: float, resolve: Resolve) -> None:
        assert not isinstance(self.body, CombRow)
        right = left + self.width
        first, last = self.body[0].cells[0], self.body[-1].cells[-1]
        _stub(canvas, first, (left, left + _RIM), y, first.dashes)
        for number, row in enumerate(self.body):
            x = left + _RIM
            for cell, width in zip(row.cells, row.widths, strict=True):
                draw_cell(canvas, cell, x, width, y, resolve)
                x += width
            if number + 1 == len(self.body):
                _stub(canvas, last, (right - _RIM, right), y, last.after)
                break
            channel = y + row.below + _FOLD / 2
            after = y + row.below + _FOLD + self.body[number + 1].above
            inner, outer = left + _RIM / 2, right - _RIM / 2
            turn = [(right - _RIM, y), (outer, y), (outer, channel), (inner, channel), (inner, after)]
            canvas.line([*turn, (left + _RIM, after)], 1.0)
            y = after


def _stub(canvas: Canvas, cell: Cell, ends: tuple[float, float], y: float, dashes: str) -> None:
    """The line from a bar to the first thing beside it, or from the last one to the bar."""
    canvas.line([(ends[0], y), (ends[1], y)], cell.thick if cell.wire else 1.0, dashes)


def strip_of(rung: Rung, sayer: Sayer, width: float) -> Strip | None:
    """Lay a rung out over a width; None where several loads do not fit beside each other."""
    state = State.NEW if rung.circuit is None else rung.circuit.state
    room = width - 2 * _RIM
    heading = cut(sayer.heading(rung), room, size=HEADING, bold=True)

    def made(most: float) -> Callable[[Item], Cell]:
        def make(item: Item) -> Cell:
            sayer.most = most
            return sayer.cell(item, state)

        return make

    if rung.comb is not None:
        for most in _NARROWER:
            found = comb_row(rung.comb, made(most), room, slot_cells(rung.left_way, rung.left, sayer))
            if found is not None:
                return Strip(rung, heading, found, width)
        return None
    cells = [made(_NARROWER[0])(item) for item in rung.items]
    start, end = slot_cells(rung.left_way, rung.left, sayer), slot_cells(rung.right_way, rung.right, sayer)
    cells = [*start, *(cells or [_plain()]), *end]
    return Strip(rung, heading, tuple(rows_of(cells, room)), width)


def slot_cells(way: str, root: str, sayer: Sayer) -> list[Cell]:
    """What stands over the line where it leaves a slot, or a point of a part that is tapped."""
    if not way:
        return []
    base, _, side = way.rpartition(" ")
    said = sayer.say(words("slot {way}", way=Name(way)))
    if base in sayer.references.by_name:
        said = sayer.say(words("tap, {point}", point=Name(f"{sayer.references.of(base)} {side}")))
        return [Cell(kind="slot", name=way, above=(Line(cut(said, _SLOT)),), thick=1.0)]
    block = sayer.nets.nodes[root].owner
    return [Cell(kind="slot", name=f"{block} {way}", above=(Line(cut(said, _SLOT)),), thick=1.0)]


def _plain() -> Cell:
    """A rung with nothing on it: two nodes that are one piece of metal."""
    return Cell(kind="joined", name="")


def bar_height(lines: list[Line]) -> float:
    """Room that the texts in a bar take."""
    return LEADING * len(lines) + 0.4 * SIZE + 4.0
