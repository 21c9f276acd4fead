"""From readings to a fault: which place explains them, how sure that is, what to read next."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date as day
from functools import lru_cache
from typing import Any, Final

from groundstrap.api.held_readings import with_readings
from groundstrap.api.planning import wiring_plan
from groundstrap.assess import wire_up
from groundstrap.assess.wiring import Wiring
from groundstrap.errors import CallError, nearest_name
from groundstrap.job import Edit, EditKind, Job, edited, read_job
from groundstrap.locate import Complaint
from groundstrap.locate import locate as find
from groundstrap.model import Installation, LoadKind, MeterSpec, Situation, State, newest_readings
from groundstrap.records import dataclass, replace
from groundstrap.report.figures import Display
from groundstrap.report.layout import Style
from groundstrap.report.location import LocationAnswer
from groundstrap.report.location_json import location_object
from groundstrap.report.location_text import location_lines
from groundstrap.report.location_words import AskedReading, asked_readings, reading_words, verdict_words
from groundstrap.report.values import json_text
from groundstrap.tables import meter_names
from groundstrap.vet import vet
from groundstrap.words import joined

__all__ = [
    "AskedReading",
    "LocationAnswer",
    "TakenReading",
    "asked_for",
    "job_with_reading",
    "locate",
    "locate_json",
    "locate_line",
    "locate_text",
    "may_be_complained_of",
    "readings_taken",
    "visit_day",
    "with_reading",
    "without_reading",
]

_VISIT_DAYS: Final = 7
"""For so long readings belong to a visit that was begun; own judgement. [d]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenReading:
    """A reading that stands in a job: where, what the meter showed, and in which situation."""

    where: str
    text: str
    when: str
    using: tuple[str, ...]
    group: int
    """Number of its entry under `readings`."""
    number: int
    """Its own among the values there."""
    date: str | None = None
    """Day of its visit."""


def locate(
    job: Job,
    *,
    load: str | None = None,
    dead: bool = False,
    flat: bool = False,
    meter: str | None = None,
    proposals: int = 3,
) -> LocationAnswer:
    """Say which place the readings of a job point to, and what to read next.

    What the readings say of a load is looked at here, so it is no evidence of what that load takes.

    Parameters
    ----------
    job : Job
        The job as it was read, with its `readings`.
    load : str or None
        The load that somebody complains of; None to look at everything that runs.
    dead : bool
        Whether that load does nothing at all; else it is weak, slow, dim or cuts out.
    flat : bool
        Whether the battery goes flat though nothing runs: then what draws at rest is looked for.
    meter : str or None
        Meter of readings that name none, and of those that are proposed; left out, a basic one.
    proposals : int
        How many readings to propose at most.

    Raises
    ------
    CallError
        There is no such load or meter.

    Examples
    --------
    >>> from groundstrap.api import read_job
    >>> answer = locate(read_job('''groundstrap: 1
    ... title: Work light on the trailer
    ... system: 12 V
    ... loads:
    ...   work light: {kind: led, claims: {power: 60 W, by: manual}}
    ... circuits:
    ...   work light: {length: 7 m, return: battery -, wire: 2.5 mm2, fuse: 10 A}
    ... readings:
    ...   - when: resting
    ...     using: [work light]
    ...     values: [work light: 10.6 V, work light - to battery -: 1.74 V]
    ... '''), load="work light")
    >>> answer.location.suspects[0].place
    'work light return 1'
    """
    known = set(may_be_complained_of(job))
    if load is not None and load not in known:
        wanted = f"one of {', '.join(sorted(known))}"
        raise CallError(
            "no such load in this job", wanted=wanted, given=load, nearest=nearest_name(load, known)
        )
    if meter is not None and meter not in meter_names():
        raise CallError(f"there is no meter {meter!r}", wanted=", ".join(meter_names()))
    planned = wiring_plan(job)
    readings = newest_readings(job.installation.readings)
    complaint = Complaint(load=load, dead=dead, flat=flat) if load is not None or flat else None
    spec = None if meter is None else MeterSpec(text=meter, name=meter)
    wiring = _wired(_Same(planned.installation))
    found = find(wiring, complaint, meter=spec, proposals=proposals, readings=readings)
    with_them = replace(planned.installation, readings=readings)
    return LocationAnswer(plan=replace(planned, installation=with_them), location=found)


