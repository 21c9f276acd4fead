"""The shelf itself: what is on it, what is put on it, and what was there before."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Final, Self

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from groundstrap.errors import CallError, NotOnShelfError
from groundstrap.records import replace
from groundstrap.shelf import rows
from groundstrap.shelf.database import Database
from groundstrap.shelf.given import (
    MOST_PHOTOS,
    checked_line,
    checked_who,
    picture_type,
)
from groundstrap.shelf.location import address
from groundstrap.shelf.merging import Choice, Choices, merge_files, merge_texts
from groundstrap.shelf.records import (
    Clash,
    Photo,
    PhotoData,
    Revision,
    RevisionLine,
    Saved,
    ShelfJob,
    Visit,
)
from groundstrap.shelf.schema import PhotoRow
from groundstrap.shelf.visits import erase_visits, forget_visit, put_visit, visits_of
from groundstrap.words import words

__all__ = ["Shelf", "open_shelf", "settled"]

_MOST_JOBS: Final = 500


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


class Shelf:
    """Jobs with all their revisions. What a method has returned from is on disk."""

    def __init__(self, database: Database) -> None:
        """Keep where it is; `open_shelf` makes one."""
        self.database = database

    @property
    def where(self) -> str:
        """The file or the address, without a password."""
        return self.database.shown

    def close(self) -> None:
        """Leave it; nothing is lost by not doing so."""
        self.database.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def jobs(
        self,
        search: str = "",
        limit: int = 50,
        after: str | None = None,
        *,
        vehicle: str = "",
        removed: bool = False,
    ) -> tuple[ShelfJob, ...]:
        """Return jobs, what was changed last first.

        Parameters
        ----------
        search : str
            Words that must all stand in the newest revision; none for every job. Capitals do not matter.
        limit : int
            How many at most.
        after : str or None
            Id of the last job of the page before.
        vehicle : str
            Words that must all stand in what the job says of its vehicle.
        removed : bool
            The removed ones in the place of those that are there.
        """
        of_job = checked_line(search, words("what is searched for"), 200)
        of_vehicle = checked_line(vehicle, words("the vehicle that is searched for"), 200)
        return self.database.read(
            lambda session: rows.listed_jobs(
                session,
                search=of_job,
                vehicle=of_vehicle,
                limit=min(limit, _MOST_JOBS),
                after=after,
                removed=removed,
            )
        )

    def job(self, job_id: str) -> ShelfJob:
        """Return one job, be it removed or not."""
        return self.database.read(lambda session: rows.job_of(rows.job_row(session, job_id)))

    def find(self, said: str) -> ShelfJob:
        """Return the job that is meant by its id, the beginning of its id (three signs or more) or its title.

        Raises
        ------
        NotOnShelfError
            There is none, or there are several of that title.
        """
        return self.database.read(lambda session: rows.job_of(rows.found_row(session, said)))

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
        first = rows.draft(text, files or {}, who, note)
        return self.database.run(
            lambda session: rows.revision_of(session, rows.insert_job(session, first).id)
        )

    def revision(self, job_id: str, number: int | None = None) -> Revision:
        """Return a revision of a job, the newest one where no number is given."""
        return self.database.read(lambda session: rows.revision_of(session, job_id, number))

    def revisions(self, job_id: str) -> tuple[RevisionLine, ...]:
        """Return all revisions of a job without their texts, the newest first."""
        return self.database.read(lambda session: rows.lines_of(session, job_id))

    def save(
        self,
        job_id: str,
        text: str,
        based_on: int,
        who: str,
        note: str = "",
        *,
        files: Mapping[str, str] | None = None,
        choices: Choices | None = None,
    ) -> Saved | Clash:
        """Keep a text as the next revision of a job, unless somebody else has saved since.

        To save the same again after an answer was lost does no harm: a state that is the newest already is
        not kept twice. A job that was removed meanwhile is back.

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
        choices : Mapping or None
            Where a clash was answered already: path -> `mine` or `theirs`. It decides what `merged` has.

        Returns
        -------
        Saved or Clash
            The revision that is on disk now, or what has come in between; then nothing was kept.
        """
        wanted = rows.draft(text, files, who, note, based_on=based_on)
        found = self.database.run(lambda session: rows.append(session, job_id, wanted))
        return found if isinstance(found, Saved) else _clash(found, wanted, choices)

    def accept(
        self,
        job_id: str,
        text: str,
        based_on: int,
        who: str,
        visit: Visit,
        *,
        files: Mapping[str, str] | None = None,
    ) -> Visit | Clash:
        """Keep a text as the next revision and what its readings found as a visit, both or none.

        Parameters
        ----------
        job_id : str
            The job.
        text : str
            The whole text, with the readings of the visit.
        based_on : int
            Number of the revision that it was written from.
        who : str
            Who accepts.
        visit : Visit
            Day, note and what was found; its revision is the one that is kept here.
        files : Mapping of str to str or None
            Files beside the job; left out, those of the revision it is based on.

        Returns
        -------
        Visit or Clash
            The visit that is on disk now, or what has come in between; then nothing was kept.
        """
        wanted = rows.draft(text, files, who, visit.note, based_on=based_on)

        def work(session: Session) -> Visit | rows.Behind:
            found = rows.append(session, job_id, wanted)
            if isinstance(found, rows.Behind):
                return found
            return put_visit(session, job_id, replace(visit, revision=found.number, who=wanted.who))

        found = self.database.run(work)
        return found if isinstance(found, Visit) else _clash(found, wanted, None)

    def visits(self, job_id: str) -> tuple[Visit, ...]:
        """Return the visits of a job with what each found, the first one first."""
        return self.database.read(lambda session: visits_of(session, job_id))

    def forget_visit(self, job_id: str, day: str) -> None:
        """Take a visit off a job; its readings stay in the job's revisions."""
        self.database.run(lambda session: forget_visit(session, job_id, day))

    def restore(self, job_id: str, number: int, who: str, note: str = "") -> Saved:
        """Bring the text and files of a revision back as the newest one; a removed job is there again."""
        by, said = checked_who(who), checked_line(note, words("the note"))

        def work(session: Session) -> Saved:
            latest = rows.job_row(session, job_id, locked=True).latest
            old = rows.revision_of(session, job_id, number)
            again = rows.draft(old.text, old.files, by, said, based_on=latest)
            found = rows.append(session, job_id, replace(again, restored_from=number))
            assert isinstance(found, Saved)
            return found

        return self.database.run(work)

    def remove(self, job_id: str, who: str) -> ShelfJob:
        """Take a job off the list. It is kept with everything, and any revision of it can be restored."""
        by = checked_who(who)

        def work(session: Session) -> ShelfJob:
            row = rows.job_row(session, job_id, locked=True)
            if row.removed_utc is None:
                row.removed_utc, row.removed_by = datetime.now(UTC), by
            return rows.job_of(row)

        return self.database.run(work)

    def erase(self, job_id: str) -> None:
        """Forget a removed job for good, with its revisions and photos: what a customer may ask for."""

        def work(session: Session) -> None:
            if rows.job_row(session, job_id, locked=True).removed_utc is None:
                raise CallError(
                    words("only a job that was removed can be erased"), wanted=words("remove it first")
                )
            erase_visits(session, job_id)
            rows.erase_job(session, job_id)

        self.database.run(work)

    def photos(self, job_id: str) -> tuple[Photo, ...]:
        """Return the photos of a job without their contents, the first taken up first."""

        def work(session: Session) -> tuple[Photo, ...]:
            rows.job_row(session, job_id)
            wanted = select(*rows.photo_columns()).where(PhotoRow.job_id == job_id)
            found = session.execute(wanted.order_by(PhotoRow.when_utc, PhotoRow.id)).mappings()
            return tuple(rows.photo_of(dict(row)) for row in found)

        return self.database.read(work)

    def add_photo(self, job_id: str, data: bytes, caption: str, who: str) -> Photo:
        """Keep a picture with a job.

        Parameters
        ----------
        job_id : str
            The job.
        data : bytes
            A JPEG, PNG or WebP that was made anew from what somebody gave: it is kept as it is.
        caption : str
            What it shows.
        who : str
            Who adds it.
        """
        values = {
            "caption": checked_line(caption, words("the caption"), 200),
            "who": checked_who(who),
            "media_type": picture_type(data),
            "size_bytes": len(data),
        }

        def work(session: Session) -> Photo:
            rows.job_row(session, job_id, locked=True)
            there = session.scalar(
                select(func.count()).select_from(PhotoRow).where(PhotoRow.job_id == job_id)
            )
            if (there or 0) >= MOST_PHOTOS:
                raise CallError(
                    words("the job has {count} photos already", count=there),
                    wanted=words("to remove one first"),
                )
            row = PhotoRow(id=rows.new_id(), job_id=job_id, when_utc=datetime.now(UTC), data=data, **values)
            session.add(row)
            session.flush()
            return rows.photo_of(vars(row))

        return self.database.run(work)

    def photo(self, photo_id: str) -> PhotoData:
        """Return a photo with its content."""

        def work(session: Session) -> PhotoData:
            row = _photo_row(session, photo_id)
            return PhotoData(photo=rows.photo_of(vars(row)), data=row.data)

        return self.database.read(work)

    def remove_photo(self, photo_id: str) -> None:
        """Take a photo off a job; it is gone for good."""
        self.database.run(lambda session: session.delete(_photo_row(session, photo_id)))


