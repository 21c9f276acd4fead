"""As built, and a year later: readings that are accepted stay with the vehicle, and are compared with."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from groundstrap.api.planning import pin, plan
from groundstrap.api.visit_texts import compare_visits, visits_json, visits_text
from groundstrap.api.wired import standing_readings
from groundstrap.errors import CallError, listed, nearest_name
from groundstrap.job import Edit, Job, edited, read_job
from groundstrap.locate import OhmsRead, ohms_read
from groundstrap.locate.judged import Agreement
from groundstrap.records import dataclass
from groundstrap.report.network_bands import wiring_read
from groundstrap.report.plan import Plan
from groundstrap.report.visited import Visited, VisitLine
from groundstrap.shelf import Clash, Shelf, Visit, VisitPlace
from groundstrap.words import words

if TYPE_CHECKING:
    from groundstrap.shelf import Revision

__all__ = [
    "AsBuilt",
    "accept_visit",
    "as_built",
    "as_built_of",
    "compare_visits",
    "visited",
    "visits_json",
    "visits_text",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class AsBuilt:
    """A job as it was built and measured, ready to be accepted."""

    day: str
    text: str
    """With the choices of its plan pinned, and the day beside each reading."""
    places: tuple[VisitPlace, ...]
    fails: tuple[str, ...]
    """Readings that sound work does not show."""
    left_out: tuple[str, ...]
    """Readings of volts that say nothing of ohms."""
    pinned: int
    """How many cables and fuses got the choice of the plan written in."""
    written: tuple[str, ...]
    """What is written of each of them."""
    left_open: tuple[str, ...]
    """Circuits that a stop stands against: nothing of theirs is pinned."""


def as_built(job: Job, today: str, *, mended: Sequence[str] = ()) -> AsBuilt:
    """Return what the readings of a job's newest visit say of its joints, with what was fitted pinned.

    Parameters
    ----------
    job : Job
        The job as it was read, with its `readings`.
    today : str
        Day of readings that have none, `2026-11-28`.
    mended : sequence of str
        Places that were mended since the last visit, by their names or as `POINT to POINT`: they begin anew.

    Raises
    ------
    CallError
        It has no readings that say anything of ohms, or no such place was read.

    Examples
    --------
    By hand: 21 mV at 10 A are 2.1 milliohms.

    >>> from groundstrap.api import read_job
    >>> found = as_built(read_job('''groundstrap: 1
    ... title: Work light on the trailer
    ... system: 12 V
    ... loads: {work light: {kind: heater, claims: {power: 120 W, voltage: 12 V, by: manual}}}
    ... circuits: {work light: {length: 2 m, return: battery -, wire: 6 mm2, fuse: 15 A}}
    ... readings:
    ...   - {when: resting, using: [work light], meter: bench, values: [work light: 10.0 A,
    ...      work light fuse in to work light fuse out: 21 mV]}
    ... '''), "2026-11-28")
    >>> [(each.place, round(1e3 * each.ohm, 2)) for each in found.places], "date: 2026-11-28" in found.text
    ([('work light fuse', 2.1)], True)
    """
    sets = standing_readings(job)
    if not sets:
        wanted = words("some, by measure or on the page")
        raise CallError(words("the job has no readings to accept"), wanted=wanted)
    day = max((each.date for each in sets if each.date is not None), default=today)
    planned = plan(job)
    found = ohms_read(wiring_read(planned.installation), sets)
    if not found.read:
        raise CallError(
            words("no reading of this visit says anything of a joint"),
            wanted=words(
                "millivolts over a piece, a return or a fuse while its load runs, such as "
                "'pump - to battery -: 0.05 V' with the pump on"
            ),
        )
    names = {name for each in found.read for name in (each.place, f"{each.red} to {each.black}") if name}
    for each in mended:
        if each not in names:
            raise CallError(
                words("{place} was not read at this visit", place=each),
                wanted=words("one of {names}", names=listed(sorted(names))),
                nearest=nearest_name(each, names),
            )
    written = pin(job, planned)
    return AsBuilt(
        day=day,
        text=_dated(read_job(written.text, folder=job.folder), day),
        places=tuple(_place(planned, each, mended) for each in found.read),
        fails=_failing(planned),
        left_out=found.left_out,
        pinned=written.wires + written.fuses,
        written=written.written,
        left_open=tuple(written.left_open),
    )


def visited(visits: Sequence[Visit]) -> Visited | None:
    """Return accepted visits as a pack tells them; None where there are none.

    Parameters
    ----------
    visits : sequence of Visit
        What the shelf gave.
    """
    if not visits:
        return None
    lines = [
        VisitLine(day=each.day, who=each.who, note=each.note, places=len(each.places), revision=each.revision)
        for each in sorted(visits, key=lambda each: each.day)
    ]
    return Visited(lines=tuple(lines), grown=compare_visits(visits))


def _dated(job: Job, day: str) -> str:
    """The text with the day beside each set of readings that has none."""
    edits = [
        Edit(path=("readings", number, "date"), value=day)
        for number, each in enumerate(job.installation.readings)
        if each.date is None
    ]
    return edited(job.text, edits)


def _place(planned: Plan, found: OhmsRead, mended: Sequence[str]) -> VisitPlace:
    return VisitPlace(
        red=found.red,
        black=found.black,
        place=found.place,
        ohm=found.ohm.value,
        standard_ohm=found.standard_ohm,
        usual_ohm=found.usual.value,
        limit_ohm=_limit(planned, found),
        current_a=found.current_a,
        read=found.text,
        mended=bool({found.place, f"{found.red} to {found.black}"} & set(mended)),
    )


def _limit(planned: Plan, found: OhmsRead) -> float | None:
    """Ohms at which a circuit comes to what it may lose, everything else on it being as planned."""
    limits = []
    for name in found.circuits:
        drop = planned.assessment.circuits[name].drop
        load = planned.assessment.loads.get(drop.load or "")
        if drop.drop_v is None or drop.limit_v is None or load is None or load.current_a is None:
            continue
        left_v = max(drop.limit_v - drop.drop_v, 0.0)
        limits.append(found.usual.value + left_v / load.current_a.value)
    return min(limits, default=None)


def _failing(planned: Plan) -> tuple[str, ...]:
    """Readings beyond what 99.9 % of sound vehicles show."""
    readings = () if planned.judged is None else planned.judged.readings
    return tuple(f"{each.where}: {each.text}" for each in readings if each.agreement is Agreement.FAILS)


def as_built_of(revision: Revision, today: str, *, mended: Sequence[str] = ()) -> AsBuilt:
    """Return the same of a revision of the shelf, with the files that lie beside it.

    Parameters
    ----------
    revision : Revision
        What the shelf has.
    today : str
        Day of readings that have none.
    mended : sequence of str
        Places that were mended since the last visit.
    """
    with tempfile.TemporaryDirectory(prefix="groundstrap-") as folder:
        for name, text in revision.files.items():
            (Path(folder) / name).write_text(text, encoding="utf-8", newline="")
        return as_built(read_job(revision.text, folder=Path(folder)), today, mended=mended)


def accept_visit(
    shelf: Shelf,
    job_id: str,
    made: AsBuilt,
    based_on: int,
    who: str,
    note: str = "",
    *,
    even_so: bool = False,
) -> Visit | Clash:
    """Keep what was built and measured: as the next revision of the job, and as a visit.

    Parameters
    ----------
    shelf : Shelf
        Where the job is.
    job_id : str
        The job.
    made : AsBuilt
        What `as_built` said.
    based_on : int
        Number of the revision that it was made from.
    who : str
        Who accepts.
    note : str
        What there is to say.
    even_so : bool
        Accept as built although readings fail.

    Raises
    ------
    CallError
        It would be the first visit, which all later ones are compared with, and readings fail.
    """
    before = [each for each in shelf.visits(job_id) if each.day != made.day]
    if made.fails and not before and not even_so:
        raise CallError(
            words("sound work does not read this: {readings}", readings=", ".join(made.fails)),
            wanted=words("to mend it and to read again; or to accept it even so, with a note that says why"),
        )
    visit = Visit(
        job_id=job_id, day=made.day, revision=0, who=who, when_utc=None, note=note, places=made.places
    )
    return shelf.accept(job_id, made.text, based_on, who, visit)
