"""One circuit's fuse against its wire, load and faults: currents across, times up, both in decades."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import pairwise, product
from typing import Final

from groundstrap.assess import FuseCurves, TimeCurve
from groundstrap.model import Installation
from groundstrap.records import dataclass
from groundstrap.report.curve_words import Entry, entries
from groundstrap.report.drawing import (
    Box,
    Point,
    Sheet,
    clipped_area,
    clipped_lines,
    text_box,
    text_width,
    wrapped,
)
from groundstrap.report.figures import Display, amps, number
from groundstrap.words import words

__all__ = ["Picture", "pictures"]

_LEFT, _RIGHT = 74.0, 24.0
"""Rim at the left and the right of the field."""
_SHORTEST_S, _LONGEST_S = 1e-3, 36_000.0
_ROWS: Final = 4
"""Lines that the names over the field may take."""
_GREY, _BLUE, _BROWN, _BLACK = "#ccc", "#003a7d", "#7a3600", "#000"
_STROKES: Final[Mapping[str, tuple[str, float, str]]] = {
    "slowest": (_BLACK, 2.2, ""),
    "fastest": (_BLACK, 1.1, ""),
    "wire": (_BLUE, 4.0, ""),
    "load": (_BROWN, 3.0, "12 4 2.5 4"),
    "least": (_BLACK, 1.8, "8 5"),
    "most": (_BLACK, 2.4, "2 4"),
    "mark": (_BLACK, 0.8, ""),
}
"""Colour, width and dashes: each line is told by its dashes and width alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """How large everything is, and the language of the texts."""

    width: float
    high: float
    """Height of the field."""
    text: float
    title: float
    line: float
    """From one line of text to the next."""
    sample: float
    """How wide the sample beside a text of the legend is."""
    say: Callable[[str], str]
    narrow: bool = False
    """Whether it is a phone's."""


def _frame(say: Callable[[str], str], *, narrow: bool) -> _Frame:
    """Of a sheet of paper, or of a phone."""
    if narrow:
        return _Frame(
            width=370.0, high=330.0, text=11.0, title=15.0, line=14.5, sample=30.0, say=say, narrow=True
        )
    return _Frame(width=820.0, high=420.0, text=13.0, title=18.0, line=17.0, sample=44.0, say=say)


@dataclass(frozen=True, slots=True)
class Picture:
    """One file to write."""

    file: str
    circuit: str
    svg: str


def pictures(
    found: Mapping[str, tuple[FuseCurves, ...]],
    installation: Installation,
    shown: Display,
    say: Callable[[str], str] = str,
    *,
    narrow: bool = False,
) -> tuple[Picture, ...]:
    """Return a picture for every circuit with a fuse of known rating, each under a name of its own.

    `say` puts a text in the language that is wanted; `narrow` makes a picture for a phone.
    """
    taken: set[str] = set()
    frame = _frame(say, narrow=narrow)
    result = []
    for circuit, curves in found.items():
        file = _file_name(circuit, taken)
        result.append(Picture(file, circuit, _page(circuit, curves, installation, shown, frame)))
    return tuple(result)


_RESERVED: Final = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d)", re.IGNORECASE)
_LONGEST_NAME: Final = 60


def _file_name(circuit: str, taken: set[str]) -> str:
    """A name that every file system takes, and no other circuit has."""
    plain = unicodedata.normalize("NFKD", circuit).encode("ascii", "ignore").decode().lower()
    stem = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_LONGEST_NAME].strip("-") or "circuit"
    if _RESERVED.fullmatch(stem):
        stem = f"{stem}-circuit"
    name, number_ = stem, 2
    while name in taken:
        name, number_ = f"{stem}-{number_}", number_ + 1
    taken.add(name)
    return f"{name}.svg"


def _page(
    circuit: str, curves: Sequence[FuseCurves], installation: Installation, shown: Display, frame: _Frame
) -> str:
    title = frame.say(words("{circuit}: fuse against wire, load and faults", circuit=circuit))
    legends = [
        [Entry(entry.sample, frame.say(entry.text)) for entry in entries(each, installation, shown)]
        for each in curves
    ]
    sheet = Sheet(frame.width, title, " ".join(f"{entry.text}." for legend in legends for entry in legend))
    room = frame.width - 2 * _RIGHT
    y = 12.0
    for line in wrapped(title, frame.title, room):
        y += frame.title * 1.25
        sheet.text(line, _RIGHT, y, frame.title)
    y += 14.0
    for each, legend in zip(curves, legends, strict=True):
        if len(curves) > 1:
            for line in wrapped(each.fuse, frame.text + 2, room):
                y += frame.line + 2
                sheet.text(line, _RIGHT, y, frame.text + 2)
        y = _field(sheet, each, y, frame)
        y = _legend(sheet, legend, y + 14.0, frame) + 18.0
    return sheet.svg(y)


