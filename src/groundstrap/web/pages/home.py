"""The first page: one question answered at once, and the jobs on the shelf."""

from __future__ import annotations

from typing import Any, Final

from fastapi import APIRouter
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import Response

from groundstrap.web.asked import visitor_of, who_saves, work_of
from groundstrap.web.pages import phrases
from groundstrap.web.pages.context import look_of, page, to
from groundstrap.web.problems import Problem, Refused

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
_ON_A_PAGE: Final = 20
_BEGUN: Final = """groundstrap: 1
title: New job
system: 12 V
"""
"""What a job begins as: what nothing can be said without."""


@router.get("/")
async def home(request: Request) -> Response:
    """Show the first look and the shelf."""
    asked = request.query_params
    search, after = asked.get("q", "")[:200], asked.get("after") or None
    jobs = await work_of(request).shelf(lambda shelf: shelf.jobs(search, _ON_A_PAGE + 1, after))
    more = len(jobs) > _ON_A_PAGE
    jobs = jobs[:_ON_A_PAGE]
    first: dict[str, Any] = {"fields": [], "answer": None}
    return page(
        request,
        "home.html",
        look_of(request),
        first=first,
        jobs=jobs,
        search=search,
        after=jobs[-1].id if more else None,
    )


@router.post("/jobs")
async def begin(request: Request) -> Response:
    """Put a new job on the shelf: what the first look wrote, or the beginning of one."""
    form = await request.form()
    text = str(form.get("text") or "").replace("\r\n", "\n") or _BEGUN
    who = who_saves(visitor_of(request))
    made = await work_of(request).shelf(lambda shelf: shelf.new(text, who))
    return to(f"/jobs/{made.job_id}")


@router.post("/jobs/import")
async def bring_in(request: Request) -> Response:
    """Put a job file on the shelf, or an archive that a shelf gave out."""
    form = await request.form()
    file = form.get("file")
    if not isinstance(file, UploadFile):
        raise Refused(Problem(status=422, detail="no file came along", next_step="choose one and try again"))
    raise Refused(Problem(status=503, detail=str(phrases.PLAIN["failed"]), next_step="later"))
