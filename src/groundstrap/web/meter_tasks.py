"""What workers do while somebody measures: put a reading in or take one back, and say what it means."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any, Final

from groundstrap import api
from groundstrap.errors import CallError, GroundstrapError, JobError
from groundstrap.records import dataclass
from groundstrap.web.pages import phrases
from groundstrap.web.pages.rendering import Look, filled, said
from groundstrap.web.problems import in_words, of_error
from groundstrap.web.tasks import Asked, beside, read

if TYPE_CHECKING:
    from groundstrap.api.reading import Job

__all__ = [
    "Complaint",
    "MeterAsked",
    "MeterPart",
    "Typed",
    "located",
    "meter_part",
    "reading_text",
    "with_one",
]

_NUMBER: Final = re.compile(r"[+\-\N{MINUS SIGN}]?\d*[.,]?\d+")
_PROPOSED: Final = 3
_MOST_PROPOSED: Final = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Complaint:
    """What is complained of, and what it is measured with."""

    load: str | None = None
    """None for a walk round everything that runs."""
    dead: bool = False
    flat: bool = False
    """Whether the battery goes flat though nothing runs."""
    meter: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """A reading as it was typed."""

    where: str
    value: str
    unit: str
    when: str
    using: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFile:
    """A sheet of readings as it came."""

    name: str
    content: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterAsked:
    """A job, what is complained of, and what was done."""

    job: Asked
    about: Complaint | None = None
    """None until it was chosen."""
    take: Typed | None = None
    sheet: SheetFile | None = None
    back: tuple[int, int] | None = None
    """Of the reading that is taken back: number of its entry, and its own in it."""
    mended: str = ""
    """What was mended."""
    not_mended: bool = False
    """Whether the last mend is taken back."""
    skipped: tuple[str, ...] = ()
    changed: bool = False
    """Whether the text holds more than what is kept."""
    base: int
    """Revision that the text was made from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterPart:
    """The view filled, and whether what was typed was refused."""

    html: str
    refused: bool


def located(asked: Asked, about: Complaint) -> str:
    """Return what the readings of a job point to, as JSON."""
    job = read(asked)
    found = api.locate(job, load=about.load, dead=about.dead, flat=about.flat, meter=about.meter)
    return api.locate_json(found)


def with_one(asked: Asked, reading: str, given: Mapping[str, Any]) -> str:
    """Return the text of a job with one more reading."""
    with beside(asked) as folder:
        return api.with_reading(api.read_job(asked.text, "job", folder=folder), reading, file="job", **given)


def reading_text(typed: Typed) -> str:
    """Return a reading as a job file has it: a comma of the keyboard is a decimal point here.

    >>> reading_text(Typed(where="pump", value="10,9", unit="V", when="resting", using=()))
    'pump: 10.9 V'
    """
    value = typed.value.strip()
    if not typed.where.strip():
        raise CallError("no point was chosen", wanted="one point for each lead, or a cable for the clamp")
    if not value:
        raise CallError("nothing was typed", wanted="what the meter shows, such as 0.31")
    if _NUMBER.fullmatch(value):
        sign = "-" if value[0] in "-\N{MINUS SIGN}" else ""
        whole, _, rest = value.lstrip("+-\N{MINUS SIGN}").replace(",", ".").partition(".")
        value = f"{sign}{whole or 0}{'.' if rest else ''}{rest} {typed.unit}"
    return f"{typed.where.strip()}: {value}"


def meter_part(asked: MeterAsked, look: Look, csrf: str) -> MeterPart:
    """Return the view: what is known after what was done, and the reading that tells most now."""
    wrong: tuple[str, ...] = ()
    found, job, done = None, None, _Done()
    faults: tuple[Mapping[str, Any], ...] = ()
    try:
        with beside(asked.job) as folder:
            job = api.read_job(asked.job.text, "job", folder=folder)
            done = _done(asked, job)
            job, wrong = done.job or job, done.wrong
        if asked.about is not None:
            found = _found(asked, job)
    except JobError as error:
        faults = tuple(dict(each) for each in of_error(error).faults)
    except GroundstrapError as error:
        wrong = (*wrong, in_words(error))
    values = {**_values(asked, job, found, look), "put_in": done.put_in}
    refused = bool(wrong or faults)
    html = filled("meter_part.html", look, csrf=csrf, wrong=wrong, faults=faults, refused=refused, **values)
    return MeterPart(html=html, refused=refused)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Done:
    """What became of what was done: the job after it, or what stands against it."""

    job: Job | None = None
    wrong: tuple[str, ...] = ()
    put_in: api.Entered | None = None
    """Of a sheet: how much of it went in."""


