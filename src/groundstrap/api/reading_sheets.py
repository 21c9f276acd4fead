"""A sheet that was filled in, put into a job: all of its readings, or none and which line is wrong."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from groundstrap.api.taking import is_to_come, readings_taken
from groundstrap.errors import Fault, JobError
from groundstrap.job import Edit, EditKind, Job, edited, read_job
from groundstrap.job.reading_rows import SheetRow, read_sheet
from groundstrap.model import Situation
from groundstrap.records import dataclass, replace
from groundstrap.words import words

__all__ = ["Entered", "with_sheet"]

_PLACE: Final = re.compile(r"readings\.(\d+)(?:\.(?:values\.(\d+))?)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """A job's text with the readings of a sheet in it."""

    text: str
    taken: int
    """How many readings came in."""
    known: int
    """How many stood there already, and did not come in twice."""
    before: tuple[int, ...] = ()
    """Lines that read exactly as before a mend which can have changed them: nobody knows whether they were
    read again, so they did not come in."""
    dead: tuple[int, ...]
    """Lines with ohms of a dead circuit, which stay on the sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Set:
    """Readings taken together, as the job file has them."""

    when: str
    using: tuple[str, ...]
    meter: str
    date: str
    by: str


def with_sheet(
    job: Job,
    sheet: str,
    name: str,
    *,
    when: str | None = None,
    using: Sequence[str] = (),
    meter: str | None = None,
    date: str | None = None,
    by: str | None = None,
    again: bool = False,
    today: str | None = None,
    file: str = "-",
) -> Entered:
    r"""Return the text of a job with the readings of a sheet; comments and what stood there stay.

    What is given here counts for the lines that say nothing of it themselves.

    Parameters
    ----------
    job : Job
        The job as it was read.
    sheet : str
        The sheet as CSV: the pack's `tests.csv` filled in, or any with the columns `where` and `read`.
    name : str
        Of the sheet, for messages.
    when : str or None
        Situation; left out, `resting`.
    using : sequence of str
        Loads that ran.
    meter, date, by : str or None
        Meter, day of the visit and who read.
    again : bool
        Whether lines that read exactly as before a mend were read again since.
    today : str or None
        By the calendar of whoever reads: lines of a day yet to come are wrong; left out, none is.
    file : str
        Name of the job file, for messages.

    Raises
    ------
    JobError
        With every line that is no reading of this job: what was found, and what would do.

    Examples
    --------
    >>> from groundstrap.api import read_job
    >>> job = read_job('''groundstrap: 1
    ... title: Work light on the trailer
    ... system: 12 V
    ... loads: {work light: {claims: {power: 60 W}}}
    ... circuits: {work light: {length: 7 m}}
    ... ''')
    >>> found = with_sheet(job, "where,read,using\nwork light,11.9 V,work light\n", "sheet.csv")
    >>> print(found.text.splitlines()[-1])
      - {when: resting, using: [work light], values: [work light: 11.9 V]}
    """
    rows = read_sheet(sheet, name)
    usual = _Set(
        when=when or Situation.RESTING.value,
        using=tuple(using),
        meter=meter or "",
        date=date or "",
        by=by or "",
    )
    live = [row for row in rows if not row.dead]
    _check_days(live, name, today)
    there = _read(job)
    every = _with_rows(job, live, usual, name, file)
    put_in = list(zip(_in_order(live, usual), _read(every)[len(there) :], strict=True))
    changed = list(zip(there, _changed_since(job), strict=True))
    mended = [] if again else [found for found, gone in changed if gone]
    standing = [found for found, gone in changed if not gone]
    before = [row for row, found in put_in if found not in standing and found in mended]
    fresh = [row for row, found in put_in if found not in standing and row not in before]
    text = every.text if len(fresh) == len(live) else _with_rows(job, fresh, usual, name, file).text
    return Entered(
        text=text,
        taken=len(fresh),
        known=len(live) - len(fresh) - len(before),
        before=tuple(sorted(row.line for row in before)),
        dead=tuple(row.line for row in rows if row.dead),
    )


def _check_days(rows: Iterable[SheetRow], name: str, today: str | None) -> None:
    """Refuse days that are yet to come: they would hide what is read until then."""
    wrong = [row for row in rows if today is not None and is_to_come(row.date, today)]
    if wrong:
        told = {"wanted": words("today, or a day before it"), "reason": words("that day is yet to come")}
        raise JobError([
            Fault(file=name, line=row.line, column=1, key="date", found=row.date, **told) for row in wrong
        ])  # fmt: skip


def _changed_since(job: Job) -> list[bool]:
    """Of each reading, whether a mend of its own day can have changed it since."""
    newest = max((each.date for each in job.installation.readings if each.date is not None), default=None)
    return [each.past and each.date in {None, newest} for each in readings_taken(job)]


def _with_rows(job: Job, rows: Sequence[SheetRow], usual: _Set, name: str, file: str) -> Job:
    """The job with all rows in it; every line that will not do is named, not the first alone."""
    faults: list[Fault] = []
    left = list(rows)
    first = len(job.installation.readings)
    while True:
        groups = _grouped(left, usual)
        try:
            text = edited(job.text, _edits(groups, empty=not first), file=file)
            made = read_job(text, file, folder=job.folder)
        except JobError as error:
            lines = {
                (first + n, m): row for n, each in enumerate(groups.values()) for m, row in enumerate(each)
            }
            more, wrong = _by_line(error.faults, lines, name)
            faults += more
            left = [row for row in left if row.line not in wrong]
            if wrong and left:
                continue
        break
    if faults:
        raise JobError(sorted(faults, key=lambda fault: fault.line))
    return made


def _set_of(row: SheetRow, usual: _Set) -> _Set:
    said = {key: getattr(row, key) for key in ("when", "using", "meter", "date", "by")}
    # With nothing on, a line that names its situation says so by saying nothing.
    given = {key: value for key, value in said.items() if value or (key == "using" and row.when)}
    return replace(usual, **given)


def _read(job: Job) -> list[tuple[Any, ...]]:
    """What was read where and when, in the order of the file."""
    return [
        (group.when, group.using, group.date, each.kind, each.red, each.black, each.through, each.value)
        for group in job.installation.readings
        for each in group.values
    ]


def _in_order(rows: Iterable[SheetRow], usual: _Set) -> list[SheetRow]:
    """Rows in the order in which their sets go into the file."""
    return [row for group in _grouped(rows, usual).values() for row in group]


def _grouped(rows: Iterable[SheetRow], usual: _Set) -> Mapping[_Set, list[SheetRow]]:
    groups: dict[_Set, list[SheetRow]] = {}
    for row in rows:
        groups.setdefault(_set_of(row, usual), []).append(row)
    return groups


def _edits(groups: Mapping[_Set, list[SheetRow]], *, empty: bool) -> tuple[Edit, ...]:
    made = []
    for head, rows in groups.items():
        entry: dict[str, Any] = {"when": head.when}
        entry.update({"using": list(head.using)} if head.using else {})
        said = {key: getattr(head, key) for key in ("meter", "date", "by")}
        entry.update({key: value for key, value in said.items() if value})
        entry["values"] = [{row.where: row.value, **({"note": row.note} if row.note else {})} for row in rows]
        made.append(entry)
    if empty and made:
        return (Edit(path=("readings",), value=made),)
    return tuple(Edit(path=("readings",), value=each, do=EditKind.ADD) for each in made)


def _by_line(
    faults: Iterable[Fault], lines: Mapping[tuple[int, int], SheetRow], name: str
) -> tuple[list[Fault], frozenset[int]]:
    """Faults of the job's text as faults of the sheet's lines, and all lines that they are about."""
    found: dict[tuple[int, str], Fault] = {}
    wrong: set[int] = set()
    for fault in faults:
        place = _PLACE.match(fault.key)
        group, number = (int(place[1]), place[2]) if place is not None else (-1, None)
        mine = [row for (n, m), row in lines.items() if n == group and number in {None, str(m)}]
        if not mine:
            found.setdefault((fault.line, fault.key), fault)
            continue
        wrong |= {row.line for row in mine}
        told = replace(fault, file=name, line=mine[0].line, column=1, key=mine[0].where)
        found.setdefault((told.line, told.reason or told.wanted), told)
    return list(found.values()), frozenset(wrong)
