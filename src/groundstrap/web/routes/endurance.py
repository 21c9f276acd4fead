"""Days on the battery: the day of a job run, and what becomes of batteries, starts and loads in it."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from groundstrap.web import day_tasks
from groundstrap.web.asked import WorkHere
from groundstrap.web.shapes import Answered, EnduranceAsked

__all__ = ["router"]

router = APIRouter(prefix="/api", tags=["endurance"])


@router.post("/endurance", response_model=Answered)
async def endurance(wanted: EnduranceAsked, request: Request, work: WorkHere) -> Response:
    """Run the days of a job: whether its batteries last and its engine starts, and what would cure it.

    A run that takes too long is ended and answered with 503 and what would do.
    """
    asked = await work.asked(wanted.text, wanted.files, wanted.job)
    how = (wanted.days, wanted.temperature_c, wanted.cures, wanted.chances)
    found = await work.done(day_tasks.endured, asked, *how, request=request, of_days=True)
    return Response(found, media_type="application/json")
