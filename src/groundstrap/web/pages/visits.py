"""As built and later visits on a page: what has grown, and the readings of this visit accepted."""

from __future__ import annotations

from datetime import date
from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from groundstrap import api
from groundstrap.errors import CallError
from groundstrap.web import visit_tasks
from groundstrap.web.asked import number_of, visitor_of, who_saves, work_of
from groundstrap.web.pages import phrases
from groundstrap.web.pages.context import look_of, page, to
from groundstrap.web.pages.jobs import clashed
from groundstrap.web.problems import in_words
from groundstrap.web.visit_tasks import Ready

__all__ = ["router"]

router = APIRouter(include_in_schema=False)


@router.get("/jobs/{job_id}/visits")
async def visits(request: Request, job_id: str) -> Response:
    """Show each place over its visits, and what of the newest readings can be accepted."""
    return await _shown(request, job_id)


async def _shown(request: Request, job_id: str, problem: str = "") -> Response:
    work, look = work_of(request), look_of(request, job_id)
    job, revision, found = await work.shelf(
        lambda shelf: (shelf.job(job_id), shelf.revision(job_id), shelf.visits(job_id))
    )
    asked = await work.asked(revision.text, revision.files)
    now: Ready = await work.done(visit_tasks.ready, asked, _today(), near=job_id)
    built = now.built if now.built is not None and not _is_kept(found, now.built) else None
    pending = () if built is None else (_as_visit(job_id, built),)
    others = [each for each in found if built is None or each.day != built.day]
    values: dict[str, Any] = {
        "sheet": api.visits_sheet(api.compare_visits((*others, *pending))),
        "visits": found,
        "built": built,
        "first": not others,
        "names": tuple(dict.fromkeys(_names(built))),
        "why_not": now.why_not if not found else "",
        "base": revision.number,
        "problem": problem,
    }
    status = 422 if problem else 200
    return page(request, "visits.html", look, job=job, here="/meter", status=status, **values)


def _today() -> str:
    return date.today().isoformat()


def _as_visit(job_id: str, built: api.AsBuilt) -> api.Visit:
    return api.Visit(
        job_id=job_id, day=built.day, revision=0, who="", when_utc=None, note="", places=built.places
    )


def _is_kept(found: tuple[api.Visit, ...], built: api.AsBuilt) -> bool:
    """Whether the readings of that day were accepted already, as they are."""
    read = {(each.red, each.black, each.read) for each in built.places}
    return any(
        each.day == built.day and {(p.red, p.black, p.read) for p in each.places} == read for each in found
    )


def _names(built: api.AsBuilt | None) -> list[str]:
    places = () if built is None else built.places
    return [each.place or f"{each.red} to {each.black}" for each in places]


@router.post("/jobs/{job_id}/visits")
async def accept(request: Request, job_id: str) -> Response:
    """Accept the readings of the newest visit, or take a visit off."""
    form, work = await request.form(), work_of(request)
    forget = str(form.get("forget") or "")
    if forget and form.get("sure") != "yes":
        return await _shown(request, job_id, phrases.PLAIN["visits_forget_first"])
    if forget:
        await work.shelf(lambda shelf: shelf.forget_visit(job_id, forget))
        return to(f"/jobs/{job_id}/visits")
    base, note = number_of(form.get("based_on")), str(form.get("note") or "")
    who, mended = who_saves(visitor_of(request)), tuple(str(each) for each in form.getlist("mended"))
    revision = await work.shelf(lambda shelf: shelf.revision(job_id, base))
    asked = await work.asked(revision.text, revision.files)
    even_so = bool(form.get("even_so"))
    try:
        built = await work.done(visit_tasks.made, asked, _today(), mended, near=job_id)
        found = await work.shelf(
            lambda shelf: api.accept_visit(shelf, job_id, built, base, who, note, even_so=even_so)
        )
    except CallError as error:
        return await _shown(request, job_id, in_words(error))
    if isinstance(found, api.Clash):
        return await clashed(request, found, built.text, note)
    return to(f"/jobs/{job_id}/visits")
