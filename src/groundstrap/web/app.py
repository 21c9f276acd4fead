"""The application: guards outside, routes of the API and of the pages inside."""

from __future__ import annotations

import logging
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial
from pathlib import Path
from typing import Any, Final

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from groundstrap.errors import GroundstrapError
from groundstrap.web.described import described
from groundstrap.web.guards import BodyLimit, NoForgery, OurNames, Pace
from groundstrap.web.headers import SecurityHeaders
from groundstrap.web.pages import routes as pages
from groundstrap.web.pages.context import problem_page
from groundstrap.web.problems import Problem, Refused, of_error, send_problem, wants_page
from groundstrap.web.routes import (
    answers,
    endurance,
    jobs,
    locations,
    lookups,
    packs,
    photos,
    sessions,
    texts,
    visits,
)
from groundstrap.web.settings import Settings
from groundstrap.web.signing import Door
from groundstrap.web.statics import StaticFiles
from groundstrap.web.visitors import Visitors, WhoIsThere
from groundstrap.web.work import Work
from groundstrap.words import words

__all__ = ["create_app"]

_LOG = logging.getLogger("groundstrap.web")
_STATIC = Path(__file__).parent / "static"


class NoTraceback:
    """Outermost: whatever was not foreseen is logged, and answered without a word of how it came about."""

    def __init__(self, app: ASGIApp) -> None:
        """Keep what is inside."""
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve, or answer that the bench failed."""
        begun = False

        async def watched(message: Message) -> None:
            nonlocal begun
            begun = begun or message["type"] == "http.response.start"
            await send(message)

        try:
            await self.app(scope, receive, watched)
        except Exception:
            if scope["type"] != "http" or begun:
                raise
            _LOG.exception("%s %s failed", scope["method"], scope["path"])
            await send_problem(_FAILED, scope, receive, watched)


_FAILED = Problem(
    status=500,
    kind="fault",
    detail=words("the bench itself failed over this request; nothing was lost"),
    next_step=words("try again; what happened stands in the terminal where the bench runs"),
)


# Nothing is told to anybody, whatever the environment says.
_NOTHING_TOLD: Final[Any] = {
    "tracing": False,
    "metrics": False,
    "logs": False,
    "operation_spans": False,
    "auto_configure": False,
}


def create_app(settings: Settings) -> FastAPI:
    """Return the application of a bench.

    Parameters
    ----------
    settings : Settings
        Where it listens, who may come in, what it keeps.
    """
    work, visitors, statics = Work(settings), Visitors(settings), StaticFiles(_STATIC)

    @asynccontextmanager
    async def life(_: FastAPI) -> AsyncIterator[None]:
        await work.start()
        try:
            yield
        finally:
            work.stop()

    app = FastAPI(
        lifespan=life,
        redirect_slashes=False,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        telemetry=_NOTHING_TOLD,
        middleware=_guards(settings, visitors),
    )
    app.state.settings, app.state.work, app.state.visitors = settings, work, visitors
    app.state.statics, app.state.door = statics, Door(settings)
    app.router.routes.append(statics.route())
    app.openapi = partial(described, app)  # type: ignore[method-assign, assignment]
    for each in (answers, texts, endurance, locations, jobs, visits, photos, packs, lookups, sessions):
        app.include_router(each.router)
    app.include_router(pages.router)
    app.add_exception_handler(Refused, _refused)
    app.add_exception_handler(GroundstrapError, _stopped)
    app.add_exception_handler(RequestValidationError, _misshapen)
    app.add_exception_handler(HTTPException, _http)
    return app


def _guards(settings: Settings, visitors: Visitors) -> list[Middleware]:
    """What a request passes on its way in, the outermost first."""
    return [
        Middleware(SecurityHeaders),
        Middleware(NoTraceback),
        Middleware(OurNames, settings=settings),
        Middleware(WhoIsThere, visitors=visitors, shared=settings.shared),
        Middleware(Pace, settings=settings),
        Middleware(BodyLimit, limits=settings.limits),
        Middleware(NoForgery, visitors=visitors),
    ]


def _told(request: Request, problem: Problem) -> Response:
    """Return a problem as a page to whoever loads pages, else as an object."""
    return problem_page(request, problem) if wants_page(request.scope) else problem.response()


async def _refused(request: Request, error: Exception) -> Response:
    assert isinstance(error, Refused)
    return _told(request, error.problem)


async def _stopped(request: Request, error: Exception) -> Response:
    assert isinstance(error, GroundstrapError)
    return _told(request, of_error(error))


async def _misshapen(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    faults = tuple(
        {"key": ".".join(str(part) for part in each["loc"]), "wanted": str(each["msg"])}
        for each in error.errors()
    )
    problem = Problem(
        status=422,
        kind="shape",
        detail=words("the request does not have the shape that is wanted here"),
        next_step=words("see the faults, and /api/openapi.json"),
        faults=faults[:50],
    )
    return _told(request, problem)


async def _http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    headers = dict(error.headers or {})
    lost = error.status_code in {404, 405}
    for_programs = not wants_page(request.scope)
    here = words("{address} is not answered here", address=f"{request.method} {request.url.path[:200]}")
    problem = Problem(
        status=error.status_code,
        kind="http",
        detail=here if lost else words("the request, or its body, cannot be read"),
        next_step=words("see /api/openapi.json for what is answered")
        if for_programs
        else words("begin at the first page"),
        headers=headers,
    )
    return _told(request, problem)
