"""The days in letters for a terminal: charge and volts of each battery, what the vehicle does."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from groundstrap.endure.results import Course, Endurance, Floats
from groundstrap.model import Situation
from groundstrap.records import dataclass
from groundstrap.report.figures import number

__all__ = ["chart_lines"]

_LABEL: Final = 8
"""Columns at the left for the scale."""
_CHARGE_ROWS: Final = 6
_VOLT_ROWS: Final = 5
_LETTERS: Final = {
    Situation.DRIVING: "D",
    Situation.IDLING: "I",
    Situation.RESTING: "-",
    Situation.MAINS: "M",
    Situation.CRANKING: "C",
}
_IN_WORDS: Final = {"D": "driving", "I": "idling", "-": "resting", "M": "on mains", "C": "cranking"}
_MARKS: Final = {"^": "it starts", "X": "no start", "!": "a load cuts off"}
_HOUR_S: Final = 3600.0


@dataclass(frozen=True, slots=True)
class _Columns:
    """Where a moment lies: the run cut into so many columns."""

    count: int
    ends_s: float

    def of(self, at_s: float) -> int:
        return min(self.count - 1, int(at_s / self.ends_s * self.count))


def chart_lines(run: Endurance, width: int) -> list[str]:
    """Return a chart of the run in so many columns; every sign is explained beneath it.

    Parameters
    ----------
    run : Endurance
        The run.
    width : int
        Columns that it may take.
    """
    columns = _Columns(max(20, width - _LABEL - 1), float(run.course.times_s[-1]))
    lines: list[str] = []
    for name in run.supplies:
        course = run.course.supplies[name]
        if course.state_pct is not None:
            lines += _charge(name, _sampled(run.course, course.state_pct, columns, lowest=False))
        lines += _volts(_sampled(run.course, course.volts_v, columns, lowest=True))
    spans, marks = _spans(run, columns), _marks(run, columns)
    lines += [f"{'':>{_LABEL}} {spans}"]
    if marks.strip():
        lines.append(f"{'':>{_LABEL}} {marks}".rstrip())
    lines.append(f"{'hours':>{_LABEL}} {_hours(columns)}".rstrip())
    signs = [f"{sign} {_IN_WORDS[sign]}" for sign in dict.fromkeys(spans) if sign in _IN_WORDS]
    signs += [f"{sign} {text}" for sign, text in _MARKS.items() if sign in marks]
    return [*lines, f"{'':>{_LABEL}} {'; '.join(signs)}"]


def _sampled(course: Course, values: Floats, columns: _Columns, *, lowest: bool) -> Floats:
    """One value a column: that at its middle, or the lowest in it."""
    times_s = course.times_s
    edges = np.linspace(0.0, columns.ends_s, columns.count + 1)
    if not lowest:
        return np.interp((edges[:-1] + edges[1:]) / 2.0, times_s, values)
    at_edges = np.interp(edges, times_s, values)
    found = np.minimum(at_edges[:-1], at_edges[1:])
    inside = np.clip(np.searchsorted(edges, times_s, side="right") - 1, 0, columns.count - 1)
    np.minimum.at(found, inside, values)
    return found


def _charge(name: str, values: Floats) -> list[str]:
    """Columns as high as the charge; a dot is half a row."""
    low = min(80.0, 10.0 * math.floor(float(values.min()) / 10.0))
    step = (100.0 - low) / _CHARGE_ROWS
    lines = [f"{name}: charge, and the lowest volts at its posts"]
    for row in reversed(range(_CHARGE_ROWS)):
        bottom = low + row * step
        signs = "".join(
            ":" if value >= bottom + 0.75 * step else "." if value > bottom + 0.25 * step else " "
            for value in values
        )
        label = f"{number(bottom + step, 3)} %" if row in {_CHARGE_ROWS - 1, 2} else ""
        lines.append(f"{label:>{_LABEL}}|{signs}".rstrip())
    return [*lines, f"{number(low, 3) + ' %':>{_LABEL}}|{'_' * len(values)}"]


def _volts(values: Floats) -> list[str]:
    """One sign a column, at the height of its volts."""
    low, high = float(values.min()), float(values.max())
    if high - low < 0.5:
        low, high = low - 0.25, high + 0.25
    rows = np.rint((values - low) / (high - low) * (_VOLT_ROWS - 1)).astype(int)
    lines = []
    for row in reversed(range(_VOLT_ROWS)):
        signs = "".join("*" if each == row else " " for each in rows)
        shown = row in {0, _VOLT_ROWS - 1}
        value_v = low + (high - low) * row / (_VOLT_ROWS - 1)
        label = f"{value_v:.1f} V" if shown else ""
        lines.append(f"{label:>{_LABEL}}|{signs}".rstrip())
    return lines


def _spans(run: Endurance, columns: _Columns) -> str:
    """A letter for what the vehicle does in each column; what is shorter than one still has one."""
    signs = [" "] * columns.count
    for span in sorted(run.spans, key=lambda each: each.begins_s - each.ends_s):
        first, last = columns.of(span.begins_s), columns.of(max(span.begins_s, span.ends_s - 1.0))
        for column in range(first, last + 1):
            signs[column] = _LETTERS[span.situation]
    return "".join(signs)


def _marks(run: Endurance, columns: _Columns) -> str:
    """What happens: the worst of it where several fall into one column."""
    signs = [" "] * columns.count
    happened = [(each.at_s, "^" if each.can else "X") for each in run.starts]
    happened += [(each.at_s, "!") for each in run.cut_offs]
    for at_s, sign in sorted(happened, key=lambda each: "^!X".index(each[1])):
        signs[columns.of(at_s)] = sign
    return "".join(signs)


def _hours(columns: _Columns) -> str:
    """Figures under the chart, as many as there is room for."""
    hours = columns.ends_s / _HOUR_S
    step = next((each for each in (1, 2, 3, 6, 12, 24, 48) if hours / each * 5 <= columns.count), 168)
    line = [" "] * columns.count
    for hour in range(0, int(hours) + 1, step):
        at = min(columns.count - len(str(hour)), columns.of(hour * _HOUR_S))
        for place, sign in enumerate(str(hour)):
            line[at + place] = sign
    return "".join(line)