@dataclass(frozen=True, slots=True, eq=False)
class _Same:
    """An installation that is only itself: the one that a plan holds, which is kept from call to call."""

    installation: Installation

    def __eq__(self, other: object) -> bool:
        """Whether both hold the very same."""
        return isinstance(other, _Same) and other.installation is self.installation

    def __hash__(self) -> int:
        """By which it is."""
        return id(self.installation)


@lru_cache(maxsize=4)
def _wired(asked: _Same) -> Wiring:
    """The network of a plan, with all that was found on it before: only the readings differ by call."""
    estimates = vet(asked.installation).loads
    return wire_up(asked.installation, {name: found.estimate for name, found in estimates.items()})


def may_be_complained_of(job: Job) -> tuple[str, ...]:
    """Return the loads of a job that somebody may complain of: all but coils, and what is taken out.

    Parameters
    ----------
    job : Job
        The job as it was read.
    """
    return tuple(
        name
        for name, each in job.installation.loads.items()
        if each.kind is not LoadKind.COIL and each.state is not State.REMOVE
    )


def with_reading(
    job: Job,
    reading: str,
    *,
    when: str | None = None,
    using: Sequence[str] | None = None,
    meter: str | None = None,
    date: str | None = None,
    by: str | None = None,
    file: str = "-",
) -> str:
    """Return the text of a job with one more reading, among those of its situation.

    Parameters
    ----------
    job : Job
        The job as it was read.
    reading : str
        Where and what: `pump: 10.9 V` across it, `pump: 8.6 A` into it, `battery + to pump +: 0.31 V`.
    when : str or None
        Situation that it was taken in; left out, `resting`.
    using : sequence of str or None
        Loads that ran; left out, none.
    meter : str or None
        As the job file has it: `handheld`, `0.8 % + 2 digits`.
    date : str or None
        Day of the visit, `2026-11-28`; left out, none is written.
    by : str or None
        Who reads.
    file : str
        Name of the job file, for messages.

    Raises
    ------
    CallError
        It is no reading of something that this job has.
    JobError
        With the reading in it the job could not be read: what was found, and what would do.

    Examples
    --------
    >>> from groundstrap.api import read_job
    >>> job = read_job('''groundstrap: 1
    ... title: Work light on the trailer
    ... system: 12 V
    ... loads: {work light: {claims: {power: 60 W}}}
    ... circuits: {work light: {length: 7 m}}
    ... ''')
    >>> print(with_reading(job, "work light: 11.9 V", using=("work light",)).splitlines()[-1])
      - {when: resting, using: [work light], values: [work light: 11.9 V]}
    """
    return job_with_reading(
        job, reading, when=when, using=using, meter=meter, date=date, by=by, file=file
    ).text


def job_with_reading(
    job: Job,
    reading: str,
    *,
    when: str | None = None,
    using: Sequence[str] | None = None,
    meter: str | None = None,
    date: str | None = None,
    by: str | None = None,
    file: str = "-",
) -> Job:
    """Return a job with one more reading, as it was read anew; all as for `with_reading`."""
    point, colon, value = reading.rpartition(":")
    if not colon or not point.strip() or not value.strip():
        wanted = (
            "where, a colon and what the meter shows, such as 'pump: 10.9 V' or 'battery + to pump +: 0.3 V'"
        )
        raise CallError("that is no reading", wanted=wanted, given=reading)
    item = {point.strip(): value.strip()}
    situation, running = when or Situation.RESTING.value, tuple(using or ())
    for number, there in enumerate(job.installation.readings):
        same = there.when.value == situation and there.using == frozenset(running)
        same = same and there.date == date and by in {None, there.by}
        if same and meter in {None, there.meter.text if there.meter is not None else None}:
            edit = Edit(path=("readings", number, "values"), value=item, do=EditKind.ADD)
            return _readable(edited(job.text, (edit,), file=file), file, job)
    made: dict[str, Any] = {"when": situation}
    made.update({"using": list(running)} if running else {})
    more = {"meter": meter, "date": date, "by": by}
    made.update({key: value for key, value in more.items() if value is not None})
    made["values"] = [item]
    path = ("readings",)
    edit = (
        Edit(path=path, value=made, do=EditKind.ADD)
        if job.installation.readings
        else Edit(path=path, value=[made])
    )
    return _readable(edited(job.text, (edit,), file=file), file, job)


