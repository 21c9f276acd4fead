"""Jobs that were taken off the shelf: brought back, or erased by whoever says that it is meant."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from groundstrap.web.asked import number_of, visitor_of, who_saves, work_of
from groundstrap.web.pages import phrases
from groundstrap.web.pages.context import look_of, page, to
from groundstrap.web.pages.rendering import said

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
_ON_A_PAGE: Final = 20


@router.get("/removed")
async def removed(request: Request) -> Response:
    """Show what was taken off the shelf."""
    return await _listed(request)


async def _listed(request: Request, problem: str = "", asked: str = "", status: int = 200) -> Response:
    after = request.query_params.get("after") or None
    jobs = await work_of(request).shelf(
        lambda shelf: shelf.jobs("", _ON_A_PAGE + 1, None if asked else after, removed=True)
    )
    last = jobs[_ON_A_PAGE - 1].id if len(jobs) > _ON_A_PAGE else None
    return page(
        request,
        "removed.html",
        look_of(request),
        status=status,
        jobs=jobs[:_ON_A_PAGE],
        after=last,
        problem=problem,
        asked=asked,
    )


@router.post("/removed/{job_id}/bring-back")
async def bring_back(request: Request, job_id: str) -> Response:
    """Put a job on the shelf again, as its newest revision has it."""
    number, who = number_of((await request.form()).get("number")), who_saves(visitor_of(request))
    done = await work_of(request).shelf(lambda shelf: shelf.restore(job_id, number, who))
    return to(f"/jobs/{job_id}?saved={done.number}")


@router.post("/removed/{job_id}/erase")
async def erase(request: Request, job_id: str) -> Response:
    """Forget a job for good, where whoever asks has said that it is meant."""
    if (await request.form()).get("sure") != "yes":
        told = said(phrases.PLAIN["erase_first"], look_of(request).code)
        return await _listed(request, told, job_id, 422)
    await work_of(request).shelf(lambda shelf: shelf.erase(job_id))
    return to("/removed")