@dataclass(frozen=True, slots=True)
class _Scale:
    """Where a current and a time lie in the field."""

    box: Box
    least_a: float
    most_a: float

    def x(self, current_a: float) -> float:
        share = math.log(current_a / self.least_a) / math.log(self.most_a / self.least_a)
        return self.box.left + share * (self.box.right - self.box.left)

    def y(self, time_s: float) -> float:
        # What lasts for ever leaves the field at its top.
        time_s = min(time_s, 100 * _LONGEST_S)
        share = math.log(time_s / _SHORTEST_S) / math.log(_LONGEST_S / _SHORTEST_S)
        return self.box.bottom - share * (self.box.bottom - self.box.top)

    def points(self, curve: TimeCurve) -> list[Point]:
        return [(self.x(a), self.y(s)) for a, s in zip(curve.currents_a, curve.times_s, strict=True)]


def _field(sheet: Sheet, found: FuseCurves, top: float, frame: _Frame) -> float:
    """Draw the field with its curves; the height at which its axis ends."""
    marks, ends = _marks(found, frame.say), _ends(found)
    scale = _Scale(Box(_LEFT, 0.0, frame.width - _RIGHT, frame.high), *ends)
    flags = _flags([(scale.x(mark.current_a), mark.text) for mark in marks], frame)
    rows = 1 + max((flag.row for flag in flags), default=0)
    begin = top + rows * frame.line + 8.0
    scale = _Scale(Box(_LEFT, begin, frame.width - _RIGHT, begin + frame.high), *ends)
    _grid(sheet, scale, frame)
    lines = _curves(sheet, found, scale)
    for mark, flag in zip(marks, flags, strict=True):
        x, height = scale.x(mark.current_a), begin - flag.row * frame.line - 6.0
        lines.append([(x, scale.box.bottom), (x, scale.box.top)])
        sheet.line(lines[-1], *_STROKES[mark.stroke])
        sheet.line([(x, scale.box.top), (x, height - 8.0)], *_STROKES["mark"])
        sheet.text(mark.text, x + (5.0 if flag.anchor == "start" else -5.0), height, frame.text, flag.anchor)
    _closest(sheet, found, scale)
    _names(sheet, found, scale, lines, frame)
    return scale.box.bottom + 2.6 * frame.line


@dataclass(frozen=True, slots=True)
class _Mark:
    current_a: float
    text: str
    stroke: str


def _marks(found: FuseCurves, say: Callable[[str], str] = str) -> list[_Mark]:
    """Upright lines across the field, from left to right."""
    rating_a, over_a = found.rating_a, 1.35 * found.rating_a
    marks = [
        _Mark(rating_a, say(words("rating {rating}", rating=amps(rating_a))), "mark"),
        _Mark(over_a, say(words("1.35 x = {current}", current=amps(over_a))), "mark"),
    ]
    least_a, most_a = found.fault_least_a, found.fault_most_a
    if least_a is not None:
        marks.append(_Mark(least_a, say(words("least fault {fault}", fault=amps(least_a))), "least"))
    if most_a is not None:
        marks.append(_Mark(most_a, say(words("most fault {fault}", fault=amps(most_a))), "most"))
    return sorted((mark for mark in marks if mark.current_a > 0.0), key=lambda mark: mark.current_a)


def _ends(found: FuseCurves) -> tuple[float, float]:
    """Least and most current of the field: all that is marked lies in it."""
    every = [mark.current_a for mark in _marks(found)]
    if found.load.curve is not None:
        every += found.load.curve.currents_a
    if found.wire is not None:
        every.append(found.wire.for_ever_a)
    return min(*every, found.rating_a / 2) / 1.6, max(*every, 12.0 * found.rating_a) * 1.6


@dataclass(frozen=True, slots=True)
class _Flag:
    row: int
    anchor: str


