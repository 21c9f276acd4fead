"""Answers to a text: the plan, a circuit, a load, drawings, a comparison; edits and forms of the text itself."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Request, Response
from starlette.responses import HTMLResponse, JSONResponse

from groundstrap import api
from groundstrap.errors import JobError
from groundstrap.web import tasks
from groundstrap.web.asked import WorkHere, wants_html
from groundstrap.web.pages import shown
from groundstrap.web.pages.rendering import Look
from groundstrap.web.problems import of_error
from groundstrap.web.shapes import (
    Answered,
    DrawingAsked,
    EditAsked,
    EditsAsked,
    FormAsked,
    Question,
    TextTold,
)

__all__ = ["router"]

router = APIRouter(prefix="/api", tags=["answers"])
Name = Annotated[str, Path(max_length=400)]
PLAIN = "application/json"


def look_of(question: Question, *, wide: bool = True) -> Look:
    """Return how a part of a page is wanted."""
    at = f"/jobs/{question.job}/" if question.job else ""
    return Look(code=question.language, units=question.units, at=at, write=bool(question.job), wide=wide)


@router.post("/answers", response_model=Answered)
async def answers(question: Question, request: Request, work: WorkHere) -> Response:
    """Plan a job: what is left out is chosen, what is written is checked."""
    asked = await work.asked(question.text, question.files, question.job)
    if not wants_html(request):
        return Response(await work.done(tasks.answer, asked, request=request), media_type=PLAIN)
    look = look_of(question)
    try:
        return HTMLResponse(await work.done(tasks.answer_html, asked, look, request=request))
    except JobError as error:
        faults = [dict(each) for each in of_error(error).faults]
        return HTMLResponse(shown.faults_part(faults, look), 422)


@router.post("/edits", response_model=TextTold)
async def edits(wanted: EditsAsked, work: WorkHere) -> Response:
    """Edit a job's text; its comments, its order and its quotes stay."""
    made = tuple(_edit(each) for each in wanted.edits)
    return JSONResponse({"text": await work.done(tasks.edited, wanted.text, made, keep=False)})


def _edit(given: EditAsked) -> api.Edit:
    do = None if given.do is None else api.EditKind(given.do)
    return api.Edit(path=tuple(given.path), value=given.value, do=do, before=given.before)


@router.post("/forms")
async def forms(wanted: FormAsked, work: WorkHere) -> Response:
    """Return a job as a form: everything it holds and may hold, each with its faults."""
    asked = await work.asked(wanted.text, wanted.files, wanted.job)
    return JSONResponse(await work.done(tasks.form, asked))


@router.post("/drawings")
async def drawings(wanted: DrawingAsked, request: Request, work: WorkHere) -> Response:
    """Draw a job: sheets of SVG by name."""
    asked = await work.asked(wanted.text, wanted.files, wanted.job)
    if wants_html(request):
        look = look_of(wanted, wide=not wanted.compact)
        return HTMLResponse(await work.done(tasks.drawings_html, asked, look, wanted.routes, request=request))
    how = {
        "paper": wanted.paper,
        "units": wanted.units,
        "language_code": wanted.language,
        "compact": wanted.compact,
        "routes": wanted.routes,
    }
    return JSONResponse({"drawings": await work.done(tasks.drawings, asked, how, request=request)})
