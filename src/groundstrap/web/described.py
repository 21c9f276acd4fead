"""The description of the API: what each route takes and gives, and everything that can stand against it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from groundstrap import __version__
from groundstrap.web.problems import TITLES
from groundstrap.web.shapes import Fault, ProblemTold

__all__ = ["described"]

_ABOUT: Final = (
    "What the page of the bench uses, for programs: jobs planned, edited, drawn, kept on the shelf, packed. "
    "A program asks `GET /api/session` first, keeps the cookie, and sends the token with every request that "
    "is no GET, as the header `X-CSRF-Token`. Numbers are never rounded. Whatever goes wrong is a problem "
    "object (RFC 9457) with `detail`, `next_step` and, where a text or a request has faults, `faults`."
)
_ALWAYS: Final = (403, 404, 421, 422, 429, 500, 503)
_WITH_BODY: Final = (400, 408, 413)


def described(app: FastAPI) -> Mapping[str, Any]:
    """Return the description of an application's API, made once.

    Parameters
    ----------
    app : FastAPI
        The application.
    """
    if app.openapi_schema is None:
        app.openapi_schema = _made(app)
    return app.openapi_schema


def _made(app: FastAPI) -> dict[str, Any]:
    found = get_openapi(title="Groundstrap bench", version=__version__, description=_ABOUT, routes=app.routes)
    schemas = found.setdefault("components", {}).setdefault("schemas", {})
    for unused in ("HTTPValidationError", "ValidationError"):
        schemas.pop(unused, None)
    for model in (Fault, ProblemTold):
        schemas[model.__name__] = model.model_json_schema(ref_template="#/components/schemas/{model}")
        schemas[model.__name__].pop("$defs", None)
    found["components"]["securitySchemes"] = {
        "session": {
            "type": "apiKey",
            "in": "cookie",
            "name": "groundstrap-PORT",
            "description": "The cookie that the first answer sets; where it is shared, that of a sign-in.",
        },
        "token": {
            "type": "apiKey",
            "in": "header",
            "name": "X-CSRF-Token",
            "description": "What GET /api/session gives; with every request that is no GET.",
        },
    }
    for operations in found["paths"].values():
        for method, operation in operations.items():
            _complete(method, operation)
    return found


def _complete(method: str, operation: dict[str, Any]) -> None:
    """Put in what every operation can answer, and what it has to bring along."""
    changes = method != "get"
    operation["security"] = [{"session": [], "token": []} if changes else {"session": []}]
    statuses = {401, *_ALWAYS, *(_WITH_BODY if changes else ())}
    if changes:
        statuses.add(409)
    responses = operation["responses"]
    responses.pop("422", None)
    for status in sorted(statuses):
        responses[str(status)] = {
            "description": TITLES[status],
            "content": {"application/problem+json": {"schema": {"$ref": "#/components/schemas/ProblemTold"}}},
        }
    for _, told in sorted(responses.items()):
        for kind in told.get("content", {}).values():
            kind.setdefault("schema", {"type": "string"})
