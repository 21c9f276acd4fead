"""Answers to a text: the plan, a circuit, a load, drawings, a comparison; edits and forms of the text."""

from __future__ import annotations

from collections.abc import Awaitable
from typing import Annotated, Any

from fastapi import APIRouter, Path, Request, Response
from starlette.responses import HTMLResponse, JSONResponse

from groundstrap import api
from groundstrap.errors import JobError
from groundstrap.records import replace
from groundstrap.web import tasks
from groundstrap.web.asked import VisitorHere, WorkHere, wants_html
from groundstrap.web.edit_tasks import edited_answered
from groundstrap.web.pages import shown
from groundstrap.web.pages.rendering import Look, said
from groundstrap.web.pages.writing import as_typed
from groundstrap.web.problems import Refused, of_error
from groundstrap.web.shapes import (
    AnswerAsked,
    Answered,
    CircuitTold,
    ComparisonAsked,
    ComparisonTold,
    DrawingAsked,
    DrawingsTold,
    EditAsked,
    EditedTold,
    EditsAsked,
    FormAsked,
    FormTold,
    LoadTold,
    Question,
    TextTold,
)

__all__ = ["router"]

router = APIRouter(prefix="/api", tags=["answers"])
_OR_PART: dict[int | str, dict[str, Any]] = {200: {"content": {"text/html": {}}}}
Name = Annotated[str, Path(max_length=400)]
PLAIN = "application/json"


def look_of(question: Question, *, wide: bool = True) -> Look:
    """Return how a part of a page is wanted."""
    at = f"/jobs/{question.job}" if question.job else ""
    return Look(code=question.language, units=question.units, at=at, write=bool(question.job), wide=wide)


@router.post("/answers", response_model=Answered, responses=_OR_PART)
async def answers(question: AnswerAsked, request: Request, work: WorkHere) -> Response:
    """Plan a job: what is left out is chosen, what is written is checked."""
    asked, days = await work.asked(question.text, question.files, question.job), question.endurance
    if not wants_html(request):
        making = work.done(tasks.answer, asked, days, request=request, of_days=days)
        return Response(await making, media_type=PLAIN)
    look = look_of(question)
    near = request.headers.get("x-page", "")
    making = work.done(tasks.answer_html, asked, look, days, request=request, near=near, of_days=days)
    return await _part(look, making)


async def _part(look: Look, making: Awaitable[str]) -> HTMLResponse:
    """A part of a page, or the faults that stand against it."""
    try:
        return HTMLResponse(await making)
    except JobError as error:
        faults = [dict(each) for each in of_error(error).faults]
        return HTMLResponse(shown.faults_part(faults, look), 422)


@router.post("/edits", response_model=EditedTold)
async def edits(wanted: EditsAsked, request: Request, work: WorkHere) -> Response:
    """Edit a job's text; its comments, its order and its quotes stay. What was said in words is said back."""
    made = tuple(_edit(each) for each in wanted.edits)
    try:
        if not wanted.answer:
            doing = work.done(tasks.edited_told, wanted.text, made, wanted.language, keep=False)
            return JSONResponse({**await doing, "answer": "", "status": 200})
        asked = await work.asked(wanted.text, wanted.files, wanted.job)
        near = request.headers.get("x-page", "")
        return JSONResponse(
            await work.done(edited_answered, asked, made, look_of(wanted), keep=False, near=near)
        )
    except JobError as error:
        problem = of_error(error)
        faults = tuple({**each, "said": said(each["said"], wanted.language)} for each in problem.faults)
        raise Refused(replace(problem, faults=faults)) from None


def _edit(given: EditAsked) -> api.Edit:
    do = None if given.do is None else api.EditKind(given.do)
    value = given.value
    if given.typed and do is not api.EditKind.RENAME:
        value = as_typed(value)
    return api.Edit(path=tuple(given.path), value=value, do=do, before=given.before)


