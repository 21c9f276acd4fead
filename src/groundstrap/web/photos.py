"""Photos belong to a job: one is given out and removed only under its own."""

from __future__ import annotations

from groundstrap import api
from groundstrap.errors import NotOnShelfError
from groundstrap.words import words

__all__ = ["photo_of_job", "remove_photo_of_job"]


def photo_of_job(shelf: api.Shelf, job_id: str, photo_id: str) -> api.PhotoData:
    """Return a photo, where it belongs to that job.

    Raises
    ------
    NotOnShelfError
        There is none, or it is another job's.
    """
    found = shelf.photo(photo_id)
    if found.photo.job_id != job_id:
        raise NotOnShelfError("photo", photo_id, wanted=words("an id that the job's photos have"))
    return found


def remove_photo_of_job(shelf: api.Shelf, job_id: str, photo_id: str) -> None:
    """Take a photo off a job, where it belongs to that job; it is gone for good."""
    photo_of_job(shelf, job_id, photo_id)
    shelf.remove_photo(photo_id)
