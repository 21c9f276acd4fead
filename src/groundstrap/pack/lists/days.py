"""The course of the days for a spreadsheet and for other programs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from groundstrap.pack.lists.files import csv_text
from groundstrap.report.endurance import EnduranceAnswer
from groundstrap.report.endurance_json import endurance_object
from groundstrap.report.values import Json, json_text

__all__ = ["day_files"]

_COLUMNS: Final = ("time_s", "supply", "volts_v", "current_a", "charge_pct")
_PLACES: Final = 3


def day_files(answer: EnduranceAnswer) -> Mapping[str, str]:
    """Return the text of each file by its name: the course as CSV, the whole as `endure JOB --json` has it.

    Parameters
    ----------
    answer : EnduranceAnswer
        The run.
    """
    return {
        "days.csv": csv_text(_COLUMNS, _rows(answer)),
        "days.json": json_text(endurance_object(answer)),
    }


def _rows(answer: EnduranceAnswer) -> Iterator[Json]:
    course = answer.run.course
    for name in answer.run.supplies:
        found = course.supplies[name]
        states = [None] * len(course.times_s) if found.state_pct is None else found.state_pct.tolist()
        columns = (course.times_s.tolist(), found.volts_v.tolist(), found.amps_a.tolist(), states)
        for time_s, volts_v, current_a, state in zip(*columns, strict=True):
            yield {
                "time_s": round(time_s, _PLACES),
                "supply": name,
                "volts_v": round(volts_v, _PLACES),
                "current_a": round(current_a, _PLACES),
                "charge_pct": None if state is None else round(state, _PLACES),
            }
