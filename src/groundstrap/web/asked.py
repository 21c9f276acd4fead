"""What every route asks of its request: the work, the visitor, how somebody wants to be shown things."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Annotated, Any, Final

from fastapi import Depends
from starlette.requests import Request

from groundstrap.web.problems import Problem, Refused
from groundstrap.web.settings import Settings
from groundstrap.web.visitors import Visitor, Visitors
from groundstrap.web.work import Work
from groundstrap.words import words

__all__ = [
    "VisitorHere",
    "WorkHere",
    "number_of",
    "object_of",
    "own_form",
    "settings_of",
    "visitor_of",
    "visitors_of",
    "wants_html",
    "who_saves",
    "work_of",
]

_LONGEST_NUMBER: Final = 9


def work_of(request: Request) -> Work:
    """Return the work of the bench that a request came to."""
    found: Work = request.app.state.work
    return found


def visitor_of(request: Request) -> Visitor:
    """Return who a request comes from."""
    found: Visitor = request.state.visitor
    return found


def visitors_of(request: Request) -> Visitors:
    """Return who knows everybody's cookies."""
    found: Visitors = request.app.state.visitors
    return found


def settings_of(request: Request) -> Settings:
    """Return what the bench was started with."""
    found: Settings = request.app.state.settings
    return found


WorkHere = Annotated[Work, Depends(work_of)]
VisitorHere = Annotated[Visitor, Depends(visitor_of)]


def who_saves(visitor: Visitor, given: str | None = None) -> str:
    """Return the name that a save is kept under: of the sign-in, else as given, else as once typed."""
    if visitor.signed_in and visitor.who:
        return visitor.who
    return (given or "").strip() or visitor.who or "somebody"


def wants_html(request: Request) -> bool:
    """Whether a part of a page is wanted in the place of JSON."""
    return _weight(request, "text/html") > _weight(request, "application/json")


def _weight(request: Request, kind: str) -> float:
    """How much a kind is wanted, by the request's own word."""
    best: Any = 0.0
    for each in request.headers.get("accept", "").lower().split(","):
        name, *more = (part.strip() for part in each.split(";"))
        if name == kind:
            told = next((part[2:] for part in more if part.startswith("q=")), "1")
            best = max(best, float(told) if told.replace(".", "", 1).isdecimal() else 0.0)
    return float(best)


@contextmanager
def own_form() -> Iterator[None]:
    """Read a form that a page of ours made; one that somebody else put together is refused."""
    try:
        yield
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise Refused(_NO_FORM_OF_OURS) from None


_NO_FORM_OF_OURS: Final = Problem(
    status=422,
    kind="shape",
    detail=words("the form is none that a page of the bench sends"),
    next_step=words("load the page again, and send its form as it is"),
)


def number_of(given: object) -> int:
    """Return the number of a revision or row that a form brought, or refuse what is none."""
    told = str(given)
    if not (told.isascii() and told.isdigit() and len(told) <= _LONGEST_NUMBER):
        raise Refused(_NO_FORM_OF_OURS)
    return int(told)


async def object_of(request: Request) -> Mapping[str, Any]:
    """Return the object that a script of ours sent; whatever else came is an empty one."""
    try:
        given = await request.json()
    except (ValueError, RecursionError):
        return {}
    return given if isinstance(given, dict) else {}
