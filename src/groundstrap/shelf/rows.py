"""Jobs and revisions as rows, inside a transaction that somebody else has begun."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Mapping
from datetime import UTC, datetime
from types import MappingProxyType
from typing import Final

from sqlalchemy import ColumnElement, and_, delete, or_, select
from sqlalchemy.orm import Session

from groundstrap.errors import NotOnShelfError
from groundstrap.records import dataclass
from groundstrap.shelf.facts import Facts, facts_of, folded
from groundstrap.shelf.given import checked_files, checked_line, checked_text, checked_who, fingerprint_of
from groundstrap.shelf.records import Photo, Revision, RevisionLine, Saved, ShelfJob
from groundstrap.shelf.schema import FileRow, JobRow, PhotoRow, RevisionFileRow, RevisionRow
from groundstrap.words import words

__all__ = [
    "Behind",
    "Draft",
    "append",
    "draft",
    "erase_job",
    "found_row",
    "insert_job",
    "insert_revision",
    "job_of",
    "job_row",
    "lines_of",
    "listed_jobs",
    "new_id",
    "photo_columns",
    "photo_of",
    "revision_of",
]

# Without letters and digits that are read as one another.
_ALPHABET: Final = "23456789abcdefghjkmnpqrstuvwxyz"
_ID_LENGTH: Final = 13
_LEAST_OF_ID: Final = 3
_LINE: Final = (
    "job_id",
    "number",
    "who",
    "when_utc",
    "note",
    "fingerprint",
    "title",
    "vehicle",
    "based_on",
    "restored_from",
)
_PHOTO: Final = ("id", "job_id", "caption", "who", "when_utc", "media_type", "size_bytes")


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A state of a job that is about to be kept; `files` none: those of the revision it is based on."""

    text: str
    facts: Facts
    files: Mapping[str, str] | None
    who: str
    note: str
    based_on: int | None = None
    restored_from: int | None = None
    when_utc: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """Somebody else has saved since."""

    theirs: Revision
    base: Revision


def draft(
    text: str, files: Mapping[str, str] | None, who: str, note: str, *, based_on: int | None = None
) -> Draft:
    """Return what is to be kept, looked at before any transaction waits for that."""
    return Draft(
        text=checked_text(text),
        facts=facts_of(text),
        files=None if files is None else checked_files(files),
        who=checked_who(who),
        note=checked_line(note, words("the note")),
        based_on=based_on,
    )


def new_id() -> str:
    """Return an id that nobody guesses."""
    return "".join(secrets.choice(_ALPHABET) for _ in range(_ID_LENGTH))


def job_row(session: Session, job_id: str, *, locked: bool = False) -> JobRow:
    """Return the row of a job; locked, it waits for whoever is saving it."""
    wanted = select(JobRow).where(JobRow.id == job_id)
    row = session.scalar(wanted.with_for_update() if locked else wanted) if "\0" not in job_id else None
    if row is None:
        raise NotOnShelfError("job", job_id, wanted=words("an id that the list shows"))
    return row


def found_row(session: Session, said: str) -> JobRow:
    """Return the row of the job that is meant by an id, the beginning of one, or a title."""
    wanted = " ".join(checked_line(said, words("the job")).split())
    row = session.get(JobRow, wanted)
    if row is not None:
        return row
    begins = JobRow.id.startswith(wanted.lower(), autoescape=True)
    found = list(session.scalars(select(JobRow).where(begins))) if len(wanted) >= _LEAST_OF_ID else []
    if not found:
        named = JobRow.words.contains(folded(wanted), autoescape=True)
        every = session.scalars(select(JobRow).where(named, JobRow.removed_utc.is_(None)))
        found = [row for row in every if folded(row.title) == folded(wanted)]
    if len(found) == 1:
        return found[0]
    ids = ", ".join(row.id for row in found)
    raise NotOnShelfError(
        "job",
        said,
        wanted=words("one of {names}", names=ids) if found else words("an id or a title that the list shows"),
    )


def job_of(row: JobRow) -> ShelfJob:
    """Return a job as it is given out."""
    return ShelfJob(
        id=row.id,
        title=row.title,
        vehicle=row.vehicle,
        latest=row.latest,
        who=row.who,
        begun_utc=row.begun_utc,
        changed_utc=row.changed_utc,
        removed_utc=row.removed_utc,
        removed_by=row.removed_by,
    )


def listed_jobs(
    session: Session, *, search: str, vehicle: str, limit: int, after: str | None, removed: bool
) -> tuple[ShelfJob, ...]:
    """Return the jobs that have all words, what was changed last first."""
    there = JobRow.removed_utc.is_not(None) if removed else JobRow.removed_utc.is_(None)
    tests: list[ColumnElement[bool]] = [there]
    tests += [JobRow.words.contains(word, autoescape=True) for word in folded(search).split()]
    tests += [JobRow.vehicle_words.contains(word, autoescape=True) for word in folded(vehicle).split()]
    if after is not None:
        last = job_row(session, after)
        earlier = JobRow.changed_utc < last.changed_utc
        tests.append(or_(earlier, and_(JobRow.changed_utc == last.changed_utc, JobRow.id < last.id)))
    wanted = select(JobRow).where(*tests).order_by(JobRow.changed_utc.desc(), JobRow.id.desc())
    return tuple(job_of(row) for row in session.scalars(wanted.limit(max(limit, 0))))


