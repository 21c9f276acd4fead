"""What goes wrong, as one JSON object with the faults in it, or as a plain page; never a traceback."""

from __future__ import annotations

import html
import json
from collections.abc import Mapping
from typing import Any, Final

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
)
from groundstrap.records import dataclass

__all__ = ["Problem", "Refused", "of_error", "send_problem", "wants_page"]

TITLES: Final = {
    400: "The request cannot be read",
    401: "Sign in first",
    403: "Not allowed",
    404: "There is no such thing here",
    405: "That cannot be done with this address",
    406: "That form is not served here",
    408: "The body did not arrive in time",
    409: "Somebody else was quicker",
    411: "The length of the body is missing",
    413: "That is too large",
    415: "That kind of content is not taken",
    421: "This bench does not go by that name",
    422: "Something in it has to be put right",
    429: "Too many requests",
    500: "The bench itself failed",
    503: "The bench could not do it",
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
        return TITLES.get(self.status, "The request was refused")

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

    def response(self, *, page: bool = False) -> Response:
        """Return it as a response: a plain page, or the object."""
        headers = {"Cache-Control": "no-store", **(self.headers or {})}
        if page:
            text = _PAGE.format(
                title=html.escape(self.title),
                detail=html.escape(self.detail),
                next=html.escape(self.next_step),
            )
            return Response(text, self.status, headers, media_type="text/html")
        text = json.dumps(self.body(), ensure_ascii=True)
        return Response(text, self.status, headers, media_type="application/problem+json")


_PAGE: Final = (
    '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
    '<meta name="viewport" content="width=device-width, initial-scale=1"></head>'
    "<body><main><h1>{title}</h1><p>{detail}</p><p>{next}</p>"
    '<p><a href="/">To the bench</a></p></main></body></html>'
)


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
        return Problem(
            status=422,
            kind="faults",
            detail=str(error),
            next_step="mend the lines that are named",
            faults=faults,
        )
    if isinstance(error, CannotDoError):
        return Problem(status=503, kind="cannot-do", detail=error.reason, next_step=error.next_step)
    status = 404 if isinstance(error, UnknownNameError | NotOnShelfError) else 422
    wanted = str(getattr(error, "wanted", "see what is named"))
    detail = error.reason if isinstance(error, CallError | NotOnShelfError) else str(error)
    return Problem(status=status, kind="call", detail=detail, next_step=f"wanted {wanted}", faults=faults)


def wants_page(scope: Scope) -> bool:
    """Whether whoever asked is a person's browser that loads a page, and no program."""
    accept = next((value for name, value in scope["headers"] if name == b"accept"), b"")
    return not scope["path"].startswith("/api/") and b"text/html" in accept


async def send_problem(problem: Problem, scope: Scope, receive: Receive, send: Send) -> None:
    """Answer with a problem from below the framework."""
    await problem.response(page=wants_page(scope))(scope, receive, send)
