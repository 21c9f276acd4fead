"""The days as a drawing: what the vehicle does as bands, charge and volts of each battery under them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final

import numpy as np

from groundstrap.endure.results import CutOff, Endurance, Floats, SpanRun, Start
from groundstrap.model import Situation
from groundstrap.records import dataclass
from groundstrap.report.drawing import Box, Point, Sheet, text_box, text_width, wrapped
from groundstrap.report.endurance_words import charge_words, moment_words, span_words, start_words
from groundstrap.report.figures import Display, number, volts
from groundstrap.words import term, words

__all__ = ["days_picture", "days_words"]

_RIM: Final = 14.0
_HOUR_S: Final = 3600.0
_LINE_SPACE: Final = 1.32
_STEPS_H: Final = (1, 2, 3, 6, 12, 24, 48, 168)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """How large everything is, and the language of the texts."""

    width: float
    high: float
    """Height of a field."""
    text: float
    left: float
    say: Callable[[str], str]

    @property
    def line(self) -> float:
        """From one line of text to the next."""
        return self.text * _LINE_SPACE


@dataclass(frozen=True, slots=True)
class _Scale:
    """Where a moment and a value lie in a field."""

    box: Box
    ends_s: float
    low: float
    high: float

    def x(self, at_s: float) -> float:
        return self.box.left + (self.box.right - self.box.left) * at_s / self.ends_s

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.box.bottom - (self.box.bottom - self.box.top) * share


@dataclass(frozen=True, slots=True)
class _Page:
    """What is drawn on, and of what."""

    sheet: Sheet
    run: Endurance
    frame: _Frame


def days_words(run: Endurance) -> str:
    """Return in a sentence what the drawing shows."""
    told = [
        words(
            "{battery}: charge {begin} at the beginning, {low} at the lowest, {end} at the end",
            battery=name,
            begin=charge_words(each.begin_state_pct),
            low=charge_words(each.lowest_state_pct),
            end=charge_words(each.end_state_pct),
        )
        for name, each in run.supplies.items()
    ]
    text = told[0] if told else words("No battery.")
    for more in told[1:]:
        text = words("{before}; {after}", before=text, after=more)
    return text


def days_picture(
    run: Endurance, shown: Display, say: Callable[[str], str] = str, *, narrow: bool = False
) -> str:
    """Return the drawing of a run as SVG.

    Parameters
    ----------
    run : Endurance
        The run.
    shown : Display
        Units.
    say : callable
        Puts a text in the language that is wanted.
    narrow : bool
        Whether it is a phone's.
    """
    if narrow:
        frame = _Frame(width=370.0, high=90.0, text=11.0, left=46.0, say=say)
    else:
        frame = _Frame(width=820.0, high=120.0, text=13.0, left=58.0, say=say)
    title = say(words("Charge and volts over the days"))
    sheet = Sheet(frame.width, title, say(days_words(run)))
    page = _Page(sheet, run, frame)
    ends_s = float(run.course.times_s[-1])
    top = _RIM
    band = Box(frame.left, top, frame.width - _RIM, top + 2.0 * frame.line)
    _bands(sheet, run.spans, _Scale(band, ends_s, 0.0, 1.0), frame)
    top = band.bottom + 0.4 * frame.line
    for name in run.supplies:
        course = run.course.supplies[name]
        for values, unit in ((course.state_pct, "%"), (course.volts_v, "V")):
            if values is not None:
                top = _field(page, name, values, unit, top)
    top = _hours(sheet, ends_s, top, frame)
    return sheet.svg(_legend(sheet, run, shown, top, frame) + _RIM)


# --- the bands ---------------------------------------------------------------------------------------------


def _bands(sheet: Sheet, spans: Sequence[SpanRun], scale: _Scale, frame: _Frame) -> None:
    """A box a span: resting grey, on mains hatched, engine on white; its name where there is room."""
    for span in spans:
        box = Box(scale.x(span.begins_s), scale.box.top, scale.x(span.ends_s), scale.box.bottom)
        if span.situation is Situation.RESTING:
            sheet.rectangle(box, fill="#e4e4e4", stroke="#000")
        elif span.situation is Situation.MAINS:
            sheet.rectangle(box, fill="#fff", stroke="#000")
            sheet.hatched(
                [
                    (box.left, box.bottom - 5),
                    (box.right, box.bottom - 5),
                    (box.right, box.bottom),
                    (box.left, box.bottom),
                ]
            )
        else:
            sheet.rectangle(box, fill="#fff", stroke="#000")
            sheet.rectangle(Box(box.left, box.top, box.right, box.top + 4), fill="#000")
        name = frame.say(term(span.situation.value))
        if text_width(name, frame.text) + 6 < box.right - box.left:
            sheet.text(name, (box.left + box.right) / 2, box.bottom - 0.6 * frame.line, frame.text, "middle")


# --- a field -----------------------------------------------------------------------------------------------


def _field(page: _Page, name: str, values: Floats, unit: str, top: float) -> float:
    """Draw charge or volts of one battery under its name; where the field ends."""
    sheet, run, frame = page.sheet, page.run, page.frame
    ends_s = float(run.course.times_s[-1])
    what = (
        words("{battery}, charge", battery=name) if unit == "%" else words("{battery}, volts", battery=name)
    )
    top += frame.line
    for line in wrapped(frame.say(what), frame.text, frame.width - frame.left - _RIM):
        sheet.text(line, frame.left, top, frame.text)
        top += frame.line
    top -= 0.5 * frame.line
    low, high = (min(50.0, 10.0 * float(values.min() // 10.0)), 100.0) if unit == "%" else _round(values)
    scale = _Scale(Box(frame.left, top, frame.width - _RIM, top + frame.high), ends_s, low, high)
    _grid(sheet, scale, unit, frame)
    for span in run.spans[1:]:
        x = scale.x(span.begins_s)
        sheet.line([(x, scale.box.top), (x, scale.box.bottom)], "#999", 0.8, "2 3")
    sheet.line(_thinned(run.course.times_s, values, scale), "#000", 2.0 if unit == "%" else 1.2)
    if unit == "%":
        _marks(page, values, scale)
    return scale.box.bottom + 0.5 * frame.line


def _round(values: Floats) -> tuple[float, float]:
    """Half volts about some volts."""
    return float(np.floor(values.min() * 2.0)) / 2.0, max(
        float(np.ceil(values.max() * 2.0)) / 2.0, float(np.floor(values.min() * 2.0)) / 2.0 + 1.0
    )


def _grid(sheet: Sheet, scale: _Scale, unit: str, frame: _Frame) -> None:
    """Lines across with their figures, as many as there is room for."""
    box = scale.box
    steps = (10.0, 25.0, 50.0) if unit == "%" else (0.5, 1.0, 2.0, 5.0, 10.0)
    room = (box.bottom - box.top) / (1.6 * frame.line)
    step = next((each for each in steps if (scale.high - scale.low) / each <= room), steps[-1])
    value = scale.high
    while value >= scale.low - 1e-9:
        y = scale.y(value)
        sheet.line([(box.left, y), (box.right, y)], "#ccc", 0.8)
        told = f"{number(value)} %" if unit == "%" else f"{value:.1f} V"
        sheet.text(frame.say(told), box.left - 5, y + 0.35 * frame.text, frame.text - 1, "end")
        value -= step
    sheet.rectangle(box, stroke="#000")


def _thinned(times_s: Floats, values: Floats, scale: _Scale) -> list[Point]:
    """The course in as many points as can be told apart: first, lowest, highest and last of each column."""
    columns = ((times_s / scale.ends_s) * (scale.box.right - scale.box.left)).astype(int)
    points: list[Point] = []
    for piece in np.split(np.arange(len(times_s)), np.flatnonzero(np.diff(columns)) + 1):
        kept = {int(piece[0]), int(piece[-1])}
        kept |= {int(piece[values[piece].argmin()]), int(piece[values[piece].argmax()])}
        points += [(scale.x(float(times_s[k])), scale.y(float(values[k]))) for k in sorted(kept)]
    return points


# --- what happens ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Happened:
    """A start or a cut-off, with the number that the legend has it under."""

    at_s: float
    number: int
    good: bool
    text: str


def _happened(run: Endurance, shown: Display) -> Iterator[_Happened]:
    """Yield starts that fail, the last start, and the first cut-off of each load, in the order of time."""
    starts = [each for each in run.starts if not each.can or each is run.starts[-1]]
    cuts: dict[str, CutOff] = {}
    for each in sorted(run.cut_offs, key=lambda each: each.at_s):
        cuts.setdefault(each.load, each)
    every: list[Start | CutOff] = [*starts, *cuts.values()]
    for count, found in enumerate(sorted(every, key=lambda each: each.at_s), start=1):
        when = moment_words(found.at_s, run)
        if isinstance(found, Start):
            text = words("{when}: start, {told}", when=when, told=start_words(found, shown))
            yield _Happened(found.at_s, count, found.can, text)
        else:
            text = words(
                "{when}: {load} cuts off at {volts}", when=when, load=found.load, volts=volts(found.volts_v)
            )
            yield _Happened(found.at_s, count, good=False, text=text)


def _marks(page: _Page, values: Floats, scale: _Scale) -> None:
    """A ring where it goes, a cross where it does not, each with the number of its line in the legend."""
    sheet, run, frame = page.sheet, page.run, page.frame
    taken: list[Box] = []
    for each in _happened(run, Display()):
        state = float(np.interp(each.at_s, run.course.times_s, values))
        x, y = min(scale.x(each.at_s), scale.box.right - 6.0), scale.y(state)
        if each.good:
            sheet.ring(x, y, 5.0)
        else:
            sheet.line([(x - 5, y - 5), (x + 5, y + 5)], "#000", 2.2)
            sheet.line([(x - 5, y + 5), (x + 5, y - 5)], "#000", 2.2)
        label = str(each.number)
        for dx, dy in ((-9.0, -8.0), (-9.0, 18.0), (9.0, -8.0), (9.0, 18.0), (-22.0, 4.0), (22.0, 4.0)):
            place = text_box(label, x + dx, y + dy, frame.text, "middle").grown(1.0)
            inside = scale.box.left < place.left and place.right < scale.box.right + _RIM
            high = scale.box.top < place.top and place.bottom < scale.box.bottom
            if inside and high and not any(place.meets(other) for other in taken):
                taken.append(place)
                sheet.rectangle(place, fill="#fff")
                sheet.text(label, x + dx, y + dy, frame.text, "middle")
                break


def _hours(sheet: Sheet, ends_s: float, top: float, frame: _Frame) -> float:
    """Write the hours under the lowest field."""
    scale = _Scale(Box(frame.left, top, frame.width - _RIM, top), ends_s, 0.0, 1.0)
    hours = ends_s / _HOUR_S
    widest = text_width(frame.say(f"{int(hours)} h"), frame.text) + 12
    room = (scale.box.right - scale.box.left) / widest
    step = next((each for each in _STEPS_H if hours / each <= room), _STEPS_H[-1])
    y = top + 0.9 * frame.line
    edge = 0.0
    for hour in range(0, int(hours) + 1, step):
        x = scale.x(hour * _HOUR_S)
        told = frame.say(f"{hour} h")
        half = text_width(told, frame.text) / 2
        x = min(x, frame.width - 2.0 - half)
        if x - half > edge:
            sheet.text(told, x, y, frame.text, "middle")
            edge = x + half + 6
    return y + 0.5 * frame.line


def _legend(sheet: Sheet, run: Endurance, shown: Display, top: float, frame: _Frame) -> float:
    """Write what happens, each under its number, and what a band is where its name found no room."""
    y = top
    for each in _happened(run, shown):
        for place, line in enumerate(wrapped(frame.say(each.text), frame.text, frame.width - 3 * _RIM - 10)):
            y += frame.line
            if place == 0:
                sheet.text(str(each.number), _RIM, y, frame.text)
            sheet.text(line, _RIM + 26, y, frame.text)
    spans = [each for each in run.spans if each.day == 1]
    told = frame.say(words("Bands:"))
    for span in spans:
        told = f"{told} {frame.say(span_words(span, shown))};"
    for line in wrapped(told.removesuffix(";") + ".", frame.text, frame.width - 2 * _RIM):
        y += frame.line
        sheet.text(line, _RIM, y, frame.text)
    return y