def _flags(poles: Sequence[tuple[float, str]], frame: _Frame) -> list[_Flag]:
    """Where the names over the field stand: beside their own line, and no line runs through one."""
    for rows in range(1, _ROWS + 1):
        ways = [_Flag(row, anchor) for row in range(rows) for anchor in ("start", "end")]
        for chosen in product(ways, repeat=len(poles)):
            if _clear(poles, chosen, frame):
                return list(chosen)
    if not frame.narrow:
        raise AssertionError("four names in four rows always have room on paper")
    # On a phone two names may each need the other's side: a line then runs through one of them.
    middle = frame.width / 2
    return [_Flag(row, "start" if x < middle else "end") for row, (x, _) in enumerate(poles)]


def _clear(poles: Sequence[tuple[float, str]], chosen: Sequence[_Flag], frame: _Frame) -> bool:
    spans = []
    for (x, text), flag in zip(poles, chosen, strict=True):
        width = text_width(text, frame.text) + 5.0
        spans.append((x, x + width + 4.0) if flag.anchor == "start" else (x - width - 4.0, x))
    if any(left < 4.0 or right > frame.width - 4.0 for left, right in spans):
        return False
    for one, (left, right) in enumerate(spans):
        for other, (x, _) in enumerate(poles):
            if one == other:
                continue
            same_row = chosen[one].row == chosen[other].row
            if same_row and left < spans[other][1] and spans[other][0] < right:
                return False
            if chosen[other].row >= chosen[one].row and left < x < right:
                return False
    return True


def _grid(sheet: Sheet, scale: _Scale, frame: _Frame) -> None:
    box, text = scale.box, frame.text
    free = box.left - 20.0
    decades = math.log10(scale.most_a / scale.least_a)
    steps = (1, 2, 5) if decades < 3.2 else (1,)
    for power in range(math.floor(math.log10(scale.least_a)), math.ceil(math.log10(scale.most_a)) + 1):
        for digit in range(1, 10):
            value = digit * 10.0**power
            if not scale.least_a <= value <= scale.most_a:
                continue
            x = scale.x(value)
            sheet.line([(x, box.bottom), (x, box.top)], _GREY, 1.2 if digit == 1 else 0.5)
            label = frame.say(number(value))
            half = text_width(label, text) / 2
            if digit in steps and x - half > free + 6.0 and x + half < frame.width - 4.0:
                sheet.text(label, x, box.bottom + frame.line, text, "middle")
                free = x + half
    for power in range(-3, 5):
        value = 10.0**power
        sheet.line([(box.left, scale.y(value)), (box.right, scale.y(value))], _GREY, 1.2)
        sheet.text(frame.say(number(value)), box.left - 6.0, scale.y(value) + 4.5, text, "end")
    sheet.rectangle(box, stroke=_BLACK)
    middle, below = (box.left + box.right) / 2, box.bottom + 2 * frame.line + 2.0
    sheet.text(frame.say(words("current (A)")), middle, below, text, "middle")
    sheet.upright(frame.say(words("time (s)")), 18.0, (box.top + box.bottom) / 2, text)


def _curves(sheet: Sheet, found: FuseCurves, scale: _Scale) -> list[list[Point]]:
    """Draw the band and the lines; what was drawn, so that names keep clear of it."""
    if found.slowest is not None and found.fastest is not None:
        around = [*scale.points(found.fastest), *reversed(scale.points(found.slowest))]
        sheet.hatched(clipped_area(around, scale.box))
    drawn = []
    wire = None if found.wire is None else found.wire.curve
    curves = {
        "fastest": found.fastest,
        "wire": wire,
        "slowest": found.slowest,
        "load": found.load.curve,
    }
    for stroke, curve in curves.items():
        if curve is None:
            continue
        for piece in clipped_lines(scale.points(curve), scale.box):
            sheet.line(piece, *_STROKES[stroke])
            drawn.append(piece)
    return drawn


def _closest(sheet: Sheet, found: FuseCurves, scale: _Scale) -> None:
    at = _closest_at(found, scale)
    if at is not None:
        sheet.ring(*at, 6.0)


def _closest_at(found: FuseCurves, scale: _Scale) -> Point | None:
    near = found.closest
    if near is None or near.critical_a is None or near.time_s is None:
        return None
    # What never opens it stands at the top of the field, clear of the names over it.
    x, y = scale.x(near.critical_a), max(scale.y(near.time_s), scale.box.top + 9.0)
    inside = scale.box.left <= x <= scale.box.right and y <= scale.box.bottom
    return (x, y) if inside else None


