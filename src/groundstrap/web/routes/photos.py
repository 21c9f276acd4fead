"""Photos of a job: made anew when they come, so that nothing is in them but the picture."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, File, Form, Response, UploadFile
from starlette.responses import JSONResponse

from groundstrap import api
from groundstrap.web.asked import VisitorHere, WorkHere, who_saves
from groundstrap.web.photos import photo_of_job, remove_photo_of_job
from groundstrap.web.routes.jobs import Id
from groundstrap.web.shelf_shapes import PhotosTold, PhotoTold

__all__ = ["router"]

router = APIRouter(prefix="/api/jobs/{job_id}/photos", tags=["shelf"])


@router.get("", response_model=PhotosTold)
async def photos(job_id: Id, work: WorkHere) -> Response:
    """List the photos of a job."""
    found = await work.shelf(lambda shelf: shelf.photos(job_id))
    return JSONResponse({"photos": [api.shelf_object(each) for each in found]})


@router.post("", response_model=PhotoTold, status_code=201)
async def add(
    job_id: Id,
    work: WorkHere,
    visitor: VisitorHere,
    file: Annotated[UploadFile, File(description="A JPEG, PNG or WebP.")],
    caption: Annotated[str, Form(max_length=200)] = "",
) -> Response:
    """Add a photo; where it was taken and by what camera does not stay in it."""
    await work.shelf(lambda shelf: shelf.job(job_id))
    data, who = await work.photo(await file.read()), who_saves(visitor)
    made = await work.shelf(lambda shelf: shelf.add_photo(job_id, data, caption, who))
    return JSONResponse(api.shelf_object(made), 201, {"Location": f"/api/jobs/{job_id}/photos/{made.id}"})


@router.get(
    "/{photo_id}",
    response_class=Response,
    responses={200: {"content": {"image/jpeg": {}, "image/png": {}, "image/webp": {}}}},
)
async def photo(job_id: Id, photo_id: Id, work: WorkHere) -> Response:
    """Return a photo."""
    found = await work.shelf(lambda shelf: photo_of_job(shelf, job_id, photo_id))
    headers = {"Cache-Control": "private, max-age=86400", "Content-Disposition": "inline"}
    return Response(found.data, 200, headers, media_type=found.photo.media_type)


@router.delete("/{photo_id}", status_code=204)
async def remove(job_id: Id, photo_id: Id, work: WorkHere) -> Response:
    """Take a photo off a job; it is gone for good."""
    await work.shelf(lambda shelf: remove_photo_of_job(shelf, job_id, photo_id))
    return Response(status_code=204)
