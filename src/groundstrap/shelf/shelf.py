"""The shelf itself: what is on it, what is put on it, and what was there before."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Mapping
from datetime import UTC, datetime
from types import MappingProxyType
from typing import Final, Self

from sqlalchemy import and_, or_, select
from sqlalchemy.orm import Session

from groundstrap.errors import CallError, UnknownNameError
from groundstrap.records import dataclass
from groundstrap.shelf.database import Database
from groundstrap.shelf.facts import facts_of
from groundstrap.shelf.given import checked_files, checked_line, checked_text, checked_who, fingerprint_of
from groundstrap.shelf.location import address
from groundstrap.shelf.records import Clash, Revision, RevisionLine, Saved, ShelfJob
from groundstrap.shelf.schema import FileRow, JobRow, RevisionFileRow, RevisionRow

__all__ = ["Shelf", "open_shelf"]

# Without letters and digits that are read as one another.
_ALPHABET: Final = "23456789abcdefghjkmnpqrstuvwxyz"
_ID_LENGTH: Final = 13


def open_shelf(url: str | None = None) -> Shelf:
    """Open the shelf at an address, with its tables as this program wants them.

    Parameters
    ----------
    url : str or None
        `sqlite:///FILE` or `postgresql://USER@HOST/DATABASE`; left out, the file in the user's data folder,
        which is made where it is not there yet.

    Raises
    ------
    CallError
        The address is none of a shelf.
    CannotDoError
        It can't be reached, read or written, or a later program has changed it.
    """
    return Shelf(Database(address(url)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Draft:
    """A state of a job that is about to be kept."""

    text: str
    files: Mapping[str, str] | None
    who: str
    note: str
    based_on: int | None = None
    restored_from: int | None = None


class Shelf:
    """Jobs with all their revisions. What a method has returned from is on disk."""

    def __init__(self, database: Database) -> None:
        """Keep where it is; `open_shelf` makes one."""
        self._database = database

    @property
    def where(self) -> str:
        """The file or the address, without a password."""
        return self._database.shown

    def close(self) -> None:
        """Leave it; nothing is lost by not doing so."""
        self._database.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def jobs(self, search: str = "", limit: int = 50, after: str | None = None) -> tuple[ShelfJob, ...]:
        """Return jobs, what was changed last first.

        Parameters
        ----------
        search : str
            Words that must all be found; none for every job.
        limit : int
            How many at most.
        after : str or None
            Id of the last job of the page before.
        """

        def work(session: Session) -> tuple[ShelfJob, ...]:
            wanted = select(JobRow).where(JobRow.removed_utc.is_(None))
            if search:
                wanted = wanted.where(JobRow.title.icontains(search, autoescape=True))
            if after is not None:
                last = _job_row(session, after)
                earlier = JobRow.changed_utc < last.changed_utc
                wanted = wanted.where(
                    or_(earlier, and_(JobRow.changed_utc == last.changed_utc, JobRow.id < last.id))
                )
            wanted = wanted.order_by(JobRow.changed_utc.desc(), JobRow.id.desc()).limit(max(limit, 0))
            return tuple(_job(row) for row in session.scalars(wanted))

        return self._database.read(work)

    def job(self, job_id: str) -> ShelfJob:
        """Return one job, be it removed or not."""
        return self._database.read(lambda session: _job(_job_row(session, job_id)))

    def new(self, text: str, who: str, note: str = "", files: Mapping[str, str] | None = None) -> Revision:
        """Keep a text as a new job, and return its first revision.

        Parameters
        ----------
        text : str
            The job file. It may have faults: half a job must not be lost.
        who : str
            Who saves.
        note : str
            What there is to say of this revision.
        files : Mapping of str to str or None
            Files that lie beside the job: name -> content.
        """
        draft = _draft(text, files or {}, who, note)

        def work(session: Session) -> Revision:
            made = _insert_job(session, draft)
            return _revision(session, made, 1)

        return self._database.run(work)

    def revision(self, job_id: str, number: int | None = None) -> Revision:
        """Return a revision of a job, the newest one where no number is given."""
        return self._database.read(lambda session: _revision(session, job_id, number))

    def revisions(self, job_id: str) -> tuple[RevisionLine, ...]:
        """Return all revisions of a job without their texts, the newest first."""

        def work(session: Session) -> tuple[RevisionLine, ...]:
            _job_row(session, job_id)
            columns = [getattr(RevisionRow, name) for name in _LINE]
            wanted = select(*columns).where(RevisionRow.job_id == job_id).order_by(RevisionRow.number.desc())
            return tuple(RevisionLine(**row) for row in session.execute(wanted).mappings())

        return self._database.read(work)

    def save(
        self,
        job_id: str,
        text: str,
        based_on: int,
        who: str,
        note: str = "",
        *,
        files: Mapping[str, str] | None = None,
    ) -> Saved | Clash:
        """Keep a text as the next revision of a job, unless somebody else has saved since.

        Parameters
        ----------
        job_id : str
            The job.
        text : str
            The whole text.
        based_on : int
            Number of the revision that it was written from.
        who : str
            Who saves.
        note : str
            What there is to say of this revision.
        files : Mapping of str to str or None
            Files beside the job: name -> content; left out, those of the revision it is based on.
        """
        draft = _draft(text, files, who, note, based_on=based_on)
        found = self._database.run(lambda session: _append(session, job_id, draft))
        if isinstance(found, Saved):
            return found
        return Clash(theirs=found.theirs, base=found.base, merged=None, merged_files=None, clashes=())


@dataclass(frozen=True, slots=True, kw_only=True)
class _Behind:
    """Somebody else has saved since."""

    theirs: Revision
    base: Revision


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


def _draft(
    text: str, files: Mapping[str, str] | None, who: str, note: str, *, based_on: int | None = None
) -> _Draft:
    return _Draft(
        text=checked_text(text),
        files=None if files is None else checked_files(files),
        who=checked_who(who),
        note=checked_line(note, "the note"),
        based_on=based_on,
    )


def _job_row(session: Session, job_id: str, *, locked: bool = False) -> JobRow:
    wanted = select(JobRow).where(JobRow.id == job_id)
    row = session.scalar(wanted.with_for_update() if locked else wanted)
    if row is None:
        raise UnknownNameError("job", job_id, ())
    return row


def _job(row: JobRow) -> ShelfJob:
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


def _revision(session: Session, job_id: str, number: int | None = None) -> Revision:
    latest = _job_row(session, job_id).latest
    row = session.get(RevisionRow, (job_id, latest if number is None else number))
    if row is None:
        raise CallError(f"job {job_id} has no revision {number}", wanted=f"one from 1 to {latest}")
    values = {name: getattr(row, name) for name in _LINE}
    return Revision(text=row.text, files=_files(session, job_id, row.number), **values)


def _files(session: Session, job_id: str, number: int) -> Mapping[str, str]:
    wanted = (
        select(RevisionFileRow.name, FileRow.text)
        .join(FileRow, FileRow.sha256 == RevisionFileRow.sha256)
        .where(RevisionFileRow.job_id == job_id, RevisionFileRow.number == number)
    )
    return MappingProxyType(dict(sorted((name, text) for name, text in session.execute(wanted))))


def _insert_job(session: Session, draft: _Draft) -> str:
    job_id = "".join(secrets.choice(_ALPHABET) for _ in range(_ID_LENGTH))
    now = datetime.now(UTC)
    row = JobRow(
        id=job_id,
        title="",
        vehicle="",
        latest=0,
        who=draft.who,
        begun_utc=now,
        changed_utc=now,
        removed_by="",
    )
    session.add(row)
    session.flush()
    _insert_revision(session, row, draft, draft.files or {})
    return job_id


def _append(session: Session, job_id: str, draft: _Draft) -> Saved | _Behind:
    """Add a revision where nobody else did so since; one that says nothing new is none."""
    row = _job_row(session, job_id, locked=True)
    assert draft.based_on is not None
    base = _revision(session, job_id, draft.based_on)
    latest = base if row.latest == base.number else _revision(session, job_id)
    files = base.files if draft.files is None else draft.files
    if latest.text == draft.text and dict(latest.files) == dict(files):
        row.removed_utc, row.removed_by = None, ""
        return Saved(job_id=job_id, number=latest.number, new=False)
    if latest.number != base.number:
        return _Behind(theirs=latest, base=base)
    return Saved(job_id=job_id, number=_insert_revision(session, row, draft, files))


def _insert_revision(session: Session, row: JobRow, draft: _Draft, files: Mapping[str, str]) -> int:
    facts = facts_of(draft.text)
    now = datetime.now(UTC)
    row.latest += 1
    row.title, row.vehicle, row.who, row.changed_utc = facts.title, facts.vehicle, draft.who, now
    row.removed_utc, row.removed_by = None, ""
    session.add(
        RevisionRow(
            job_id=row.id,
            number=row.latest,
            text=draft.text,
            who=draft.who,
            when_utc=now,
            note=draft.note,
            fingerprint=fingerprint_of(draft.text, files),
            title=facts.title,
            vehicle=facts.vehicle,
            based_on=draft.based_on,
            restored_from=draft.restored_from,
        )
    )
    session.flush()
    for name, text in files.items():
        sha256 = hashlib.sha256(text.encode("utf-8")).hexdigest()
        if session.get(FileRow, sha256) is None:
            session.add(FileRow(sha256=sha256, text=text))
            session.flush()
        session.add(RevisionFileRow(job_id=row.id, number=row.latest, name=name, sha256=sha256))
    return row.latest
