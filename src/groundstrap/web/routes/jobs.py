"""Jobs on the shelf: listed, opened, saved, brought back, taken in and given out."""

from __future__ import annotations

import io
from typing import Annotated, Literal

from fastapi import APIRouter, File, Form, Path, Query, Response, UploadFile
from starlette.responses import JSONResponse

from groundstrap import api
from groundstrap.web.asked import VisitorHere, WorkHere, who_saves
from groundstrap.web.problems import Problem
from groundstrap.web.shelf_shapes import (
    ImportedTold,
    JobAsked,
    JobsTold,
    JobTold,
    LinesTold,
    OpenedTold,
    RestoreAsked,
    RevisionTold,
    SaveAsked,
    SavedTold,
)

__all__ = ["Id", "Number", "router"]

router = APIRouter(prefix="/api/jobs", tags=["shelf"])
Id = Annotated[str, Path(pattern=r"^[0-9a-z]{1,40}$")]
Number = Annotated[int, Path(ge=1, le=2_000_000_000)]
Search = Annotated[str, Query(max_length=200)]


@router.get("", response_model=JobsTold)
async def jobs(
    work: WorkHere,
    search: Search = "",
    vehicle: Search = "",
    limit: Annotated[int, Query(ge=1, le=200)] = 50,
    after: Annotated[str | None, Query(pattern=r"^[0-9a-z]{1,40}$")] = None,
    *,
    removed: bool = False,
) -> Response:
    """List jobs, what was changed last first; `after` is the last one of the page before."""
    found = await work.shelf(lambda shelf: shelf.jobs(search, limit, after, vehicle=vehicle, removed=removed))
    return JSONResponse({"jobs": [api.shelf_object(each) for each in found]})


@router.post("", response_model=RevisionTold, status_code=201)
async def new(wanted: JobAsked, work: WorkHere, visitor: VisitorHere) -> Response:
    """Keep a text as a new job; it may have faults, for half a job must not be lost."""
    who = who_saves(visitor, wanted.who)
    made = await work.shelf(lambda shelf: shelf.new(wanted.text, who, wanted.note, wanted.files))
    return JSONResponse(api.shelf_object(made), 201, {"Location": f"/api/jobs/{made.job_id}"})


@router.post("/import", response_model=ImportedTold, status_code=201)
async def take_in(
    work: WorkHere,
    visitor: VisitorHere,
    file: Annotated[UploadFile, File(description="A job file, or an archive with one.")],
    note: Annotated[str, Form(max_length=1_000)] = "",
) -> Response:
    """Take a job in from a file, always as a new one; its photos are made anew."""
    made = await work.taken_in(await file.read(), who_saves(visitor), note)
    return JSONResponse(api.shelf_object(made), 201, {"Location": f"/api/jobs/{made.job.id}"})


@router.get("/{job_id}", response_model=OpenedTold)
async def opened(job_id: Id, work: WorkHere) -> Response:
    """Open a job at its newest revision."""
    job, revision = await work.shelf(lambda shelf: (shelf.job(job_id), shelf.revision(job_id)))
    return JSONResponse({"job": api.shelf_object(job), "revision": api.shelf_object(revision)})


@router.put("/{job_id}", response_model=SavedTold)
async def save(job_id: Id, wanted: SaveAsked, work: WorkHere, visitor: VisitorHere) -> Response:
    """Save the next revision; 409 where somebody saved meanwhile, with theirs and the two put together."""
    who, choices = who_saves(visitor, wanted.who), {tuple(each.path): each.take for each in wanted.choices}
    found = await work.shelf(
        lambda shelf: shelf.save(
            job_id,
            wanted.text,
            wanted.based_on,
            who,
            wanted.note,
            files=wanted.files,
            choices=choices or None,
        )
    )
    if isinstance(found, api.Saved):
        return JSONResponse(api.shelf_object(found))
    by = found.theirs.who
    return Problem(
        status=409,
        kind="clash",
        detail=f"nothing was saved: {by} has saved revision {found.theirs.number} meanwhile",
        next_step="save `merged` based on that revision, or decide what `clashes` names first",
        more=api.shelf_object(found),
    ).response()


@router.delete("/{job_id}", response_model=JobTold)
async def remove(job_id: Id, work: WorkHere, visitor: VisitorHere) -> Response:
    """Take a job off the list; it is kept, and any revision of it can be brought back."""
    who = who_saves(visitor)
    return JSONResponse(api.shelf_object(await work.shelf(lambda shelf: shelf.remove(job_id, who))))


@router.get("/{job_id}/revisions", response_model=LinesTold)
async def revisions(job_id: Id, work: WorkHere) -> Response:
    """List all revisions of a job, the newest first."""
    found = await work.shelf(lambda shelf: shelf.revisions(job_id))
    return JSONResponse({"revisions": [api.shelf_object(each) for each in found]})


@router.get("/{job_id}/revisions/{number}", response_model=RevisionTold)
async def revision(job_id: Id, number: Number, work: WorkHere) -> Response:
    """Return one revision with its text and the files beside it."""
    return JSONResponse(api.shelf_object(await work.shelf(lambda shelf: shelf.revision(job_id, number))))


@router.post("/{job_id}/revisions/{number}/restore", response_model=SavedTold)
async def restore(
    job_id: Id, number: Number, wanted: RestoreAsked, work: WorkHere, visitor: VisitorHere
) -> Response:
    """Bring a revision back as the newest one; a removed job is there again."""
    who = who_saves(visitor, wanted.who)
    found = await work.shelf(lambda shelf: shelf.restore(job_id, number, who, wanted.note))
    return JSONResponse(api.shelf_object(found))


@router.get(
    "/{job_id}/export",
    response_class=Response,
    responses={200: {"content": {"application/zip": {}, "text/plain": {}}}},
)
async def give_out(job_id: Id, work: WorkHere, form: Literal["zip", "job"] = "zip") -> Response:
    """Give out a job: an archive with its files, revisions and photos, or the job file alone."""
    job = await work.shelf(lambda shelf: shelf.job(job_id))
    if form == "job":
        found = await work.shelf(lambda shelf: shelf.revision(job_id))
        return _file(found.text.encode(), "text/plain", job.file_name())

    def written(shelf: api.Shelf) -> bytes:
        into = io.BytesIO()
        api.export_job(shelf, job_id, into)
        return into.getvalue()

    return _file(await work.shelf(written), "application/zip", job.file_name(".zip"))


def _file(content: bytes, kind: str, name: str) -> Response:
    return Response(content, 200, {"Content-Disposition": f'attachment; filename="{name}"'}, media_type=kind)
