"""What goes wrong, as one JSON object with the faults in it, or as a plain page; never a traceback."""

from __future__ import annotations

import html
import json
from collections.abc import Callable, Mapping
from typing import Any, Final

from starlette.requests import Request
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

from groundstrap import api
from groundstrap.errors import (
    CallError,
    CannotDoError,
    GroundstrapError,
    JobError,
    NotOnShelfError,
    UnknownNameError,
    shown,
)
from groundstrap.records import dataclass
from groundstrap.web.speech import speech
from groundstrap.words import Name, joined, words

__all__ = ["Problem", "Refused", "in_words", "of_error", "send_problem", "wants_page"]

TITLES: Final = {
    400: words("The request cannot be read"),
    401: words("Sign in first"),
    403: words("Not allowed"),
    404: words("There is no such thing here"),
    405: words("That cannot be done with this address"),
    406: words("That form is not served here"),
    408: words("The body did not arrive in time"),
    409: words("Somebody else was quicker"),
    411: words("The length of the body is missing"),
    413: words("That is too large"),
    415: words("That kind of content is not taken"),
    421: words("This bench does not go by that name"),
    422: words("Something in it has to be put right"),
    429: words("Too many requests"),
    500: words("The bench itself failed"),
    503: words("The bench could not do it"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing that went wrong: what, what to do next, and the faults where a job has some."""

    status: int
    detail: str
    next_step: str
    kind: str = "refused"
    """A word that programs can tell it by."""
    faults: tuple[Mapping[str, Any], ...] = ()
    more: Mapping[str, Any] | None = None
    headers: Mapping[str, str] | None = None

    @property
    def title(self) -> str:
        """What kind of problem it is, in a few words."""
        return TITLES.get(self.status, words("The request was refused"))

    def body(self) -> dict[str, Any]:
        """The object that the API answers with."""
        found: dict[str, Any] = {
            "type": f"/api/problems#{self.kind}",
            "title": self.title,
            "status": self.status,
            "detail": self.detail,
            "next_step": self.next_step,
        }
        if self.faults:
            found["faults"] = list(self.faults)
        return {**found, **(self.more or {})}

    def response(self) -> Response:
        """Return it as the object that a program reads."""
        headers = {"Cache-Control": "no-store", **(self.headers or {})}
        text = json.dumps(self.body(), ensure_ascii=True)
        return Response(text, self.status, headers, media_type="application/problem+json")


class Refused(Exception):
    """Raised anywhere below a route: the request ends with this problem."""

    def __init__(self, problem: Problem) -> None:
        """Keep the problem."""
        self.problem = problem
        super().__init__(problem.detail)


def of_error(error: GroundstrapError) -> Problem:
    """Return the problem that an error of ours is for whoever asked."""
    faults = tuple(json.loads(api.faults_json(error))["faults"])
    if isinstance(error, JobError):
        said = [api.fault_said(fault) for fault in error.faults]
        return Problem(
            status=422,
            kind="faults",
            detail=joined(" ", said),
            next_step=words("mend what is named"),
            faults=tuple({**fault, "said": told} for fault, told in zip(faults, said, strict=True)),
        )
    if isinstance(error, CannotDoError):
        return Problem(status=503, kind="cannot-do", detail=error.reason, next_step=error.next_step)
    status = 404 if isinstance(error, UnknownNameError | NotOnShelfError) else 422
    wanted = getattr(error, "wanted", None) or words("what is named")
    return Problem(
        status=status,
        kind="call",
        detail=_detail(error),
        next_step=words("wanted {what}", what=wanted),
        faults=faults,
    )


def in_words(error: GroundstrapError) -> str:
    """Return an error of ours as a page shows it; a fault names its field, and no line of a file."""
    if isinstance(error, JobError):
        return of_error(error).detail
    if isinstance(error, CannotDoError):
        return words("{reason}; {next}", reason=error.reason, next=error.next_step)
    if isinstance(error, CallError):
        return _call_in_words(error)
    return str(error)


def _call_in_words(error: CallError) -> str:
    """What is wrong with a call, what would do, and what was given: each in the language that is spoken."""
    told = words("{reason}; wanted {wanted}", reason=error.reason, wanted=error.wanted)
    if error.given is not None:
        told = words("{told}, not {given}", told=told, given=Name(shown(error.given)))
    if error.nearest is not None:
        told = words("{told}; the nearest is {name}", told=told, name=Name(error.nearest))
    return told


_NOT_THERE: Final[Mapping[str, Callable[[str], str]]] = {
    "job": lambda name: words("the shelf has no job {name}", name=name),
    "revision": lambda name: words("the job has no revision {name}", name=name),
    "photo": lambda name: words("the shelf has no photo {name}", name=name),
    "visit": lambda day: words("the job has no visit {day}", day=day),
}


def _detail(error: GroundstrapError) -> str:
    if isinstance(error, NotOnShelfError):
        return _NOT_THERE[error.kind](f"'{error.given[:60]}'")
    return error.reason if isinstance(error, CallError) else str(error)


def wants_page(scope: Scope) -> bool:
    """Whether whoever asked is a person's browser that loads a page, and no program."""
    accept = next((value for name, value in scope["headers"] if name == b"accept"), b"")
    return not scope["path"].startswith("/api/") and b"text/html" in accept


async def send_problem(problem: Problem, scope: Scope, receive: Receive, send: Send) -> None:
    """Answer with a problem from below the framework."""
    response = _plain_page(problem, Request(scope)) if wants_page(scope) else problem.response()
    await response(scope, receive, send)


def _plain_page(problem: Problem, request: Request) -> Response:
    """A page that needs to know nothing of who is there."""
    code = speech(request)
    say = api.language(code).in_print.text
    shown = {
        "title": problem.title,
        "detail": problem.detail,
        "next": problem.next_step,
        "back": words("To the bench"),
    }
    told = {name: html.escape(say(text)) for name, text in shown.items()}
    style = request.app.state.statics.address("bench.css")
    headers = {"Cache-Control": "no-store", **(problem.headers or {})}
    return Response(
        _PAGE.format(code=code, style=style, **told), problem.status, headers, media_type="text/html"
    )


_PAGE: Final = (
    '<!doctype html><html lang="{code}"><head><meta charset="utf-8"><title>{title}</title>'
    '<meta name="viewport" content="width=device-width, initial-scale=1">'
    '<link rel="stylesheet" href="{style}"></head>'
    '<body><main><section class="sheet stack narrow"><h1>{title}</h1><p>{detail}</p><p>{next}</p>'
    '<p><a class="button" href="/">{back}</a></p></section></main></body></html>'
)
