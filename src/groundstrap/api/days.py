"""The day of a job as rows of a form: read from a job, and written into it."""

from __future__ import annotations

from typing import Final

from groundstrap.job import Edit, Job, edited
from groundstrap.job.data import Value
from groundstrap.job.mended import mended
from groundstrap.model import DaySpan, Installation
from groundstrap.records import dataclass
from groundstrap.report.endurance import EnduranceAnswer
from groundstrap.units import Kind, convert, parse

__all__ = ["DayRow", "day_rows", "day_written", "temperature_of", "with_day"]

_TEMPERATURE: Final = ("day", "0", "temperature")
"""Where a temperature stands in a job."""


def temperature_of(text: str) -> float:
    """Return a temperature as people write it: `-10 degC`, `-10 C`, `14 F`. [degC]

    Parameters
    ----------
    text : str
        A number with its unit.

    Examples
    --------
    >>> temperature_of("14 degF"), temperature_of("-10 C")
    (-10.0, -10.0)
    """
    return float(parse(mended(_TEMPERATURE, text) or text, Kind.TEMPERATURE).value)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRow:
    """One span of the day, each value as it stands in a job file; empty where it is left out."""

    when: str
    time: str
    using: tuple[str, ...] = ()
    """Loads that run, each with its power behind a colon where one is written: `inverter: 350 W`."""
    temperature: str = ""
    sun: str = ""


def day_written(job: Job) -> tuple[DayRow, ...]:
    """Return the day that stands in a job; nothing where none does.

    Parameters
    ----------
    job : Job
        The job as it was read.
    """
    return tuple(_row(each, job.installation) for each in job.installation.day)


def day_rows(answer: EnduranceAnswer) -> tuple[DayRow, ...]:
    """Return the day that was run; that of the job, or the usual one that was taken for it.

    Parameters
    ----------
    answer : EnduranceAnswer
        What `endure` said.
    """
    installation = answer.installation
    if installation.day:
        return tuple(_row(each, installation) for each in installation.day)
    spans = (each for each in answer.run.spans if each.day == 1)
    return tuple(
        DayRow(when=each.situation.value, time=_time(each.ends_s - each.begins_s), using=each.using)
        for each in spans
    )


def _row(span: DaySpan, installation: Installation) -> DayRow:
    named = [name if watts is None else f"{name}: {watts:.10g} W" for name, watts in span.using.items()]
    temperature = ""
    if span.temperature_c is not None:
        us = installation.units == "us"
        value = convert(span.temperature_c, Kind.TEMPERATURE, "degF") if us else span.temperature_c
        temperature = f"{value:.6g} {'degF' if us else 'degC'}"
    return DayRow(
        when=span.when.value,
        time=_time(span.time_s),
        using=tuple(named),
        temperature=temperature,
        sun="" if span.sun_s is None else _time(span.sun_s),
    )


def _time(time_s: float) -> str:
    """A length of time in hours where these are short to write, else in minutes; nothing is rounded away."""
    hours = f"{time_s / 3600.0:.10g}"
    return f"{hours} h" if time_s >= 7200.0 and len(hours) <= 5 else f"{time_s / 60.0:.10g} min"


def with_day(text: str, rows: tuple[DayRow, ...], now: tuple[DayRow, ...] = ()) -> str:
    """Return a job's text with another day in it; comments and order of the rest stay.

    Parameters
    ----------
    text : str
        The whole text of the job file.
    rows : tuple of DayRow
        The spans.
    now : tuple of DayRow
        Those of the job as it is, where it has a day: what does not differ from them is not touched.

    Raises
    ------
    JobError
        A value cannot be read; with what would do.
    """
    if len(rows) != len(now):
        return edited(text, [Edit(path=("day",), value=[_span(each) for each in rows])])
    pairs = enumerate(zip(rows, now, strict=True))
    return edited(
        text, [Edit(path=("day", str(n)), value=_span(new)) for n, (new, old) in pairs if new != old]
    )


def _span(row: DayRow) -> dict[str, Value]:
    found: dict[str, Value] = {row.when: row.time}
    if row.using:
        found["using"] = [_using(each) for each in row.using]
    if row.temperature:
        found["temperature"] = row.temperature
    if row.sun:
        found["sun"] = row.sun
    return found


def _using(named: str) -> Value:
    name, colon, power = named.rpartition(": ")
    return {name: power} if colon else named
