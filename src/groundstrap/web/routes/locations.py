"""Finding a fault: where readings point to, and one more reading in a job's text."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response
from starlette.responses import JSONResponse

from groundstrap.web import meter_tasks
from groundstrap.web.asked import WorkHere
from groundstrap.web.meter_shapes import LocationAsked, ReadingAsked
from groundstrap.web.meter_tasks import Complaint
from groundstrap.web.shapes import Answered, TextTold

__all__ = ["router"]

router = APIRouter(prefix="/api", tags=["locations"])


@router.post("/locations", response_model=Answered)
async def locations(wanted: LocationAsked, request: Request, work: WorkHere) -> Response:
    """Say which place the readings of a job point to, and what to read next."""
    asked = await work.asked(wanted.text, wanted.files, wanted.job)
    about = Complaint(load=wanted.load, dead=wanted.dead, flat=wanted.flat, meter=wanted.meter)
    found = await work.done(meter_tasks.located, asked, about, request=request)
    return Response(found, media_type="application/json")


@router.post("/readings", response_model=TextTold)
async def readings(wanted: ReadingAsked, work: WorkHere) -> Response:
    """Put a reading into a job's text; one that no place of the job can be is refused with what would do."""
    asked = await work.asked(wanted.text, wanted.files, wanted.job)
    given = {"when": wanted.when, "using": tuple(wanted.using), "meter": wanted.meter}
    return JSONResponse({"text": await work.done(meter_tasks.with_one, asked, wanted.reading, given)})
