"""What workers do for the days of a job: run them, and write another day or a cure into the job's text."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from groundstrap import api
from groundstrap.errors import CallError, GroundstrapError, JobError
from groundstrap.records import dataclass, replace
from groundstrap.web.pages import phrases
from groundstrap.web.pages.rendering import Look, filled, said
from groundstrap.web.problems import in_words, of_error
from groundstrap.web.tasks import Asked, read

__all__ = ["DaysAsked", "day_written", "days_html", "endured"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DaysAsked:
    """A job, and what of its days is wanted."""

    job: Asked
    base: int
    """Number of the revision that its text was made from."""
    rows: tuple[api.DayRow, ...] = ()
    """The day as it was typed; nothing for that of the job."""
    days: str = "3"
    cold: str = ""
    """One temperature for all spans, as it was typed."""
    quick: bool = False
    """Whether to leave out what cures it, which takes longest."""
    still: bool = False
    """Whether to run nothing: the day alone, so that it can be changed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tick:
    """A load that may run in a span."""

    name: str
    value: str
    """The name, with the power that the span gives it."""
    on: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """A span as the form shows it."""

    when: str
    time: str
    temperature: str
    sun: str
    ticks: tuple[_Tick, ...]

    name: str
    """Of the situation, in the language of the page."""

    @property
    def running(self) -> str:
        """What is ticked, in one line."""
        return ", ".join(each.value for each in self.ticks if each.on)

    def idle(self, using: tuple[str, ...]) -> str:
        """What is ticked and does not run all the same, such as what never runs with another."""
        ticked = (each.name for each in self.ticks if each.on)
        return ", ".join(name for name in ticked if name not in using)


def endured(asked: Asked, days: int, temperature_c: float | None, *how: bool) -> str:
    """Return the days of a job as JSON; `how` is whether cures, and whether chances are wanted."""
    cures, chances = how
    answer = api.endure(
        read(asked), days=days, temperature_c=temperature_c, with_cures=cures, with_chances=chances
    )
    return api.endure_json(answer)


def day_written(asked: DaysAsked, edits: tuple[api.Edit, ...]) -> str:
    """Return the text of a job with the day that was typed and some edits written into it."""
    return api.edited(_with_day(asked), edits)


def _with_day(asked: DaysAsked) -> str:
    """The text with the day that was typed, where it is another one."""
    job = read(asked.job)
    now = api.day_written(job)
    if not asked.rows or asked.rows == now:
        return job.text
    if not now and asked.rows == api.day_rows(api.endure(job, with_cures=False)):
        return job.text  # the usual day, which nobody has changed
    return api.with_day(job.text, asked.rows, now)


def days_html(asked: DaysAsked, look: Look, csrf: str, message: str) -> str:
    """Return the form of the day with its run beside it; what stands against either, in its place."""
    sheet, rows, built_in = None, asked.rows, False
    faults: tuple[Mapping[str, Any], ...] = ()
    try:
        rows = rows or api.day_written(read(asked.job))
        if not asked.still:
            answer = _run(asked)
            rows = rows or api.day_rows(answer)
            sheet = api.days_sheet(answer, units=look.units, language_code=look.code)
            built_in = sheet.built_in_day
    except JobError as error:
        if asked.rows:
            message = message or in_words(error)
        else:
            faults = tuple(dict(each) for each in of_error(error).faults)
    except GroundstrapError as error:
        message = message or in_words(error)
    situations = [(key, said(text, look.code)) for key, text in phrases.SITUATIONS.items()]
    return filled(
        "days_part.html",
        look,
        csrf=csrf,
        base=asked.base,
        rows=_rows(rows, asked.job.text, dict(situations)),
        situations=situations,
        quick=asked.quick,
        days=asked.days,
        cold=asked.cold,
        sheet=sheet,
        faults=faults,
        message=message,
        built_in=built_in,
    )


def _run(asked: DaysAsked) -> api.EnduranceAnswer:
    if not asked.days.isdecimal():
        raise CallError("days are counted", wanted="a whole number, such as 3", given=asked.days)
    cold = api.temperature_of(asked.cold) if asked.cold else None
    job = read(replace(asked.job, text=_with_day(asked)))
    return api.endure(job, days=int(asked.days), temperature_c=cold, with_cures=not asked.quick)


def _rows(rows: tuple[api.DayRow, ...], text: str, names: Mapping[str, str]) -> list[_Row]:
    loads = api.job_form(text).names.loads
    return [
        _Row(
            when=row.when,
            time=row.time,
            temperature=row.temperature,
            sun=row.sun,
            ticks=tuple(_tick(name, row.using) for name in loads),
            name=names.get(row.when, row.when),
        )
        for row in rows
    ]


def _tick(name: str, using: tuple[str, ...]) -> _Tick:
    """A load with the power that the span gives it, where it does."""
    same = next((each for each in using if each == name or each.startswith(f"{name}: ")), "")
    return _Tick(name=name, value=same or name, on=bool(same))
