"""Texts begun and changed by a few words: a first look, a swap of a wire or fuse, rows of a stock file."""

from __future__ import annotations

from fastapi import APIRouter, Response
from starlette.responses import JSONResponse

from groundstrap.web import tasks
from groundstrap.web.asked import WorkHere
from groundstrap.web.shapes import (
    FirstLookAsked,
    FirstLookTold,
    StockAsked,
    StockTold,
    SwapAsked,
    SwapTold,
)

__all__ = ["router"]

router = APIRouter(prefix="/api", tags=["texts"])


@router.post("/first-look", response_model=FirstLookTold)
async def first_look(wanted: FirstLookAsked, work: WorkHere) -> Response:
    """Begin a job from what somebody types in passing: the text, what was understood, likely slips."""
    return JSONResponse(await work.done(tasks.first_look, wanted.model_dump()))


@router.post("/swaps", response_model=SwapTold)
async def swaps(wanted: SwapAsked, work: WorkHere) -> Response:
    """Put another wire or fuse into one circuit, as a pin; what takes it back comes along."""
    return JSONResponse(await work.done(tasks.swap, wanted.text, wanted.what, wanted.with_))


@router.post("/stock", response_model=StockTold)
async def stock(wanted: StockAsked, work: WorkHere) -> Response:
    """Edit a stock file that goes with a job, and return its rows with what is wrong with each."""
    edits = tuple((each.row, each.typed, each.cells) for each in wanted.edits)
    return JSONResponse(await work.done(tasks.stock, wanted.text, edits))
