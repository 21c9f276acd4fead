"""Readings and mends in a job's text: put in, listed, taken back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date as day
from difflib import get_close_matches
from typing import Any, Final

from groundstrap.api.wired import counted_readings, standing_readings, wired
from groundstrap.errors import CallError, listed, nearest_name
from groundstrap.job import Edit, EditKind, Job, edited, read_job
from groundstrap.locate import mendable
from groundstrap.model import Situation
from groundstrap.records import dataclass
from groundstrap.words import words

__all__ = [
    "TakenReading",
    "is_to_come",
    "job_with_reading",
    "readings_taken",
    "visit_day",
    "with_mended",
    "with_reading",
    "without_mended",
    "without_reading",
]

_MOST_NEAR: Final = 6
_NEAR: Final = 0.4
"""Likeness from which a name is told where none was meant by it; own judgement. [1]"""
_TOMORROW: Final = -1
"""It may be tomorrow already where somebody reads: clocks of two zones differ. [d]"""
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
    past: bool = False
    """Whether it is of an earlier visit, or a mend has changed it since."""
    again: bool = False
    """Whether the same was read once more since."""


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
        wanted = words(
            "where, a colon and what the meter shows, such as 'pump: 10.9 V' or 'battery + to pump +: 0.3 V'"
        )
        raise CallError(words("that is no reading"), wanted=wanted, given=reading)
    item = {point.strip(): value.strip()}
    situation, running = when or Situation.RESTING.value, tuple(using or ())
    number = _set_for(job, situation, running, {"meter": meter, "date": date, "by": by})
    if number is not None:
        edit = Edit(path=("readings", number, "values"), value=item, do=EditKind.ADD)
        return _readable(edited(job.text, (edit,), file=file), file, job)
    told = {"meter": meter, "date": date, "by": by, "values": [item]}
    return _with_set(job, situation, running, told, file)


def _set_for(
    job: Job, situation: str, running: tuple[str, ...], told: Mapping[str, str | None]
) -> int | None:
    """Number of the set that one more reading belongs to; None where it is the first of its own."""
    every = job.installation.readings
    mends = [number for number, there in enumerate(every) if there.mended is not None]
    for number in range(mends[-1] if mends else 0, len(every)):
        there = every[number]
        same = there.when.value == situation and there.using == frozenset(running)
        same = same and there.date == told["date"] and told["by"] in {None, there.by}
        same = same and told["meter"] in {None, there.meter.text if there.meter is not None else None}
        # Not into the entry of a mend where nothing was read.
        if same and there.values:
            return number
    return None


def _with_set(job: Job, situation: str, running: tuple[str, ...], told: Mapping[str, Any], file: str) -> Job:
    """The job with one more set behind all others; of it nothing is written that nobody said."""
    made: dict[str, Any] = {"when": situation}
    made.update({"using": list(running)} if running else {})
    made.update({key: value for key, value in told.items() if value is not None})
    there = job.installation.readings
    edit = Edit(path=("readings",), value=made, do=EditKind.ADD)
    edit = edit if there else Edit(path=("readings",), value=[made])
    return _readable(edited(job.text, (edit,), file=file), file, job)


def visit_day(job: Job, today: str, *, named: str | None = None) -> str:
    """Return the day that readings of today belong to: that of a visit begun within a week, else today.

    Readings of a day that is yet to come would hide all that is read until then, so they are refused.

    Parameters
    ----------
    job : Job
        The job as it was read.
    today : str
        By the calendar of whoever reads, `2026-11-28`.
    named : str or None
        The day that somebody named; it counts whatever was begun.

    Raises
    ------
    CallError
        That day, or one in the job, is yet to come.

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
    if named is not None:
        _check_come(named, today, words("today, or a day before it"))
        return named
    begun = max((each.date for each in job.installation.readings if each.date is not None), default=today)
    then = words("the right `date` in the readings of the job: until then they would hide what is read now")
    days = _check_come(begun, today, then)
    return begun if days <= _VISIT_DAYS else today


def _check_come(named: str, today: str, wanted: str) -> int:
    """Days since a day; one that is yet to come is refused."""
    days = _since(named, today)
    if days is None:
        raise CallError(words("that is no day"), wanted=words("one such as 2026-11-28"), given=named)
    if days < _TOMORROW:
        raise CallError(words("the day {day} is yet to come", day=named), wanted=wanted)
    return days


def is_to_come(named: str, today: str) -> bool:
    """Return whether a day is yet to come; what is no day is none.

    Parameters
    ----------
    named, today : str
        Days, `2026-11-28`.
    """
    days = _since(named, today)
    return days is not None and days < _TOMORROW


def _since(named: str, today: str) -> int | None:
    try:
        return (day.fromisoformat(today) - day.fromisoformat(named)).days
    except ValueError:
        return None


