"""Where the volts of a circuit go: a stair from its source through each piece to the load and back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from groundstrap.records import dataclass
from groundstrap.report.drawing import Box, Sheet, text_width, wrapped

__all__ = ["Fall", "Say", "Stair", "volts_picture"]

_WIDTH: Final = 370.0
"""That of a phone, less the rims of its page."""
_RIM: Final = 10.0
_TEXT, _TITLE = 13.0, 15.0
_LINE: Final = 17.0
_BAR, _GAP = 9.0, 7.0
_LEAST: Final = 1.5
"""A bar that would be too thin to be seen is drawn as wide as this."""
_BLUE, _RED, _TRACK, _BLACK = "#1d4f91", "#a3160d", "#e4e4e4", "#000"

Say = Callable[[str], str]
"""Puts a text in the language that is wanted."""


@dataclass(frozen=True, slots=True)
class Fall:
    """One piece: its name, what it takes as a text and in volts; none of a mere place, such as the load."""

    name: str
    told: str
    lost_v: float | None = None
    """Negative where others push the current back. [V]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stair:
    """A whole way: its pieces, what all lose together, and what is allowed."""

    title: str
    words: str
    falls: tuple[Fall, ...]
    total: Fall
    limit: Fall | None


def volts_picture(stair: Stair, say: Say = str) -> str:
    """Return the stair as SVG: a row for each piece, each bar beginning where the one before it ended.

    >>> stair = Stair(title="pump", words="", falls=(Fall("wire", "0.2 V", 0.2), Fall("= pump", "11.8 V")),
    ...     total=Fall("lost", "0.2 V", 0.2), limit=Fall("allowed", "0.6 V", 0.6))
    >>> volts_picture(stair).count("<rect")
    5
    """
    sheet = Sheet(_WIDTH, say(stair.title), say(stair.words))
    y = _RIM
    for line in wrapped(say(stair.title), _TITLE, _WIDTH - 2 * _RIM):
        y += _TITLE * 1.25
        sheet.text(line, _RIM, y, _TITLE)
    y += _GAP
    limit_v = None if stair.limit is None else stair.limit.lost_v
    most_v = 1.05 * max(_highest(stair), limit_v or 0.0)
    before_v = 0.0
    for fall in stair.falls:
        y = _named(sheet, fall, y, say)
        if fall.lost_v is not None and most_v > 0.0:
            y = _bar(
                sheet, y, (before_v / most_v, (before_v + fall.lost_v) / most_v), _share(limit_v, most_v)
            )
            before_v += fall.lost_v
    sheet.line([(_RIM, y + 2.0), (_WIDTH - _RIM, y + 2.0)], _BLACK, 1.0)
    y = _named(sheet, stair.total, y + 4.0, say)
    if most_v > 0.0:
        y = _bar(sheet, y, (0.0, before_v / most_v), _share(limit_v, most_v))
    if stair.limit is not None:
        y = _named(sheet, stair.limit, y, say, _RED)
    return sheet.svg(y + _RIM)


def _highest(stair: Stair) -> float:
    """The most that is lost on the way anywhere."""
    most_v = lost_v = 0.0
    for fall in stair.falls:
        lost_v += fall.lost_v or 0.0
        most_v = max(most_v, lost_v)
    return most_v


def _share(limit_v: float | None, most_v: float) -> float | None:
    return None if limit_v is None else limit_v / most_v


def _named(sheet: Sheet, fall: Fall, y: float, say: Say, mark: str = "") -> float:
    """Write the name at the left and the volts at the right, in as many lines as the name takes."""
    told = say(fall.told)
    room = _WIDTH - 3 * _RIM - text_width(told, _TEXT) - (12.0 if mark else 0.0)
    left = _RIM
    if mark:
        sheet.line([(_RIM + 3.0, y + 5.0), (_RIM + 3.0, y + 17.0)], mark, 2.0, "3 2")
        left += 12.0
    for number, line in enumerate(wrapped(say(fall.name), _TEXT, room)):
        y += _LINE
        sheet.text(line, left, y - 3.0, _TEXT)
        if number == 0:
            sheet.text(told, _WIDTH - _RIM, y - 3.0, _TEXT, "end")
    return y


def _bar(sheet: Sheet, y: float, ends: tuple[float, float], limit: float | None) -> float:
    """Draw a bar from one share of the width to another on its track, with a tick where the limit is."""
    wide = _WIDTH - 2 * _RIM
    sheet.rectangle(Box(_RIM, y + 1.0, _WIDTH - _RIM, y + 1.0 + _BAR), fill=_TRACK)
    left, right = (_RIM + max(0.0, share) * wide for share in sorted(ends))
    over = limit is not None and max(ends) > limit
    box = Box(left, y + 1.0, max(right, left + _LEAST), y + 1.0 + _BAR)
    sheet.rectangle(box, fill=_RED if over else _BLUE)
    if limit is not None:
        x = _RIM + limit * wide
        sheet.line([(x, y), (x, y + _BAR + 2.0)], _RED, 2.0, "3 2")
    return y + _BAR + _GAP