def _names(sheet: Sheet, found: FuseCurves, scale: _Scale, lines: list[list[Point]], frame: _Frame) -> None:
    """Write its name beside each curve where there is room: on no line, mark or other name."""
    taken: list[Box] = []
    at = _closest_at(found, scale)
    if at is not None:
        taken.append(Box(at[0] - 8.0, at[1] - 8.0, at[0] + 8.0, at[1] + 8.0))
    wire = None if found.wire is None else found.wire.curve
    named = (
        (words("wire"), wire, 0.5),
        (words("fuse"), found.slowest, 0.5),
        (words("fuse"), found.fastest, 0.5),
        # A load stands apart from the fuse where it flows for hours.
        (words("load"), found.load.curve, 0.8),
    )
    done: set[str] = set()
    for name, curve, begins in named:
        if curve is None or name in done:
            continue
        told = _Label(frame.say(name), frame.text)
        box = _room(told, _along(curve, scale, begins), scale.box, lines, taken)
        if box is not None:
            done.add(name)
            taken.append(box)
            sheet.rectangle(box, fill="#fff")
            sheet.text(told.text, box.left + 2.0, box.bottom - 2.0 - 0.24 * told.size, told.size)


@dataclass(frozen=True, slots=True)
class _Label:
    text: str
    size: float


def _room(
    label: _Label, along: Iterable[Point], inside: Box, lines: Sequence[Sequence[Point]], taken: list[Box]
) -> Box | None:
    """The first place beside a curve that nothing runs through."""
    for x, y in along:
        for anchor, dx in (("start", 9.0), ("end", -9.0)):
            for dy in (4.5, -8.0, 17.0):
                box = text_box(label.text, x + dx, y + dy, label.size, anchor).grown(2.0)
                if _fits(box, inside, lines, taken):
                    return box
    return None


def _fits(box: Box, inside: Box, lines: Sequence[Sequence[Point]], taken: Sequence[Box]) -> bool:
    within = (
        inside.left < box.left
        and box.right < inside.right
        and inside.top < box.top
        and box.bottom < inside.bottom
    )
    free = box.grown(2.0)
    return (
        within
        and not any(free.meets(other) for other in taken)
        and not any(free.crossed_by(a, b) for line in lines for a, b in pairwise(line))
    )


def _along(curve: TimeCurve, scale: _Scale, share: float) -> Iterator[Point]:
    """Points of a line a few steps apart, those about a share of its way first."""
    pieces = clipped_lines(scale.points(curve), scale.box)
    points = [point for piece in pieces for a, b in pairwise(piece) for point in _between(a, b)]
    order = sorted(range(len(points)), key=lambda k: (abs(k - share * len(points)), k))
    yield from (points[k] for k in order)


def _between(a: Point, b: Point) -> Iterator[Point]:
    count = max(1, int(math.dist(a, b) / 12.0))
    for step in range(count):
        yield a[0] + (b[0] - a[0]) * step / count, a[1] + (b[1] - a[1]) * step / count


def _legend(sheet: Sheet, legend: Sequence[Entry], top: float, frame: _Frame) -> float:
    """Write what each line is; the height at which it ends."""
    left = _RIGHT + frame.sample + 12.0
    y = top
    for entry in legend:
        middle = y + frame.line - 4.5
        _sample(sheet, entry.sample, middle, _RIGHT + frame.sample)
        for line in wrapped(entry.text, frame.text, frame.width - _RIGHT - left):
            y += frame.line
            sheet.text(line, left, y, frame.text)
        y += 5.0
    return y


def _sample(sheet: Sheet, sample: str, y: float, right: float) -> None:
    left = _RIGHT
    if sample == "fuse":
        box = Box(left, y - 6.0, right, y + 6.0)
        sheet.hatched(
            [(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)]
        )
        sheet.line([(left, box.top), (left, box.bottom)], *_STROKES["fastest"])
        sheet.line([(right, box.top), (right, box.bottom)], *_STROKES["slowest"])
    elif sample == "closest":
        sheet.ring((left + right) / 2, y, 6.0)
    elif sample in _STROKES:
        sheet.line([(left, y), (right, y)], *_STROKES[sample])