def readings_taken(job: Job) -> tuple[TakenReading, ...]:
    """Return the readings that stand in a job, in its order.

    Parameters
    ----------
    job : Job
        The job as it was read.
    """
    every, standing = job.installation.readings, standing_readings(job)
    newest = {id(each) for group in standing for each in group.values}
    last = {id(each.reading) for each in counted_readings(job)}
    return tuple(
        TakenReading(
            where=each.through or f"{each.red} to {each.black}",
            text=each.text,
            when=group.when.value,
            using=tuple(sorted(group.using)),
            group=n,
            number=m,
            date=group.date,
            past=id(each) not in newest,
            again=id(each) in newest and id(each) not in last,
        )
        for n, group in enumerate(every)
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
            words("that reading does not stand in the job"),
            wanted=words("one that does"),
            given=f"{taken.where}: {taken.text}",
        )
    path: tuple[str | int, ...] = ("readings", taken.group, "values", taken.number)
    if sum(each.group == taken.group for each in there) == 1:
        # What was mended stays, and so does its day.
        mended = job.installation.readings[taken.group].mended is not None
        path = ("readings", taken.group, "values") if mended else ("readings", taken.group)
        path = ("readings",) if len(job.installation.readings) == 1 and not mended else path
    return edited(job.text, (Edit(path=path, do=EditKind.REMOVE),), file=file)


def with_mended(
    job: Job,
    what: str,
    *,
    using: Sequence[str] | None = None,
    date: str | None = None,
    by: str | None = None,
    file: str = "-",
) -> str:
    """Return the text of a job in which something was mended: what that can have changed is history.

    Parameters
    ----------
    job : Job
        The job as it was read.
    what : str
        What was mended: a place as `locate` names it, a load, a circuit, a part, or a point to clean.
    using : sequence of str or None
        Loads that run when it is read again; left out, none.
    date : str or None
        Day of the visit, `2026-11-28`; left out, none is written.
    by : str or None
        Who mended it.
    file : str
        Name of the job file, for messages.

    Raises
    ------
    CallError
        Nothing was named, or nothing that this job has.

    Examples
    --------
    >>> from groundstrap.api import read_job
    >>> job = read_job('''groundstrap: 1
    ... title: Work light on the trailer
    ... system: 12 V
    ... loads: {work light: {claims: {power: 60 W}}}
    ... circuits: {work light: {length: 7 m}}
    ... readings:
    ...   - {when: resting, using: [work light], values: [work light: 9.9 V]}
    ... ''')
    >>> text = with_mended(job, "work light return 1", using=("work light",))
    >>> print(text.splitlines()[-1])
      - {when: resting, using: [work light], mended: work light return 1}
    >>> readings_taken(read_job(text))[0].past
    True
    """
    told = " ".join(what.split())
    if not told:
        wanted = words("a place, such as 'pump return 1'")
        raise CallError(words("nothing was named that was mended"), wanted=wanted)
    _check_mended(job, told)
    more = {"date": date, "by": by, "mended": told}
    return _with_set(job, Situation.RESTING.value, tuple(using or ()), more, file).text


def _check_mended(job: Job, told: str) -> None:
    """Refuse what is no place of this job: nobody could tell then which readings it makes history."""
    names = mendable(wired(job))
    if told in names:
        return
    plain = sorted(name for name in names if " to " not in name)
    near = get_close_matches(told.casefold(), plain, n=_MOST_NEAR, cutoff=_NEAR)
    some = near or sorted(job.installation.circuits)
    raise CallError(
        words("this job has no {what}", what=told),
        wanted=words("what was mended as `locate` names it, such as {names}", names=listed(some)),
        nearest=nearest_name(told, names),
    )


def without_mended(job: Job, *, file: str = "-") -> str:
    """Return the text of a job without its last mend: what was read before it counts again.

    Parameters
    ----------
    job : Job
        The job as it was read.
    file : str
        Name of the job file, for messages.

    Raises
    ------
    CallError
        Nothing was mended in it.
    """
    there = job.installation.readings
    last = max((n for n, each in enumerate(there) if each.mended is not None), default=None)
    if last is None:
        wanted = words("a job with `mended` in its readings")
        raise CallError(words("nothing was mended in this job"), wanted=wanted)
    path: tuple[str | int, ...] = ("readings", last, "mended") if there[last].values else ("readings", last)
    path = ("readings",) if len(there) == 1 and not there[last].values else path
    return edited(job.text, (Edit(path=path, do=EditKind.REMOVE),), file=file)


def _readable(text: str, file: str, job: Job) -> Job:
    """The job of a text, once it is sure that it can be read: nothing is lost by a slip."""
    return read_job(text, file, folder=job.folder)