def visit_day(job: Job, today: str) -> str:
    """Return the day that readings of today belong to: that of a visit begun within a week, else today.

    Parameters
    ----------
    job : Job
        The job as it was read.
    today : str
        By the calendar of whoever reads, `2026-11-28`.

    Examples
    --------
    >>> from groundstrap.api import read_job
    >>> job = read_job('''groundstrap: 1
    ... title: Work light on the trailer
    ... system: 12 V
    ... loads: {work light: {claims: {power: 60 W}}}
    ... circuits: {work light: {length: 7 m}}
    ... readings:
    ...   - {when: resting, date: 2026-11-26, values: [work light: 11.9 V]}
    ... ''')
    >>> visit_day(job, "2026-11-28"), visit_day(job, "2027-11-28")
    ('2026-11-26', '2027-11-28')
    """
    begun = max((each.date for each in job.installation.readings if each.date is not None), default=today)
    days = (day.fromisoformat(today) - day.fromisoformat(begun)).days
    return begun if 0 <= days <= _VISIT_DAYS else today


def readings_taken(job: Job) -> tuple[TakenReading, ...]:
    """Return the readings that stand in a job, in its order.

    Parameters
    ----------
    job : Job
        The job as it was read.
    """
    return tuple(
        TakenReading(
            where=each.through or f"{each.red} to {each.black}",
            text=each.text,
            when=group.when.value,
            using=tuple(sorted(group.using)),
            group=n,
            number=m,
            date=group.date,
        )
        for n, group in enumerate(job.installation.readings)
        for m, each in enumerate(group.values)
    )


def without_reading(job: Job, taken: TakenReading, *, file: str = "-") -> str:
    """Return the text of a job without one of its readings; what is empty then goes with it.

    Parameters
    ----------
    job : Job
        The job as it was read.
    taken : TakenReading
        One of `readings_taken`.
    file : str
        Name of the job file, for messages.

    Raises
    ------
    CallError
        The job has no such reading.

    Examples
    --------
    >>> from groundstrap.api import read_job
    >>> job = read_job('''groundstrap: 1
    ... title: Work light on the trailer
    ... system: 12 V
    ... loads: {work light: {claims: {power: 60 W}}}
    ... circuits: {work light: {length: 7 m}}
    ... readings:
    ...   - {when: resting, using: [work light], values: [work light: 11.9 V]}
    ... ''')
    >>> "readings" in without_reading(job, readings_taken(job)[0])
    False
    """
    there = readings_taken(job)
    if taken not in there:
        raise CallError(
            "that reading does not stand in the job",
            wanted="one that does",
            given=f"{taken.where}: {taken.text}",
        )
    path: tuple[str | int, ...] = ("readings", taken.group, "values", taken.number)
    if len(there) == 1:
        path = ("readings",)
    elif sum(each.group == taken.group for each in there) == 1:
        path = ("readings", taken.group)
    return edited(job.text, (Edit(path=path, do=EditKind.REMOVE),), file=file)


def _readable(text: str, file: str, job: Job) -> Job:
    """The job of a text, once it is sure that it can be read: nothing is lost by a slip."""
    return read_job(text, file, folder=job.folder)


def locate_text(
    answer: LocationAnswer, *, units: str | None = None, width: int = 80, colour: bool = False
) -> str:
    """Return suspects and what to read next for a terminal; units, width and colour as for `plan_text`."""
    shown = Display.of(answer.installation, units)
    lines = location_lines(answer, Style(width=width, colour=colour, shown=shown))
    return "\n".join(line.rstrip() for line in lines) + "\n"


def locate_line(answer: LocationAnswer) -> str:
    """Return in one line what the last reading says, and what is known now."""
    told = (reading_words(answer.location), verdict_words(answer.location))
    return joined(" ", [part for part in told if part])


def asked_for(answer: LocationAnswer) -> tuple[AskedReading, ...]:
    """Return what is worth reading next, best first; nothing where one place is sure."""
    return asked_readings(answer.location)


def locate_json(answer: LocationAnswer) -> str:
    """Return suspects and what to read next as one JSON object, as docs/results.md has it."""
    return json_text(location_object(answer, with_readings(answer.plan, answer.installation)))
