"""Two ways of doing a job side by side, and its papers."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

from fastapi import APIRouter
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from groundstrap import api
from groundstrap.errors import CallError, GroundstrapError, JobError
from groundstrap.web import edit_tasks, stock_tasks, tasks
from groundstrap.web.asked import number_of, visitor_of, who_saves, work_of
from groundstrap.web.pages import explained, phrases
from groundstrap.web.pages.context import faults_of, look_of, page, to
from groundstrap.web.pages.jobs import draft
from groundstrap.web.pages.rendering import said
from groundstrap.web.problems import Refused, in_words
from groundstrap.web.tasks import PackAsked

__all__ = ["router"]

router = APIRouter(include_in_schema=False)


@router.api_route("/jobs/{job_id}/compare", methods=["GET", "POST"])
async def compare(request: Request, job_id: str) -> Response:
    """Show a job beside another way of doing it."""
    sent = await draft(request, job_id)
    job, revision, text, form = sent.job, sent.revision, sent.text, sent.form
    work, look = work_of(request), look_of(request, job_id)
    lines = await work.shelf(lambda shelf: shelf.revisions(job_id))
    given: dict[str, Any] = {
        name: str(form.get(name) or "").strip() for name in ("kind", "circuit", "piece", "value", "revision")
    }
    # From a circuit one comes with its name; nothing is compared before something is said.
    given["circuit"] = given["circuit"] or request.query_params.get("circuit", "")
    values: dict[str, Any] = {
        "kinds": [(key, said(name, look.code)) for key, name in phrases.VARIANTS.items()],
        "circuits": await work.done(tasks.names_in, text, "circuits"),
        "revisions": [each for each in lines if each.number != job.latest],
        "base": sent.base,
        "text": text if form.get("text") else "",
        "both": None,
    }
    if given["kind"]:
        try:
            values |= await _both(request, job_id, revision, text, given)
        except JobError as error:
            values["faults"] = faults_of(error)
        except GroundstrapError as error:
            values["problem"] = in_words(error)
    return page(request, "compare.html", look, job=job, here="/compare", **given, **values)


async def _both(
    request: Request, job_id: str, revision: api.Revision, text: str, given: dict[str, str]
) -> dict[str, Any]:
    """Return both answers, and the text of the other way."""
    work, look = work_of(request), look_of(request, job_id)
    other, files = text, revision.files
    if given["kind"] == "revision":
        if not given["revision"].isdigit():
            raise CallError("no revision was chosen", wanted="one of the list")
        old = await work.shelf(lambda shelf: shelf.revision(job_id, number_of(given["revision"])))
        other, files = old.text, old.files
        name = phrases.TOLD["revision"](number=old.number)
    else:
        made = await work.done(edit_tasks.variant, text, given, keep=False)
        other, name = made.text, made.name
    left, right = await work.asked(text, revision.files), await work.asked(other, files)
    both = await work.done(tasks.both, left, right, look.units)
    return {
        "both": both,
        "variant": other,
        "left_name": said(phrases.PLAIN["as_it_is"], look.code),
        "right_name": said(name, look.code),
    }


@router.get("/jobs/{job_id}/stock")
async def stock(request: Request, job_id: str) -> Response:
    """Show what is on the shelf for a job: wire, fuses, prices."""
    sent = await draft(request, job_id)
    job, revision, text = sent.job, sent.revision, sent.text
    return await _stock(request, job, revision, text)


async def _stock(
    request: Request, job: api.ShelfJob, revision: api.Revision, text: str, problem: str = ""
) -> Response:
    work, look = work_of(request), look_of(request, job.id)
    shown = await work.done(stock_tasks.stock_shown, text, dict(revision.files), keep=False)
    restricts = ""
    with suppress(JobError):
        restricts = await work.done(tasks.stock_words, await work.asked(text, revision.files), look)
    return page(
        request,
        "stock.html",
        look,
        status=422 if problem else 200,
        job=job,
        here="/stock",
        name=shown.name,
        columns=shown.columns,
        rows=shown.rows,
        base=revision.number,
        problem=problem,
        restricts=restricts,
    )


@router.post("/jobs/{job_id}/stock")
async def put_on_stock(request: Request, job_id: str) -> Response:
    """Put something on the list of what is on the shelf, or take a row off."""
    sent = await draft(request, job_id)
    job, revision, text, form = sent.job, sent.revision, sent.text, sent.form
    work, who = work_of(request), who_saves(visitor_of(request))
    wish = {key: str(each) for key, each in form.items()}
    number_of(wish.get("row") or 0)
    try:
        made = await work.done(
            stock_tasks.stock_changed, text, dict(revision.files), wish, look_of(request).code, keep=False
        )
    except GroundstrapError as error:
        return await _stock(request, job, revision, text, in_words(error))
    found = await work.shelf(
        lambda shelf: shelf.save(job_id, made.text, revision.number, who, made.note, files=made.files)
    )
    if isinstance(found, api.Clash):
        return await _stock(request, job, revision, text, str(phrases.PLAIN["clash"]))
    return to(f"/jobs/{job_id}/stock")


@router.get("/jobs/{job_id}/print")
async def papers(request: Request, job_id: str) -> Response:
    """Show what papers a job has, and how far those are that are being made."""
    id_ = request.query_params.get("pack", "")
    pack = None
    if id_:
        try:
            pack = work_of(request).pack(id_)
        except Refused:
            pack = None
    return await _papers(request, job_id, pack)


async def _papers(request: Request, job_id: str, pack: object) -> Response:
    look = look_of(request, job_id)
    job, lines = await work_of(request).shelf(lambda shelf: (shelf.job(job_id), shelf.revisions(job_id)))
    return page(
        request,
        "print.html",
        look,
        job=job,
        here="/print",
        pack=pack,
        sections=[(key, said(name, look.code)) for key, name in explained.PARTS.items()],
        chosen=request.query_params.getlist("part"),
        paper=request.query_params.get("paper", "a4"),
        revisions=[each for each in lines if each.number != job.latest],
    )


@router.post("/jobs/{job_id}/print")
async def make_papers(request: Request, job_id: str) -> Response:
    """Begin to make papers, and show how far they are."""
    sent = await draft(request, job_id)
    revision, text, form = sent.revision, sent.text, sent.form
    work, look = work_of(request), look_of(request, job_id)
    since = str(form.get("since") or "")
    old = None
    if since.isdigit():
        found = await work.shelf(lambda shelf: shelf.revision(job_id, number_of(since)))
        old = await work.asked(found.text, found.files)
    parts = _parts(form)
    paper = "letter" if form.get("paper") == "letter" else "a4"
    wanted = PackAsked(
        job=await work.asked(text, revision.files),
        parts=parts,
        paper=paper,
        language=str(form.get("language") or look.code),
        units=look.units,
        since=old,
        visited=await work.visited(job_id),
    )
    state = work.begin_pack(wanted)
    chosen = "".join(f"&part={each}" for each in parts)
    return to(f"/jobs/{job_id}/print?pack={state.id}&paper={paper}{chosen}")


def _parts(form: FormData) -> tuple[str, ...]:
    return tuple(str(each) for each in form.getlist("parts") if each in explained.PARTS)
