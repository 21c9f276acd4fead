"""What can be looked up: rules, words of the trade, reference tables."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Path, Response
from starlette.responses import JSONResponse

from groundstrap import api
from groundstrap.errors import CallError
from groundstrap.web.pages.explained import TERMS
from groundstrap.web.plain import plain
from groundstrap.web.problems import Problem, Refused
from groundstrap.web.shapes import RulesTold, RuleTold, TablesTold, TableTold, TermsTold

__all__ = ["router"]

router = APIRouter(prefix="/api", tags=["look-up"])
Name = Annotated[str, Path(max_length=200)]


@router.get("/rules", response_model=RulesTold)
async def rules() -> Response:
    """List every rule."""
    return JSONResponse({"rules": [_rule(each) for each in api.rules()]})


@router.get("/rules/{name}", response_model=RuleTold)
async def rule(name: Name) -> Response:
    """Return a rule by its id or slug: what it wants, why, and on whose word."""
    try:
        return JSONResponse(_rule(api.explain(name)))
    except CallError as error:
        raise Refused(_none(error)) from None


@router.get("/terms", response_model=TermsTold)
async def terms() -> Response:
    """Return each term of the pages, and what it means."""
    told = [{"key": key, "word": str(word), "text": str(text)} for key, (word, text) in TERMS.items()]
    return JSONResponse({"terms": told})


@router.get("/tables", response_model=TablesTold)
async def tables() -> Response:
    """List the reference tables."""
    return JSONResponse({"tables": list(api.tables())})


@router.get("/tables/{name}", response_model=TableTold)
async def table(name: Name) -> Response:
    """Return a reference table with its source, its conditions and its rows as they were printed."""
    try:
        found = api.table(name)
    except CallError as error:
        raise Refused(_none(error)) from None
    told = {
        "name": found.name,
        "title": found.title,
        "source": found.source,
        "locator": found.locator,
        "conditions": plain(found.conditions),
        "columns": plain(found.columns),
        "rows": [dict(row.cells) for row in found.rows],
    }
    return JSONResponse(told)


def _rule(rule: Any) -> dict[str, object]:
    told = plain(rule)
    assert isinstance(told, dict)
    # What a function of the rule's module decides is no text.
    return {name: value for name, value in told.items() if not name.startswith("_")}


def _none(error: CallError) -> Problem:
    near = f"; perhaps {error.nearest}" if error.nearest else ""
    return Problem(status=404, kind="unknown", detail=error.reason, next_step=f"wanted {error.wanted}{near}")
