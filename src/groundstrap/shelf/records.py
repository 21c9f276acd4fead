"""What the shelf gives out: jobs, revisions, what became of a save, photos."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from groundstrap.records import dataclass
from groundstrap.shelf.given import file_name

__all__ = [
    "Clash",
    "ClashAt",
    "Imported",
    "Photo",
    "PhotoData",
    "Revision",
    "RevisionLine",
    "Saved",
    "ShelfJob",
    "Visit",
    "VisitPlace",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfJob:
    """A job as the shelf lists it; `latest` is the number of its newest revision."""

    id: str
    title: str
    vehicle: str
    latest: int
    who: str
    begun_utc: datetime
    changed_utc: datetime
    removed_utc: datetime | None = None
    removed_by: str = ""

    def file_name(self, ending: str = ".job.yaml") -> str:
        """Return a name for a file of it, by its title."""
        return file_name(self.title, ending)


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionLine:
    """A revision without its text, as a history lists it.

    `based_on` is the revision that it was written from, none for the first; `restored_from` the one whose
    text it brought back.
    """

    job_id: str
    number: int
    who: str
    when_utc: datetime
    note: str
    fingerprint: str
    title: str
    vehicle: str
    based_on: int | None = None
    restored_from: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """One state of a job: its text, and the files beside it by their names."""

    job_id: str
    number: int
    text: str
    files: Mapping[str, str]
    who: str
    when_utc: datetime
    note: str
    fingerprint: str
    title: str
    vehicle: str
    based_on: int | None = None
    restored_from: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """What was saved is on disk as this revision; not `new` where the newest one said the same already."""

    job_id: str
    number: int
    new: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class ClashAt:
    """A value that both changed; none where it is not there.

    `path` are the keys to it, positions of a list among them counting from 0. `("files", name)` is a file
    beside the job.
    """

    path: tuple[str | int, ...]
    base: str | None
    mine: str | None
    theirs: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Nothing was saved, because somebody else had saved meanwhile.

    `theirs` is the newest revision, `base` the one that `mine` was written from. `merged` has what both
    changed, with the comments of both, and is none where `clashes` says what has to be decided first; so are
    `merged_files`.
    """

    theirs: Revision
    base: Revision
    mine: str
    my_files: Mapping[str, str]
    merged: str | None
    merged_files: Mapping[str, str] | None
    clashes: tuple[ClashAt, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A picture that belongs to a job, without its content."""

    id: str
    job_id: str
    caption: str
    who: str
    when_utc: datetime
    media_type: str
    size_bytes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoData:
    """A picture with its content."""

    photo: Photo
    data: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Imported:
    """A job that came from a file; `left_out` are the files of an archive that belong to no job."""

    job: ShelfJob
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitPlace:
    """What a visit found between two points."""

    red: str
    black: str
    place: str | None
    """The one place between them; none where there are several."""
    ohm: float
    standard_ohm: float
    usual_ohm: float
    """What it has by the plan. [ohm]"""
    limit_ohm: float | None
    """What it may have, by what its circuit may lose. [ohm]"""
    current_a: float
    read: str
    """The reading as it was written."""
    mended: bool = False
    """Whether it was mended before, so that it begins anew here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """A day on which a vehicle was measured and its readings were accepted; the first is how it was built."""

    job_id: str
    day: str
    revision: int
    """The revision that holds its readings."""
    who: str
    when_utc: datetime | None
    """When it was accepted."""
    note: str
    places: tuple[VisitPlace, ...]