def revision_of(session: Session, job_id: str, number: int | None = None) -> Revision:
    """Return a revision, the newest where no number is given."""
    latest = job_row(session, job_id).latest
    wanted = latest if number is None else number
    row = session.get(RevisionRow, (job_id, wanted)) if 0 < wanted <= latest else None
    if row is None:
        raise NotOnShelfError("revision", str(wanted), wanted=words("one from 1 to {latest}", latest=latest))
    values = {name: getattr(row, name) for name in _LINE}
    return Revision(text=row.text, files=_files(session, job_id, row.number), **values)


def _files(session: Session, job_id: str, number: int) -> Mapping[str, str]:
    wanted = (
        select(RevisionFileRow.name, FileRow.text)
        .join(FileRow, FileRow.sha256 == RevisionFileRow.sha256)
        .where(RevisionFileRow.job_id == job_id, RevisionFileRow.number == number)
    )
    return MappingProxyType(dict(sorted((name, text) for name, text in session.execute(wanted))))


def lines_of(session: Session, job_id: str) -> tuple[RevisionLine, ...]:
    """Return all revisions without their texts, the newest first."""
    job_row(session, job_id)
    columns = [getattr(RevisionRow, name) for name in _LINE]
    wanted = select(*columns).where(RevisionRow.job_id == job_id).order_by(RevisionRow.number.desc())
    return tuple(RevisionLine(**row) for row in session.execute(wanted).mappings())


def insert_job(session: Session, first: Draft) -> JobRow:
    """Begin a job with its first revision."""
    now = datetime.now(UTC)
    row = JobRow(
        id=new_id(),
        title="",
        vehicle="",
        latest=0,
        who=first.who,
        begun_utc=first.when_utc or now,
        changed_utc=now,
        removed_by="",
        words="",
        vehicle_words="",
    )
    session.add(row)
    session.flush()
    insert_revision(session, row, first, first.files or {})
    return row


def append(session: Session, job_id: str, wanted: Draft) -> Saved | Behind:
    """Add a revision where nobody else did so since; one that says nothing new is none."""
    row = job_row(session, job_id, locked=True)
    base = revision_of(session, job_id, wanted.based_on)
    latest = base if row.latest == base.number else revision_of(session, job_id)
    files = base.files if wanted.files is None else wanted.files
    if latest.text == wanted.text and dict(latest.files) == dict(files):
        row.removed_utc, row.removed_by = None, ""
        return Saved(job_id=job_id, number=latest.number, new=False)
    if latest.number != base.number:
        return Behind(theirs=latest, base=base)
    return Saved(job_id=job_id, number=insert_revision(session, row, wanted, files))


def insert_revision(session: Session, row: JobRow, wanted: Draft, files: Mapping[str, str]) -> int:
    """Add a revision as the newest one of a job, and bring what the list shows up to it."""
    now = datetime.now(UTC)
    facts = wanted.facts
    row.latest += 1
    row.title, row.vehicle, row.words = facts.title, facts.vehicle, facts.words
    row.vehicle_words = folded(facts.vehicle)
    row.who, row.changed_utc = wanted.who, now
    row.removed_utc, row.removed_by = None, ""
    session.add(
        RevisionRow(
            job_id=row.id,
            number=row.latest,
            text=wanted.text,
            who=wanted.who,
            when_utc=wanted.when_utc or now,
            note=wanted.note,
            fingerprint=fingerprint_of(wanted.text, files),
            title=facts.title,
            vehicle=facts.vehicle,
            based_on=wanted.based_on,
            restored_from=wanted.restored_from,
        )
    )
    session.flush()
    for name, text in files.items():
        sha256 = hashlib.sha256(text.encode("utf-8")).hexdigest()
        if session.get(FileRow, sha256) is None:
            session.add(FileRow(sha256=sha256, text=text))
            session.flush()
        session.add(RevisionFileRow(job_id=row.id, number=row.latest, name=name, sha256=sha256))
    session.flush()
    return row.latest


def erase_job(session: Session, job_id: str) -> None:
    """Take a job off the shelf with everything that belongs to it."""
    session.execute(delete(PhotoRow).where(PhotoRow.job_id == job_id))
    session.execute(delete(RevisionFileRow).where(RevisionFileRow.job_id == job_id))
    session.execute(delete(FileRow).where(FileRow.sha256.not_in(select(RevisionFileRow.sha256))))
    session.execute(delete(RevisionRow).where(RevisionRow.job_id == job_id))
    session.execute(delete(JobRow).where(JobRow.id == job_id))


def photo_columns() -> list[ColumnElement[object]]:
    """Return the columns of a photo without its content."""
    return [getattr(PhotoRow, name) for name in _PHOTO]


def photo_of(row: Mapping[str, object]) -> Photo:
    """Return a photo as it is given out."""
    return Photo(**{name: row[name] for name in _PHOTO})  # type: ignore[arg-type]
