"""The wiring drawing for a phone: one column that scrolls down, each circuit from its source to its end.

It shows what the sheets show, in the same order and with the same numbers; `#12` is row 12 of it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from groundstrap.draw.canvas import ASCENT, Canvas, Drawn, wide, wrap
from groundstrap.draw.cells import SIZE, Cell, Line, Place, Sayer, alone
from groundstrap.draw.nets import Comb, Item, Nets, Node, Role, Rung, nets
from groundstrap.draw.strips import slot_cells
from groundstrap.draw.symbols import Pen, draw_chassis
from groundstrap.draw.wiring import sayer_of, things_of
from groundstrap.model import State, Wire
from groundstrap.records import dataclass
from groundstrap.report.drawing import Box
from groundstrap.report.figures import Display
from groundstrap.report.language import ENGLISH, Language
from groundstrap.report.plan import Plan
from groundstrap.report.stamp import stamp_words
from groundstrap.words import Name, words

__all__ = ["COMPACT_WIDTH", "wiring_compact"]

COMPACT_WIDTH: Final = 390.0
"""Of a usual phone, in dots of its screen."""
_TEXT: Final = 13.0
_LEAD: Final = 17.0
_RIM: Final = 10.0
_RAIL: Final = 16.0
"""Where the line of a node runs down beside all that begins at it."""
_TRACK: Final = 46.0
"""Where the line runs down."""
_BESIDE: Final = 70.0
"""Where its texts begin."""
_BACK: Final = 290.0
"""Where the way back runs beside a way out with several loads."""
_LAST: Final = 376.0
_BOX: Final = COMPACT_WIDTH - 2 * _RIM - _RAIL - 16.0
_WHOLE: Final = COMPACT_WIDTH - _BESIDE - _RIM
"""Room of a text beside the line; beside a way out with the way back next to it; of a load between both."""
_OUT: Final = _BACK - _BESIDE - 10.0
_LOAD: Final = _BACK - _TRACK - 20.0
_DROP: Final = _LEAD + 12.0
"""From the cable before a load to the load."""
_SCALE: Final = SIZE / _TEXT


Made = Callable[[Item, float], Cell]


@dataclass(slots=True)
class _Column:
    """Draws from the top down."""

    canvas: Canvas
    sayer: Sayer
    places: Mapping[Place, str]
    y: float = 0.0

    def resolve(self, line: Line) -> str:
        """The text of a line with the rows that it refers to."""
        return line.resolved(self.places)

    def knows(self, place: Place) -> bool:
        """Whether there is a row for it."""
        return place in self.places

    def line(self, line: Line, x: float, y: float) -> None:
        """One line of text whose top is at a height."""
        self.canvas.text(self.resolve(line), x, y + ASCENT * _TEXT, _TEXT, bold=line.bold)

    def box(self, node: Node, lines: Sequence[Line], *, first: bool) -> None:
        """The box of a node, at the left where something begins at it."""
        left = _RIM if first else _RAIL + _RIM
        sign = 14.0 if node.role is Role.CHASSIS else 0.0
        height = _LEAD * len(lines) + 8.0 + sign
        with self.canvas.group("node", node.owner):
            box = Box(left, self.y, COMPACT_WIDTH - _RIM, self.y + height)
            self.canvas.rectangle(box, width=3.0 if first else 1.0)
            for number, line in enumerate(lines):
                self.line(line, left + 8.0, self.y + 4.0 + number * _LEAD)
            if sign:
                draw_chassis(self.canvas, left + 20.0, self.y + height - 10.0)
        self.y += height

    def down(self, by: float, cell: Cell | None = None, x: float = _TRACK) -> None:
        """A piece of plain line."""
        dashes, thick = ("", 1.2) if cell is None else (cell.dashes, cell.thick if cell.wire else 1.2)
        self.canvas.line([(x, self.y), (x, self.y + by)], thick, dashes)
        self.y += by

    def cell(self, cell: Cell, room: float = _WHOLE) -> None:
        """One thing on the line, its texts beside it."""
        lines = _lines_of(cell, room)
        half = 0.0 if cell.symbol is None else cell.symbol.half_u
        height = max(_LEAD * len(lines) + 8.0, 2 * half + 14.0)
        top, middle = self.y, self.y + height / 2
        with self.canvas.group(cell.kind, cell.name):
            if cell.symbol is None:
                thick = cell.thick if cell.wire else 1.2
                self.canvas.line([(_TRACK, top), (_TRACK, top + height)], thick, cell.dashes)
                if cell.removed:
                    self._cross(_TRACK, middle)
            else:
                self.canvas.line([(_TRACK, top), (_TRACK, middle - half)], 1.2, cell.dashes)
                self.canvas.line([(_TRACK, middle + half), (_TRACK, top + height)], 1.2, cell.after)
                cell.symbol.draw(Pen(self.canvas, _TRACK, middle, down=True))
                for test, y in (
                    (cell.left_test, middle - half - 3.0),
                    (cell.right_test, middle + half + 3.0),
                ):
                    if test:
                        self.canvas.circle(_TRACK, y, 2.2, fill="#fff")
            first = middle - _LEAD * len(lines) / 2 + 1.0
            for number, line in enumerate(lines):
                self.line(line, _BESIDE, first + number * _LEAD)
        self.y = top + height

    def _cross(self, x: float, y: float) -> None:
        self.canvas.line([(x - 4.0, y - 4.0), (x + 4.0, y + 4.0)], 1.4)
        self.canvas.line([(x - 4.0, y + 4.0), (x + 4.0, y - 4.0)], 1.4)

    def comb(self, comb: Comb, made: Made) -> None:
        """Loads between the way out at the left and the way back at the right."""
        for item in comb.before:
            self.cell(made(item, _WHOLE))
        first = 0.0
        for number, load in enumerate(comb.loads):
            last = number == len(comb.loads) - 1
            at = self._across(made(load, _LOAD), last=last)
            first = first or at
            if not last:
                out = [made(item, _OUT) for item in comb.out[number]]
                back = [made(item, _LAST - _BACK - 16.0) for item in comb.back[number]]
                self._beside(out, back[0], at)
        self.y += 12.0
        self.canvas.line([(_BACK, first), (_LAST, first), (_LAST, self.y), (_TRACK, self.y)], 1.2)
        if len(comb.loads) > 1:
            self.canvas.circle(_BACK, first, 2.2, fill="#000")
        for item in comb.behind:
            self.cell(made(item, _WHOLE))

    def _across(self, cell: Cell, *, last: bool) -> float:
        """A load from the way out to the way back; the height of its line."""
        assert cell.symbol is not None
        self.down(_DROP)
        middle, y = (_TRACK + _BACK) / 2, self.y
        half = cell.symbol.half_u
        with self.canvas.group(cell.kind, cell.name):
            self.canvas.line([(_TRACK, y), (middle - half, y)], 1.2, cell.dashes)
            self.canvas.line([(middle + half, y), (_BACK, y)], 1.2, cell.dashes)
            cell.symbol.draw(Pen(self.canvas, middle, y))
            left = f"{cell.left_test} {cell.left}".strip()
            right = f"{cell.right} {cell.right_test}".strip()
            up = y - 5.0
            self.canvas.text(left, middle - half - 4.0, up, _TEXT, anchor="end")
            self.canvas.text(right, middle + half + 4.0, up, _TEXT)
            top = y + cell.symbol.half_v + 3.0
            for number, line in enumerate((*cell.above, *cell.below)):
                at = top + number * _LEAD + ASCENT * _TEXT
                self.canvas.text(self.resolve(line), middle, at, _TEXT, anchor="middle", bold=line.bold)
        if not last:
            self.canvas.circle(_TRACK, y, 2.2, fill="#000")
        height = cell.symbol.half_v + 6.0 + _LEAD * (len(cell.above) + len(cell.below))
        if not last:
            self.canvas.line([(_TRACK, y), (_TRACK, y + height)], 1.2)
        self.y = y + height
        return y

    def _beside(self, out: list[Cell], back: Cell, load: float) -> None:
        """Cable out and cable back between two loads, beside each other."""
        top = self.y
        for cell in out:
            self.cell(cell, _OUT)
        lines = (*back.above, *back.below)
        self.down(max(0.0, top + _LEAD * len(lines) - self.y))
        with self.canvas.group(back.kind, back.name):
            self.canvas.line([(_BACK, load), (_BACK, self.y + _DROP)], back.thick, back.dashes)
            for number, line in enumerate(lines):
                self.line(line, _BACK + 8.0, top + number * _LEAD)


def _lines_of(cell: Cell, room: float) -> list[Line]:
    """What stands beside a thing, from its upper pin to its lower one; of cable on one line if it fits."""
    first, last = f"{cell.left} {cell.left_test}".strip(), f"{cell.right} {cell.right_test}".strip()
    middle = [*cell.above, *cell.below]
    if cell.kind == "wire":
        joined = Line(" · ".join(line.text for line in middle))
        if joined.width(_TEXT) <= room:
            return [joined]
    return [*([Line(first)] if first else []), *middle, *([Line(last)] if last else [])]


def _many_backs(found: Nets) -> frozenset[str]:
    """Circuits with several loads that have more than one single cable back between two of them."""
    combs = [rung for _, rungs in found.groups for rung in rungs if rung.comb is not None]
    return frozenset(
        rung.circuit.name
        for rung in combs
        if rung.comb is not None
        and rung.circuit is not None
        and not all(_is_single(piece) for piece in rung.comb.back)
    )


def _is_single(piece: Sequence[Item]) -> bool:
    return len(piece) == 1 and isinstance(piece[0], Wire) and piece[0].parallel == 1


def wiring_compact(plan: Plan, *, shown: Display | None = None, language: Language = ENGLISH) -> Drawn:
    """Return the wiring drawing of a plan as one column for a phone.

    Source: iec-60617 (symbols), iec-81346-2 (letters), din-72552 (terminals), iec-60757 (colours).
    """
    found = nets(plan.installation)
    if apart := _many_backs(found):
        found = nets(plan.installation, apart)
    sayer = sayer_of(plan, shown or Display.of(plan.installation), language, found)
    sayer.each_drawn = False
    canvas = Canvas("wiring-compact", COMPACT_WIDTH, screen=True)
    column = _Column(canvas, sayer, _places(found), 12.0)
    title = words("{title}: wiring", title=Name(plan.installation.title))
    for text in wrap(sayer.say(title), 17.0, COMPACT_WIDTH - 2 * _RIM, bold=True):
        canvas.text(text, _RIM, column.y + 0.8 * 17.0, 17.0, bold=True)
        column.y += 22.0
    for text in wrap(sayer.say(stamp_words(plan)), _TEXT, COMPACT_WIDTH - 2 * _RIM, bold=True):
        column.line(Line(text, bold=True), _RIM, column.y)
        column.y += _LEAD
    note = words(
        "On each cable its number, size and length, and its colour where one is written. # and a number: "
        "see the row of that number."
    )
    _paragraph(column, sayer.say(note))
    row = 0
    for root, rungs in found.groups:
        column.y += 14.0
        column.box(found.nodes[root], _whole_node(sayer, found.nodes[root]), first=True)
        top = branch = column.y
        for rung in rungs:
            row += 1
            branch = column.y + 10.0
            _draw_rung(column, rung, row)
        canvas.line([(_RAIL, top), (_RAIL, branch)], 3.0)
    column.y += 14.0
    for gear in found.alone:
        _paragraph(column, alone(gear, sayer))
    return canvas.drawn(sayer.say(title), sayer.say(note), column.y + 12.0)


def _paragraph(column: _Column, text: str) -> None:
    for line in wrap(text, _TEXT, COMPACT_WIDTH - 2 * _RIM):
        column.line(Line(line), _RIM, column.y)
        column.y += _LEAD


def _whole_node(sayer: Sayer, node: Node) -> list[Line]:
    return sayer.bar(node, most=_BOX * _SCALE, home=True, places=())


def _draw_rung(column: _Column, rung: Rung, row: int) -> None:
    """One rung under the box that it begins at, with the box that it ends at."""
    sayer = column.sayer
    state = State.NEW if rung.circuit is None else rung.circuit.state

    def made(item: Item, room: float) -> Cell:
        sayer.most = room * _SCALE - 10.0
        return sayer.cell(item, state)

    column.y += 10.0
    column.canvas.line([(_RAIL, column.y), (_TRACK, column.y)], 1.2)
    number = sayer.say(words("row {number}", number=Name(row)))
    room = COMPACT_WIDTH - _BESIDE - _RIM - wide(number, _TEXT) - 14.0
    heading = wrap(sayer.heading(rung), _TEXT, room, bold=True) or [""]
    column.canvas.text(number, COMPACT_WIDTH - _RIM, column.y + ASCENT * _TEXT, _TEXT, anchor="end")
    for text in heading:
        if text:
            column.line(Line(text, bold=True), _BESIDE, column.y)
        column.down(_LEAD)
    for cell in slot_cells(rung.left_way, rung.left, sayer):
        column.cell(cell)
    if rung.comb is not None:
        column.comb(rung.comb, made)
    for item in rung.items:
        column.cell(made(item, _WHOLE))
    for cell in slot_cells(rung.right_way, rung.right, sayer):
        column.cell(cell)
    column.down(8.0)
    node = column.sayer.nets.nodes[rung.right]
    key: Place = ("node", rung.right)
    lines = sayer.bar(node, most=_BOX * _SCALE, home=False, places=(key,) if column.knows(key) else ())
    column.box(node, lines, first=False)


def _places(found: Nets) -> dict[Place, str]:
    """Row of everything that a text refers to."""
    places: dict[Place, str] = {}
    row = 0
    for root, rungs in found.groups:
        places[("node", root)] = f"#{row + 1}"
        for rung in rungs:
            row += 1
            for key in things_of(rung):
                places.setdefault(key, f"#{row}")
    return places
