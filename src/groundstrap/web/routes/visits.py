"""As built, and later visits: what was accepted, what has grown, and one more visit."""

from __future__ import annotations

from datetime import date

from fastapi import APIRouter, Response
from starlette.responses import JSONResponse

from groundstrap import api
from groundstrap.web import visit_tasks
from groundstrap.web.asked import VisitorHere, WorkHere, who_saves
from groundstrap.web.problems import Problem
from groundstrap.web.routes.jobs import Id
from groundstrap.web.shapes import Answered
from groundstrap.web.visit_shapes import VisitAsked, VisitTold

__all__ = ["router"]

router = APIRouter(prefix="/api/jobs", tags=["shelf"])


@router.get("/{job_id}/visits", response_model=Answered)
async def visits(job_id: Id, work: WorkHere) -> Response:
    """Return the visits of a job, and what became of each place over them."""
    found = await work.shelf(lambda shelf: shelf.visits(job_id))
    return Response(api.visits_json(found), media_type="application/json")


@router.post("/{job_id}/visits", response_model=VisitTold, status_code=201)
async def accept(job_id: Id, wanted: VisitAsked, work: WorkHere, visitor: VisitorHere) -> Response:
    """Accept the readings of the newest visit; the first is how the vehicle was built."""
    revision = await work.shelf(lambda shelf: shelf.revision(job_id, wanted.based_on))
    asked = await work.asked(revision.text, revision.files)
    today, who = date.today().isoformat(), who_saves(visitor, wanted.who)
    made = await work.done(visit_tasks.made, asked, today, tuple(wanted.mended))
    found = await work.shelf(
        lambda shelf: api.accept_visit(
            shelf, job_id, made, wanted.based_on, who, wanted.note, even_so=wanted.even_so
        )
    )
    if not isinstance(found, api.Clash):
        return JSONResponse(api.shelf_object(found), 201)
    return Problem(
        status=409,
        kind="clash",
        detail=f"nothing was accepted: {found.theirs.who} has saved revision {found.theirs.number} meanwhile",
        next_step="look at that revision, and accept it",
        more=api.shelf_object(found),
    ).response()
