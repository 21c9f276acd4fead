"""Symbols after the idea of IEC 60617, drawn about a point of the line that passes them.

Each is drawn along the line, `u` with it and `v` across; turned, the line runs down the page. They are black
strokes only, so that a copy of a copy still shows them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from groundstrap.draw.canvas import Canvas
from groundstrap.records import dataclass
from groundstrap.report.drawing import Box, Point

__all__ = ["Pen", "Symbol", "draw_chassis", "several", "symbol"]

_THIN: Final = 0.8
_LETTER: Final = 8.0
"""Size of a letter in a symbol."""
_DRAWN_ALIKE: Final = 3
"""Things alike that are all drawn; of more the first and the last."""
_TO_JOINT: Final = 6.0
"""From things alike to the joint that they hang on."""
_DOTS: Final = 2.5
"""Room on each side of the axis for the dots that stand for those between."""


@dataclass(frozen=True, slots=True)
class Pen:
    """Draws about a point, along the page or down it."""

    canvas: Canvas
    x: float
    y: float
    down: bool = False

    def at(self, u: float, v: float) -> Point:
        """Where a point of the symbol lies on the page."""
        return (self.x + v, self.y + u) if self.down else (self.x + u, self.y + v)

    def line(self, *points: Point, width: float = _THIN, dashes: str = "") -> None:
        """Draw a line of straight pieces."""
        self.canvas.line([self.at(u, v) for u, v in points], width, dashes)

    def area(self, *points: Point) -> None:
        """Fill an area."""
        self.canvas.area([self.at(u, v) for u, v in points])

    def box(self, u: float, v: float, *, width: float = _THIN) -> None:
        """Draw a rectangle about the middle, half as long and half as high as given."""
        (left, top), (right, bottom) = self.at(-u, -v), self.at(u, v)
        self.canvas.rectangle(Box(left, top, right, bottom), width=width)

    def circle(self, u: float, v: float, radius: float, *, fill: str = "none") -> None:
        """Draw a circle."""
        x, y = self.at(u, v)
        self.canvas.circle(x, y, radius, fill=fill)

    def letter(self, text: str) -> None:
        """Write a letter in the middle."""
        self.canvas.text(text, self.x, self.y + 0.28 * _LETTER, _LETTER, anchor="middle")


@dataclass(frozen=True, slots=True)
class Symbol:
    """How far a symbol reaches along the line and across it, and how it is drawn."""

    half_u: float
    half_v: float
    draw: Callable[[Pen], None]
    low: float | None = None
    """How far it reaches under the line, where that is less than over it."""

    @property
    def under(self) -> float:
        """How far it reaches under the line."""
        return self.half_v if self.low is None else self.low


def _fuse(pen: Pen) -> None:
    pen.box(11.0, 4.5)
    pen.line((-11.0, 0.0), (11.0, 0.0))


def _blade(pen: Pen, half: float) -> None:
    """A contact that is open: its blade rises over the gap."""
    pen.circle(-half, 0.0, 1.2, fill="#000")
    pen.line((-half, 0.0), (half - 1.5, -7.0), width=1.1)
    pen.circle(half, 0.0, 1.2, fill="#000")


def _breaker(pen: Pen) -> None:
    _blade(pen, 11.0)
    pen.line((8.5, -2.5), (13.5, 2.5))
    pen.line((8.5, 2.5), (13.5, -2.5))
    pen.box(3.0, 2.6)


def _switch(pen: Pen) -> None:
    _blade(pen, 11.0)
    pen.line((0.0, -4.0), (0.0, -10.5), dashes="2 1.2")
    pen.line((-3.5, -10.5), (3.5, -10.5))


def _isolator(pen: Pen) -> None:
    _blade(pen, 11.0)
    pen.line((11.0, -4.5), (11.0, 4.5))


def _contact(pen: Pen) -> None:
    _blade(pen, 11.0)
    pen.line((0.0, -4.0), (0.0, -7.0), dashes="1 1")


def _coil(pen: Pen) -> None:
    pen.box(6.0, 9.0)
    pen.line((-6.0, 9.0), (6.0, -9.0))


def _connector(pen: Pen) -> None:
    pen.line((-3.0, -5.0), (-6.0, -3.2), (-7.0, 0.0), (-6.0, 3.2), (-3.0, 5.0), width=1.1)
    pen.line((-9.0, 0.0), (-7.0, 0.0))
    pen.area((-4.0, -2.0), (4.0, -2.0), (4.0, 2.0), (-4.0, 2.0))
    pen.line((4.0, 0.0), (9.0, 0.0))


def _sensor(pen: Pen) -> None:
    pen.box(9.0, 6.0)
    pen.line((-9.0, 0.0), (-4.0, 0.0), (-2.0, -4.0), (2.0, 4.0), (4.0, 0.0), (9.0, 0.0))


def _diode(pen: Pen) -> None:
    pen.line((-8.0, 0.0), (8.0, 0.0))
    pen.area((-4.5, -5.0), (-4.5, 5.0), (4.5, 0.0))
    pen.line((4.5, -5.0), (4.5, 5.0), width=1.2)


def _resistor(pen: Pen) -> None:
    pen.box(11.0, 4.0)


def _joint(pen: Pen) -> None:
    pen.line((-6.0, 0.0), (6.0, 0.0))
    pen.circle(0.0, 0.0, 2.2, fill="#000")


def _unknown(pen: Pen) -> None:
    pen.box(9.0, 7.5)
    pen.letter("?")


def _lamp(pen: Pen) -> None:
    pen.circle(0.0, 0.0, 9.0)
    pen.line((-6.36, -6.36), (6.36, 6.36))
    pen.line((-6.36, 6.36), (6.36, -6.36))


def _led(pen: Pen) -> None:
    pen.circle(0.0, 0.0, 9.0)
    pen.line((-9.0, 0.0), (9.0, 0.0))
    pen.area((-3.5, -4.0), (-3.5, 4.0), (3.5, 0.0))
    pen.line((3.5, -4.0), (3.5, 4.0), width=1.2)


def _heater(pen: Pen) -> None:
    pen.box(11.0, 5.5)
    for u in (-6.6, -2.2, 2.2, 6.6):
        pen.line((u, -5.5), (u, 5.5))


def _ptc(pen: Pen) -> None:
    pen.box(11.0, 5.5)
    pen.line((-9.0, 8.5), (-5.0, 8.5), (7.0, -8.5))


def _round(letter: str) -> Callable[[Pen], None]:
    def draw(pen: Pen) -> None:
        pen.circle(0.0, 0.0, 10.0)
        pen.letter(letter)

    return draw


def _electronics(pen: Pen) -> None:
    pen.box(11.0, 9.0)
    pen.box(5.0, 4.0)


def _other(pen: Pen) -> None:
    pen.box(11.0, 9.0)


def _bars(pen: Pen, u: float, v: float) -> None:
    """The sign of direct current: a whole line over a broken one."""
    pen.line((u - 3.2, v - 1.2), (u + 3.2, v - 1.2))
    pen.line((u - 3.2, v + 1.2), (u - 1.2, v + 1.2))
    pen.line((u + 1.2, v + 1.2), (u + 3.2, v + 1.2))


def _wave(pen: Pen, u: float, v: float) -> None:
    pen.line((u - 3.6, v), (u - 1.8, v - 1.8), (u, v), (u + 1.8, v + 1.8), (u + 3.6, v))


def _converter(
    first: Callable[[Pen, float, float], None], then: Callable[[Pen, float, float], None]
) -> Callable[[Pen], None]:
    def draw(pen: Pen) -> None:
        pen.box(11.0, 10.0)
        pen.line((-11.0, 10.0), (11.0, -10.0))
        first(pen, -5.0, -4.5)
        then(pen, 5.0, 4.5)

    return draw


def _battery(pen: Pen) -> None:
    pen.line((-11.0, 0.0), (-6.0, 0.0))
    for u in (-6.0, 3.0):
        pen.line((u, -9.0), (u, 9.0), width=_THIN)
        pen.line((u + 3.0, -4.5), (u + 3.0, 4.5), width=2.2)
    pen.line((-3.0, 0.0), (3.0, 0.0), dashes="1.2 1.2")
    pen.line((6.0, 0.0), (11.0, 0.0))


def _alternator(pen: Pen) -> None:
    pen.circle(0.0, 0.0, 11.0)
    pen.canvas.text("G", pen.x, pen.y + 1.0, _LETTER, anchor="middle")
    x, y = pen.x, pen.y + 6.2
    pen.canvas.line([(x - 3.6, y), (x - 1.8, y - 1.8), (x, y), (x + 1.8, y + 1.8), (x + 3.6, y)], _THIN)


def _solar(pen: Pen) -> None:
    pen.box(11.0, 8.0)
    for u in (-3.7, 3.7):
        pen.line((u, -8.0), (u, 8.0))
    for u in (-6.0, 0.0):
        pen.line((u, -14.0), (u + 4.0, -9.5), (u + 4.0, -11.5))
        pen.line((u + 4.0, -9.5), (u + 2.0, -9.5))


_SYMBOLS: Final[Mapping[str, Symbol]] = {
    "fuse": Symbol(11.0, 4.5, _fuse),
    "breaker": Symbol(13.5, 7.5, _breaker, 3.0),
    "switch": Symbol(12.2, 11.0, _switch, 2.0),
    "isolator": Symbol(12.2, 7.5, _isolator, 4.5),
    "relay": Symbol(12.2, 7.5, _contact, 2.0),
    "coil": Symbol(6.0, 9.0, _coil),
    "connector": Symbol(9.0, 5.0, _connector),
    "sensor": Symbol(9.0, 6.0, _sensor),
    "diode": Symbol(8.0, 5.0, _diode),
    "resistor": Symbol(11.0, 4.0, _resistor),
    "joint": Symbol(6.0, 2.2, _joint),
    "unknown": Symbol(9.0, 7.5, _unknown),
    "lamp": Symbol(9.0, 9.0, _lamp),
    "led": Symbol(9.0, 9.0, _led),
    "heater": Symbol(11.0, 5.5, _heater),
    "ptc heater": Symbol(11.0, 8.5, _ptc),
    "motor": Symbol(10.0, 10.0, _round("M")),
    "pump": Symbol(10.0, 10.0, _round("M")),
    "fan": Symbol(10.0, 10.0, _round("M")),
    "compressor": Symbol(10.0, 10.0, _round("M")),
    "starter": Symbol(10.0, 10.0, _round("M")),
    "electronics": Symbol(11.0, 9.0, _electronics),
    "other": Symbol(11.0, 9.0, _other),
    "inverter": Symbol(11.0, 10.0, _converter(_bars, _wave)),
    "charger": Symbol(11.0, 10.0, _converter(_bars, _bars)),
    "dc-dc": Symbol(11.0, 10.0, _converter(_bars, _bars)),
    "solar charger": Symbol(11.0, 10.0, _converter(_bars, _bars)),
    "mains charger": Symbol(11.0, 10.0, _converter(_wave, _bars)),
    "battery": Symbol(11.0, 9.0, _battery),
    "alternator": Symbol(11.0, 11.0, _alternator),
    "solar": Symbol(11.0, 14.0, _solar, 8.0),
}


def symbol(kind: str) -> Symbol:
    """Return the symbol of a kind of part, load or supply.

    Source: iec-60617 (the idea of each symbol), from memory.

    >>> symbol("fuse").half_u
    11.0
    """
    return _SYMBOLS[kind]


def several(one: Symbol, count: int) -> Symbol:
    """Return things alike side by side between two joints; more than three as the first and the last.

    Source: iec-60617 (joints of conductors as dots), from memory.

    >>> several(symbol("lamp"), 2).half_v, several(symbol("lamp"), 2).half_u
    (19.0, 15.0)
    """
    apart = one.half_v + 1.0
    places = (-2 * apart, 0.0, 2 * apart) if count == _DRAWN_ALIKE else (-apart, apart)
    if count > _DRAWN_ALIKE:
        places = (-apart - _DOTS, apart + _DOTS)
    ends, reach = one.half_u + _TO_JOINT, places[-1]

    def draw(pen: Pen) -> None:
        for v in places:
            one.draw(Pen(pen.canvas, *pen.at(0.0, v), pen.down))
            for side in (-1.0, 1.0):
                pen.line((side * one.half_u, v), (side * ends, v))
        for side in (-1.0, 1.0):
            pen.line((side * ends, -reach), (side * ends, reach))
            pen.circle(side * ends, 0.0, 1.4, fill="#000")
        if count > _DRAWN_ALIKE:
            for u in (-4.0, 0.0, 4.0):
                pen.circle(u, 0.0, 0.5, fill="#000")

    low = None if one.low is None else reach + one.low
    return Symbol(ends, reach + one.half_v, draw, low)


def draw_chassis(canvas: Canvas, x: float, y: float) -> None:
    """Draw the sign of a chassis under a point: a line with three slanting ones."""
    canvas.line([(x - 7.0, y), (x + 7.0, y)], 1.2)
    for left in (-7.0, 0.0, 7.0):
        canvas.line([(x + left, y), (x + left - 3.5, y + 5.0)])