def _done(asked: MeterAsked, job: Job) -> _Done:
    meter, today = None if asked.about is None else asked.about.meter, date.today().isoformat()

    def day() -> str:
        """Only what writes a day asks for it: a reading of a day yet to come must be there to take back."""
        return api.visit_day(job, today)

    try:
        if asked.take is not None:
            take = asked.take
            given: dict[str, Any] = {"when": take.when or None, "using": take.using, "meter": meter}
            return _Done(job=api.job_with_reading(job, reading_text(take), date=day(), file="job", **given))
        if asked.sheet is not None:
            text = api.decode_job(asked.sheet.content, asked.sheet.name)
            told: dict[str, Any] = {"meter": meter, "date": day(), "today": today}
            put_in = api.with_sheet(job, text, asked.sheet.name, file="job", **told)
            return _Done(job=api.read_job(put_in.text, "job", folder=job.folder), put_in=put_in)
        if asked.back is not None:
            text = api.without_reading(job, _named(job, asked.back), file="job")
            return _Done(job=api.read_job(text, "job", folder=job.folder))
        if asked.not_mended:
            text = api.without_mended(job, file="job")
            return _Done(job=api.read_job(text, "job", folder=job.folder))
        if asked.mended:
            text = api.with_mended(job, asked.mended, using=_runs(asked), date=day(), file="job")
            return _Done(job=api.read_job(text, "job", folder=job.folder))
    except JobError as error:
        # A line of a sheet is named with its file, which `said` leaves out.
        lines = [api.line_said(fault) for fault in error.faults] if asked.sheet is not None else []
        return _Done(wrong=tuple(lines or (str(each["said"]) for each in of_error(error).faults)))
    except GroundstrapError as error:
        return _Done(wrong=(in_words(error),))
    return _Done()


def _runs(asked: MeterAsked) -> tuple[str, ...]:
    """What runs when it is read again: the load that is complained of."""
    return () if asked.about is None or asked.about.load is None else (asked.about.load,)


def _named(job: Job, back: tuple[int, int]) -> api.TakenReading:
    for each in api.readings_taken(job):
        if (each.group, each.number) == back:
            return each
    raise CallError("that reading does not stand in the job", wanted="one of the list")


def _found(asked: MeterAsked, job: Job) -> api.MeterSheet:
    about = asked.about or Complaint()
    most = min(_PROPOSED + len(asked.skipped), _MOST_PROPOSED)
    answer = api.locate(
        job, load=about.load, dead=about.dead, flat=about.flat, meter=about.meter, proposals=most
    )
    return api.meter_sheet(answer)


def _values(asked: MeterAsked, job: Job | None, found: api.MeterSheet | None, look: Look) -> dict[str, Any]:
    """What the template is filled with beside what was refused."""
    text = asked.job.text if job is None else job.text
    every = () if job is None else api.readings_taken(job)
    taken = tuple(each for each in every if not each.past)
    asks = [each for each in found.asks if each.where not in asked.skipped] if found else []
    typed = asked.take if text == asked.job.text else None
    return {
        "sheet": found,
        "ask": asks[0] if asks else None,
        "taken": list(zip(taken, _verdicts(taken, found), strict=True)),
        "loads": () if job is None else api.may_be_complained_of(job),
        "earlier": len(every) - len(taken),
        "about": asked.about,
        "other": _other(asked, taken, asks),
        "skipped": asked.skipped,
        "typed": typed,
        "text": text if asked.changed or text != asked.job.text else "",
        "base": asked.base,
        "meters": [(key, said(name, look.code)) for key, name in phrases.METERS.items()],
        "situations": [(key, said(name, look.code)) for key, name in phrases.MEASURED_IN.items()],
        "just": asked.take is not None and typed is None,
    }


def _verdicts(taken: tuple[api.TakenReading, ...], found: api.MeterSheet | None) -> list[Any]:
    """What was said of each reading; nothing of those that were left out, and before a complaint."""
    told = list(found.readings) if found else []
    found_: list[Any] = []
    # What was read again stands further behind among the verdicts than in the job.
    for each in taken:
        mine = next((row for row in told if (row.text, row.at) == (each.text, each.where)), None)
        if mine is not None and not each.again:
            told.remove(mine)
        found_.append(None if each.again else mine)
    return found_


@dataclass(frozen=True, slots=True)
class _Other:
    """In which situation something else is read, and with what on, until somebody says otherwise."""

    when: str
    using: tuple[str, ...]


def _other(asked: MeterAsked, taken: tuple[api.TakenReading, ...], asks: Sequence[Any]) -> _Other:
    """As it was typed, else as what is asked for, else as what was read last with the load on."""
    if asked.take is not None and asked.take.when:
        return _Other(asked.take.when, asked.take.using)
    if asks:
        return _Other(asks[0].when, asks[0].using)
    runs = _runs(asked)
    for each in reversed(taken):
        if set(runs) <= set(each.using):
            return _Other(each.when, each.using)
    return _Other("resting", runs)