@router.post("/forms", response_model=FormTold, responses=_OR_PART)
async def forms(wanted: FormAsked, request: Request, visitor: VisitorHere, work: WorkHere) -> Response:
    """Return a job as a form: everything it holds and may hold, each with its faults."""
    if wants_html(request):
        more = {"csrf": visitor.token, "base": wanted.base, "opened": tuple(wanted.open), "only": wanted.only}
        look = look_of(wanted)
        return HTMLResponse(await work.done(tasks.forms_html, wanted.text, look, more, request=request))
    asked = await work.asked(wanted.text, wanted.files, wanted.job)
    return JSONResponse(await work.done(tasks.form, asked))


@router.post("/drawings", response_model=DrawingsTold, responses=_OR_PART)
async def drawings(wanted: DrawingAsked, request: Request, work: WorkHere) -> Response:
    """Draw a job: sheets of SVG by name."""
    asked = await work.asked(wanted.text, wanted.files, wanted.job)
    if wants_html(request):
        look = look_of(wanted, wide=not wanted.compact)
        making = work.done(tasks.drawings_html, asked, look, wanted.routes, request=request)
        return await _part(look, making)
    how = {
        "paper": wanted.paper,
        "units": wanted.units,
        "language_code": wanted.language,
        "compact": wanted.compact,
        "routes": wanted.routes,
    }
    return JSONResponse({"drawings": await work.done(tasks.drawings, asked, how, request=request)})


@router.post("/circuits/{name:path}", response_model=CircuitTold, responses=_OR_PART)
async def circuit(name: Name, wanted: Question, request: Request, work: WorkHere) -> Response:
    """Return one circuit: its way, where its volts go, its fuse, the working of each number."""
    asked = await work.asked(wanted.text, wanted.files, wanted.job)
    if wants_html(request):
        look = look_of(wanted)
        return await _part(look, work.done(tasks.circuit_html, asked, name, look, request=request))
    return JSONResponse(
        await work.done(tasks.circuit, asked, name, wanted.units, wanted.language, request=request)
    )


@router.post("/loads/{name:path}", response_model=LoadTold, responses=_OR_PART)
async def load(name: Name, wanted: Question, request: Request, work: WorkHere) -> Response:
    """Return one load: what is claimed for it against what was measured, and what it really draws."""
    asked = await work.asked(wanted.text, wanted.files, wanted.job)
    if wants_html(request):
        look = look_of(wanted)
        return await _part(look, work.done(tasks.load_html, asked, name, look, request=request))
    return JSONResponse(
        await work.done(tasks.load, asked, name, wanted.units, wanted.language, request=request)
    )


@router.post("/curves", response_model=DrawingsTold)
async def curves(wanted: Question, request: Request, work: WorkHere) -> Response:
    """Draw time over current of each circuit with a fuse."""
    asked = await work.asked(wanted.text, wanted.files, wanted.job)
    return JSONResponse({"drawings": await work.done(tasks.curves, asked, wanted.units, request=request)})


@router.post("/vettings", response_model=Answered)
async def vettings(wanted: Question, request: Request, work: WorkHere) -> Response:
    """Tell what every load really draws, and what becomes of every claim."""
    asked = await work.asked(wanted.text, wanted.files, wanted.job)
    return Response(await work.done(tasks.vetting, asked, request=request), media_type=PLAIN)


@router.post("/pins", response_model=TextTold)
async def pins(wanted: Question, request: Request, work: WorkHere) -> Response:
    """Write the choices of the plan into the text; what a stop stands against stays open."""
    asked = await work.asked(wanted.text, wanted.files, wanted.job)
    return JSONResponse(await work.done(tasks.pinned, asked, request=request))


@router.post("/comparisons", response_model=ComparisonTold)
async def comparisons(wanted: ComparisonAsked, request: Request, work: WorkHere) -> Response:
    """Lay two jobs side by side: what differs, what each costs, what stands against one alone."""
    left = await work.asked(wanted.left, wanted.left_files, wanted.job)
    right = await work.asked(wanted.right, wanted.right_files, wanted.job)
    return JSONResponse(await work.done(tasks.comparison, left, right, wanted.units, request=request))
