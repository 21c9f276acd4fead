"""From readings to a fault: which place explains them, how sure that is, what to read next."""

from __future__ import annotations

from groundstrap.api.held_readings import with_readings
from groundstrap.api.planning import wiring_plan
from groundstrap.api.wired import standing_readings, wired
from groundstrap.errors import CallError, listed, nearest_name, shown
from groundstrap.job import Job
from groundstrap.locate import Complaint
from groundstrap.locate import locate as find
from groundstrap.model import LoadKind, MeterSpec, State
from groundstrap.records import replace
from groundstrap.report.figures import Display
from groundstrap.report.layout import Style, laid_out
from groundstrap.report.location import LocationAnswer
from groundstrap.report.location_json import location_object
from groundstrap.report.location_text import location_lines
from groundstrap.report.location_words import AskedReading, asked_readings, reading_words, verdict_words
from groundstrap.report.values import json_text
from groundstrap.tables import meter_names
from groundstrap.words import joined, words

__all__ = [
    "AskedReading",
    "LocationAnswer",
    "asked_for",
    "check_complaint",
    "locate",
    "locate_json",
    "locate_line",
    "locate_text",
    "may_be_complained_of",
]


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
    check_complaint(job, load=load, meter=meter)
    planned = wiring_plan(job)
    complaint = Complaint(load=load, dead=dead, flat=flat) if load is not None or flat else None
    spec = None if meter is None else MeterSpec(text=meter, name=meter)
    found = find(wired(job), complaint, meter=spec, proposals=proposals, readings=job.installation.readings)
    with_them = replace(planned.installation, readings=standing_readings(job))
    return LocationAnswer(plan=replace(planned, installation=with_them), location=found)


def check_complaint(job: Job, *, load: str | None = None, meter: str | None = None) -> None:
    """Refuse a load or a meter that there is not, before anything is read.

    Parameters
    ----------
    job : Job
        The job as it was read.
    load : str or None
        The load that somebody complains of.
    meter : str or None
        Name of a meter.

    Raises
    ------
    CallError
        There is no such load or meter.
    """
    known = set(may_be_complained_of(job))
    if load is not None and load not in known:
        wanted = words("one of {names}", names=listed(sorted(known)))
        raise CallError(
            words("no such load in this job"), wanted=wanted, given=load, nearest=nearest_name(load, known)
        )
    if meter is not None and meter not in meter_names():
        raise CallError(words("there is no meter {name}", name=shown(meter)), wanted=listed(meter_names()))


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


def locate_text(
    answer: LocationAnswer, *, units: str | None = None, width: int = 80, colour: bool = False
) -> str:
    """Return suspects and what to read next for a terminal; units, width and colour as for `plan_text`."""
    shown = Display.of(answer.installation, units)
    lines = location_lines(answer, Style(width=width, colour=colour, shown=shown))
    return laid_out(lines)


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