def _photo_row(session: Session, photo_id: str) -> PhotoRow:
    row = session.get(PhotoRow, photo_id) if "\0" not in photo_id else None
    if row is None:
        raise NotOnShelfError("photo", photo_id, wanted=words("an id that the job shows"))
    return row


def _clash(found: rows.Behind, mine: rows.Draft, choices: Choices | None) -> Clash:
    """What came in between, and what both together would be."""
    files = found.base.files if mine.files is None else mine.files
    return _put_together(found.base, found.theirs, mine.text, files, choices)


def _put_together(
    base: Revision, theirs: Revision, text: str, files: Mapping[str, str], choices: Choices | None
) -> Clash:
    merged = merge_texts(base.text, text, theirs.text, choices)
    beside = merge_files(base.files, files, theirs.files, choices)
    every = (*merged.clashes, *beside.clashes)
    return Clash(
        theirs=theirs,
        base=base,
        mine=text,
        my_files=files,
        merged=None if every else merged.text,
        merged_files=None if every else beside.files,
        clashes=every,
    )


def settled(clash: Clash, choices: Choices | Choice) -> Clash:
    """Return a clash with what was decided: `merged` is there once nothing is left to decide.

    Parameters
    ----------
    clash : Clash
        What `save` answered.
    choices : Mapping or str
        Path -> `mine` or `theirs`; or one of the two for whatever both changed.
    """
    every = choices if isinstance(choices, Mapping) else {each.path: choices for each in clash.clashes}
    return _put_together(clash.base, clash.theirs, clash.mine, clash.my_files, every)
