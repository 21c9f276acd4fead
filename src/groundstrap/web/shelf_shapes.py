"""The shapes of requests and answers about the shelf."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from groundstrap.web.shapes import Asks, Files, Key, Line, Place, Tells, Text, Who

__all__ = [
    "Choice",
    "ImportedTold",
    "JobAsked",
    "JobTold",
    "JobsTold",
    "LineTold",
    "LinesTold",
    "OpenedTold",
    "PhotoTold",
    "PhotosTold",
    "RestoreAsked",
    "RevisionTold",
    "SaveAsked",
    "SavedTold",
]


class JobAsked(Asks):
    """A job that is to be kept as a new one."""

    text: Text
    files: Files | None = None
    who: Who = Field("", description="Who saves; the name of a sign-in counts more.")
    note: Line = ""


class Choice(Asks):
    """What was decided where both had changed the same."""

    path: Annotated[list[Key | Place], Field(max_length=20)]
    take: Literal["mine", "theirs"]


class SaveAsked(JobAsked):
    """A text that is to be the next revision of a job."""

    based_on: Annotated[int, Field(ge=1, le=2_000_000_000)] = Field(
        description="Number of the revision that it was written from."
    )
    choices: Annotated[list[Choice], Field(max_length=1_000)] = Field(
        default_factory=list, description="Where a clash was answered already: what `merged` is to have."
    )


class RestoreAsked(Asks):
    """Who brings a revision back, and why."""

    who: Who = ""
    note: Line = ""


class JobTold(Tells):
    """A job as the shelf lists it."""

    id: str
    title: str
    vehicle: str
    latest: int
    who: str
    begun_utc: str
    changed_utc: str
    removed_utc: str | None = None
    removed_by: str = ""


class JobsTold(Tells):
    """Jobs, what was changed last first."""

    jobs: list[JobTold]


class LineTold(Tells):
    """A revision without its text."""

    job_id: str
    number: int
    who: str
    when_utc: str
    note: str
    fingerprint: str
    title: str
    vehicle: str
    based_on: int | None = None
    restored_from: int | None = None


class LinesTold(Tells):
    """All revisions of a job, the newest first."""

    revisions: list[LineTold]


class RevisionTold(LineTold):
    """A revision with its text and the files beside it."""

    text: str
    files: dict[str, str]


class OpenedTold(Tells):
    """A job and its newest revision."""

    job: JobTold
    revision: RevisionTold


class SavedTold(Tells):
    """What was saved is on disk as this revision."""

    job_id: str
    number: int
    new: bool


class ImportedTold(Tells):
    """A job that came from a file, and the files of it that belong to no job."""

    job: JobTold
    left_out: list[str]


class PhotoTold(Tells):
    """A picture that belongs to a job."""

    id: str
    job_id: str
    caption: str
    who: str
    when_utc: str
    media_type: str
    size_bytes: int


class PhotosTold(Tells):
    """The photos of a job."""

    photos: list[PhotoTold]
