"""The first page: one question answered at once, and the jobs on the shelf."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from fastapi import APIRouter
from markupsafe import Markup
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from groundstrap.records import dataclass
from groundstrap.web import tasks
from groundstrap.web.asked import object_of, visitor_of, who_saves, work_of
from groundstrap.web.pages import explained
from groundstrap.web.pages.context import look_of, page, to
from groundstrap.web.pages.rendering import filled
from groundstrap.web.problems import Problem, Refused
from groundstrap.words import words

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
_ON_A_PAGE: Final = 20
_BEGUN: Final = """groundstrap: 1
title: New job
system: 12 V
"""
"""What a job begins as: what nothing can be said without."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Field:
    """One question of the first look."""

    name: str
    label: str
    hint: str
    example: str
    value: str


def _typed(given: Mapping[str, Any]) -> dict[str, str]:
    """What was typed into the first look, as far as it is a question of ours."""
    told = {name: str(given.get(name) or "").strip()[:200] for name in explained.FIELDS}
    return {name: value for name, value in told.items() if value}


async def _first(request: Request, typed: dict[str, str]) -> Markup:
    look = look_of(request)
    if not {"kind", "label", "measured"} & typed.keys():
        return Markup(filled("first_part.html", look, told=None))
    token = visitor_of(request).token
    return Markup(
        await work_of(request).done(tasks.first_html, typed, look, token, request=request, keep=False)
    )


@router.get("/")
async def home(request: Request) -> Response:
    """Show the first look and the shelf."""
    asked = request.query_params
    typed = _typed(asked)
    search, after = asked.get("q", "")[:200], asked.get("after") or None
    jobs = await work_of(request).shelf(lambda shelf: shelf.jobs(search, _ON_A_PAGE + 1, after))
    more = len(jobs) > _ON_A_PAGE
    jobs = jobs[:_ON_A_PAGE]
    return page(
        request,
        "home.html",
        look_of(request),
        fields=[
            _Field(name=name, label=label, hint=hint, example=example, value=typed.get(name, ""))
            for name, (label, hint, example) in explained.FIELDS.items()
        ],
        more_given=bool({"wire", "title", "system"} & typed.keys()),
        answer=await _first(request, typed),
        jobs=jobs,
        search=search,
        after=jobs[-1].id if more else None,
    )


@router.post("/first")
async def first(request: Request) -> Response:
    """Answer the first look while it is typed."""
    return HTMLResponse(await _first(request, _typed(await object_of(request))))


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
    async with request.form() as form:
        file = form.get("file")
        if not isinstance(file, UploadFile):
            raise Refused(
                Problem(status=422, detail=words("no file came along"), next_step=words("choose one"))
            )
        content = await file.read()
    made = await work_of(request).taken_in(content, who_saves(visitor_of(request)))
    return to(f"/jobs/{made.job.id}")
