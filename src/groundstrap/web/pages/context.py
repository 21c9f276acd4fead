"""What every page is filled with: how somebody wants to be shown things, who that is, where the files are."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse

from groundstrap.errors import JobError
from groundstrap.records import dataclass
from groundstrap.web.asked import settings_of, visitor_of, work_of
from groundstrap.web.pages.rendering import Look, filled, said
from groundstrap.web.problems import Problem, of_error
from groundstrap.web.speech import choice, speech
from groundstrap.web.tasks import Asked

__all__ = ["Part", "answered", "faults_of", "look_of", "page", "problem_page", "to"]

NOT_FOUND: Final = 404


def look_of(request: Request, job_id: str = "", *, write: bool = False, wide: bool = True) -> Look:
    """Return how somebody wants to be shown things."""
    at = f"/jobs/{job_id}" if job_id else ""
    return Look(code=speech(request), units=choice(request, "units") or None, at=at, write=write, wide=wide)


def page(request: Request, template: str, look: Look, /, *, status: int = 200, **values: Any) -> HTMLResponse:
    """Return a page.

    Parameters
    ----------
    request : Request
        Whose it is.
    template : str
        Its file name.
    look : Look
        How it is shown.
    status : int
        Of the response.
    **values
        What it is filled with beside what every page has.
    """
    visitor = visitor_of(request)
    common = {
        "asset": request.app.state.statics.address,
        "csrf": visitor.token,
        "who": visitor.who,
        "signed_in": visitor.signed_in,
        "shared": settings_of(request).shared,
        "theme": choice(request, "theme"),
        "back": request.url.path if request.method == "GET" else look.at or "/",
        "job": None,
        "here": None,
    }
    return HTMLResponse(filled(template, look, **{**common, **values}), status)


def problem_page(request: Request, problem: Problem) -> HTMLResponse:
    """Return what went wrong as a page like any other, with ways back to where one came from."""
    job_id = request.path_params.get("job_id", "")
    look = look_of(request, "" if problem.status == NOT_FOUND else job_id)
    found = page(
        request,
        "message.html",
        look,
        status=problem.status,
        back="/",
        # Where a form was sent to, it stands as well.
        again=request.url.path if look.at and request.method == "POST" else "",
        title=said(problem.title, look.code),
        detail=said(problem.detail, look.code),
        next_step=said(problem.next_step, look.code),
        faults=[dict(each) for each in problem.faults] if problem.kind in {"faults", "shape"} else [],
    )
    found.headers.update(problem.headers or {})
    return found


def to(address: str) -> RedirectResponse:
    """Send a browser on after a form."""
    return RedirectResponse(address, 303)


def faults_of(error: JobError) -> list[dict[str, Any]]:
    """Return the faults of a text as its template wants them."""
    return [dict(each) for each in of_error(error).faults]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of a page, or what stands against it."""

    html: Markup = Markup("")
    faults: tuple[Mapping[str, Any], ...] = ()


async def answered(request: Request, task: Any, asked: Asked, *given: Any, of_days: bool = False) -> Part:
    """Return a part of a page that a worker makes, or the faults that stand against it."""
    try:
        made = await work_of(request).done(task, asked, *given, of_days=of_days)
        return Part(html=Markup(made))
    except JobError as error:
        return Part(faults=tuple(faults_of(error)))
