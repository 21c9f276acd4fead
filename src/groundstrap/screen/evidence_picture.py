"""What a load is said to take against what it can: claims, readings, fitted parts over a scale of watts."""

from __future__ import annotations

from typing import Final

from groundstrap.records import dataclass
from groundstrap.report.drawing import Box, Sheet, text_width, wrapped
from groundstrap.report.figures import number
from groundstrap.screen.volts_picture import Say

__all__ = ["Kind", "Row", "Scene", "evidence_picture"]

_WIDTH: Final = 370.0
_RIM: Final = 10.0
_TEXT, _TITLE, _SMALL = 13.0, 15.0, 11.0
_LINE: Final = 17.0
_BAR: Final = 12.0
_BEYOND: Final = 3.0
"""A part that lets through more than so many times what all else says has an arrow in place of its end."""
_BLUE, _RED, _GREY, _BAND, _BLACK = "#1d4f91", "#a3160d", "#666", "#dfe8d5", "#000"

Kind = str
"""`estimate`, `claim`, `reading` or `bound`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One thing that says something about the power: a span of watts; one that is open ends at an arrow."""

    name: str
    told: str
    kind: Kind
    low_w: float | None
    high_w: float
    wrong: bool = False
    """A claim that cannot be so, or that is not met."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """All rows over one scale, and the estimate that is drawn as a band behind them."""

    title: str
    words: str
    rows: tuple[Row, ...]
    low_w: float | None
    high_w: float | None


def evidence_picture(scene: Scene, say: Say = str) -> str:
    """Return the scene as SVG.

    >>> row = Row(name="label", told="300 W", kind="claim", low_w=300.0, high_w=300.0, wrong=True)
    >>> "300 W" in evidence_picture(Scene(title="heater", words="", rows=(row,), low_w=160.0, high_w=178.0))
    True
    """
    sheet = Sheet(_WIDTH, say(scene.title), say(scene.words))
    y = _RIM
    for line in wrapped(say(scene.title), _TITLE, _WIDTH - 2 * _RIM):
        y += _TITLE * 1.25
        sheet.text(line, _RIM, y, _TITLE)
    y += 8.0
    most_w = _most_w(scene)
    for row in scene.rows:
        y = _row(sheet, row, y, most_w, scene, say)
    return sheet.svg(_axis(sheet, y, most_w) + _RIM)


def _most_w(scene: Scene) -> float:
    """Where the scale ends: parts that let through far more than anything else is about lie beyond it."""
    told_w = max((row.high_w for row in scene.rows if row.kind != "bound"), default=0.0)
    bounds_w = [row.high_w for row in scene.rows if row.kind == "bound"]
    near_w = [power_w for power_w in bounds_w if power_w <= _BEYOND * told_w] if told_w else bounds_w
    return 1.08 * max(told_w, *near_w, 1e-3)


def _x(power_w: float, most_w: float) -> float:
    return _RIM + (_WIDTH - 2 * _RIM) * power_w / most_w


def _row(sheet: Sheet, row: Row, y: float, most_w: float, scene: Scene, say: Say) -> float:
    told = say(row.told)
    room = _WIDTH - 3 * _RIM - text_width(told, _TEXT)
    for count, line in enumerate(wrapped(say(row.name), _TEXT, room)):
        y += _LINE
        sheet.text(line, _RIM, y - 3.0, _TEXT)
        if count == 0:
            sheet.text(told, _WIDTH - _RIM, y - 3.0, _TEXT, "end")
    if scene.low_w is not None and scene.high_w is not None:
        band = Box(
            _x(scene.low_w, most_w), y, max(_x(scene.high_w, most_w), _x(scene.low_w, most_w) + 2), y + 16
        )
        sheet.rectangle(band, fill=_BAND)
    middle = y + 8.0
    sheet.line([(_RIM, middle), (_WIDTH - _RIM, middle)], "#ddd", 1.0)
    _mark(sheet, row, middle, most_w)
    return y + 20.0


def _mark(sheet: Sheet, row: Row, y: float, most_w: float) -> None:
    """Draw a row's span: a bar, a stroke where it is a single value, an arrow where it goes on below."""
    colour = _RED if row.wrong else {"claim": _BLACK, "bound": _GREY}.get(row.kind, _BLUE)
    right = _x(min(row.high_w, most_w), most_w)
    if row.kind == "bound" and row.high_w > most_w:
        sheet.line([(_RIM, y), (right, y)], colour, 2.0, "6 3")
        sheet.line([(right - 8.0, y - 5.0), (right, y), (right - 8.0, y + 5.0)], colour, 2.0)
        return
    if row.kind == "bound":
        sheet.line([(_RIM, y), (right, y)], colour, 2.0, "6 3")
        sheet.line([(right, y - 7.0), (right, y + 7.0)], colour, 3.0)
        return
    left = right if row.low_w is None else _x(row.low_w, most_w)
    if right - left < 3.0:
        middle = (left + right) / 2
        sheet.line([(middle, y - 7.0), (middle, y + 7.0)], colour, 4.0)
        return
    sheet.rectangle(Box(left, y - _BAR / 2, right, y + _BAR / 2), fill=colour)


def _axis(sheet: Sheet, y: float, most_w: float) -> float:
    """Draw the scale under the rows, with five numbers at the most."""
    sheet.line([(_RIM, y), (_WIDTH - _RIM, y)], _BLACK, 1.0)
    step = _step(most_w)
    value = 0.0
    while value <= most_w:
        x = _x(value, most_w)
        sheet.line([(x, y), (x, y + 5.0)], _BLACK, 1.0)
        text = f"{number(value)} W"
        half = text_width(text, _SMALL) / 2
        sheet.text(text, min(max(x, _RIM + half), _WIDTH - _RIM - half), y + 17.0, _SMALL, "middle")
        value += step
    return y + 20.0


def _step(most_w: float) -> float:
    """A round number that divides the scale in four or less.

    >>> _step(330.0), _step(9.0), _step(1400.0)
    (100.0, 5.0, 500.0)
    """
    power = 1.0
    while power * 10.0 < most_w / 4:
        power *= 10.0
    while power > most_w / 4:
        power /= 10.0
    return next(power * each for each in (1.0, 2.0, 5.0, 10.0) if power * each >= most_w / 4)
