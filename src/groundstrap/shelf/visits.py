"""Visits of a vehicle as rows: what was measured as built and at each visit after it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime
from typing import Any, Final

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from groundstrap.errors import CallError, NotOnShelfError
from groundstrap.records import replace
from groundstrap.shelf import rows
from groundstrap.shelf.given import checked_line, checked_who
from groundstrap.shelf.records import Visit, VisitPlace
from groundstrap.shelf.schema import VisitPlaceRow, VisitRow
from groundstrap.words import words

__all__ = [
    "MOST_VISITS",
    "erase_visits",
    "forget_visit",
    "put_visit",
    "told_visit",
    "visit_told",
    "visits_of",
]

MOST_VISITS: Final = 500
_MOST_PLACES: Final = 2_000
_LONGEST: Final = 300
_MOST_OHM: Final = 1e9
"""More ohms, or amps, than any joint has, and few enough to be squared; own judgement. [ohm, A]"""
_PLACE: Final = (
    "red", "black", "place", "ohm", "standard_ohm", "usual_ohm", "limit_ohm", "current_a", "read", "mended",
)  # fmt: skip


def put_visit(session: Session, job_id: str, visit: Visit) -> Visit:
    """Keep a visit; one of the same day is replaced: it was accepted once more, with more readings."""
    rows.job_row(session, job_id, locked=True)
    kept = _checked(replace(visit, job_id=job_id))
    there = {each.day for each in visits_of(session, job_id)}
    if len(there - {kept.day}) >= MOST_VISITS:
        raise CallError(
            words("the job has {count} visits already", count=len(there)),
            wanted=words("to forget an old one first"),
        )
    _forget(session, job_id, kept.day)
    session.add(
        VisitRow(
            job_id=job_id,
            day=kept.day,
            revision=kept.revision,
            who=kept.who,
            when_utc=kept.when_utc or datetime.now(UTC),
            note=kept.note,
        )
    )
    session.flush()
    for each in kept.places:
        values = {name: getattr(each, name) for name in _PLACE}
        session.add(VisitPlaceRow(job_id=job_id, day=kept.day, **values))
    session.flush()
    return next(each for each in visits_of(session, job_id) if each.day == kept.day)


def _checked(visit: Visit) -> Visit:
    """A visit that may be kept; what an archive tells is looked at like anything else."""
    try:
        sound = date.fromisoformat(visit.day).isoformat() == visit.day
    except ValueError:
        sound = False
    if not sound:
        raise CallError(
            words("a visit has a day of the calendar"),
            wanted=words("one such as 2026-11-28"),
            given=visit.day,
        )
    if len(visit.places) > _MOST_PLACES:
        raise CallError(
            words("a visit of {count} places", count=len(visit.places)),
            wanted=words("at most {count}", count=_MOST_PLACES),
        )
    for each in visit.places:
        for text in (each.red, each.black, each.place or "", each.read):
            checked_line(text, words("a place of a visit"), _LONGEST)
        known = (each.ohm, each.standard_ohm, each.usual_ohm, each.current_a, each.limit_ohm or 0.0)
        if not all(abs(value) < _MOST_OHM for value in known) or each.standard_ohm <= 0.0:
            raise CallError(
                words("the ohms of {red} to {black} are none", red=each.red, black=each.black),
                wanted=words("numbers, with an uncertainty"),
            )
    if len({(each.red, each.black) for each in visit.places}) < len(visit.places):
        raise CallError(words("a visit has a place twice"), wanted=words("one line for each pair of points"))
    return replace(visit, who=checked_who(visit.who), note=checked_line(visit.note, words("the note")))


def visits_of(session: Session, job_id: str) -> tuple[Visit, ...]:
    """Return the visits of a job, the first one first."""
    rows.job_row(session, job_id)
    places: dict[str, list[VisitPlace]] = {}
    wanted = select(VisitPlaceRow).where(VisitPlaceRow.job_id == job_id)
    for row in session.scalars(wanted.order_by(VisitPlaceRow.red, VisitPlaceRow.black)):
        place = VisitPlace(**{name: getattr(row, name) for name in _PLACE})
        places.setdefault(row.day, []).append(place)
    found = session.scalars(select(VisitRow).where(VisitRow.job_id == job_id).order_by(VisitRow.day))
    return tuple(
        Visit(
            job_id=job_id,
            day=row.day,
            revision=row.revision,
            who=row.who,
            when_utc=row.when_utc,
            note=row.note,
            places=tuple(places.get(row.day, ())),
        )
        for row in found
    )


def forget_visit(session: Session, job_id: str, day: str) -> None:
    """Take a visit off a job; its readings stay in the job's revisions."""
    rows.job_row(session, job_id, locked=True)
    if session.get(VisitRow, (job_id, day)) is None:
        raise NotOnShelfError("visit", day, wanted=words("a day that its visits show"))
    _forget(session, job_id, day)


def _forget(session: Session, job_id: str, day: str) -> None:
    for table in (VisitPlaceRow, VisitRow):
        session.execute(delete(table).where(table.job_id == job_id, table.day == day))
    session.expire_all()


def erase_visits(session: Session, job_id: str) -> None:
    """Take all visits off a job that is forgotten."""
    for table in (VisitPlaceRow, VisitRow):
        session.execute(delete(table).where(table.job_id == job_id))


def visit_told(visit: Visit) -> Mapping[str, Any]:
    """Return a visit as the index of an archive has it."""
    return {
        "day": visit.day,
        "revision": visit.revision,
        "who": visit.who,
        "when_utc": None if visit.when_utc is None else visit.when_utc.isoformat(),
        "note": visit.note,
        "places": [{name: getattr(each, name) for name in _PLACE} for each in visit.places],
    }


def told_visit(told: Mapping[str, Any], when_utc: datetime, revisions: int) -> Visit:
    """Return the visit that the index of an archive tells; what is wrong with it is the archive's fault."""
    if not 0 < int(told["revision"]) <= revisions:
        raise ValueError("a visit of no revision")
    return _checked(
        Visit(
            job_id="",
            day=str(told["day"]),
            revision=int(told["revision"]),
            who=str(told["who"]),
            when_utc=when_utc,
            note=str(told["note"]),
            places=tuple(_told_places(told)),
        )
    )


def _told_places(told: Mapping[str, Any]) -> Iterator[VisitPlace]:
    for each in list(told["places"]):
        limit = each["limit_ohm"]
        yield VisitPlace(
            red=str(each["red"]),
            black=str(each["black"]),
            place=None if each["place"] is None else str(each["place"]),
            ohm=float(each["ohm"]),
            standard_ohm=float(each["standard_ohm"]),
            usual_ohm=float(each["usual_ohm"]),
            limit_ohm=None if limit is None else float(limit),
            current_a=float(each["current_a"]),
            read=str(each["read"]),
            mended=bool(each["mended"]),
        )
