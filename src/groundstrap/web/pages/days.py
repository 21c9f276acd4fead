"""The days of a job on a page: the day as a form, the run beside it, and what is written into the job."""

from __future__ import annotations

import json
from typing import Any, Final

from fastapi import APIRouter
from markupsafe import Markup
from starlette.datastructures import URL, FormData
from starlette.requests import Request
from starlette.responses import Response

from groundstrap import api
from groundstrap.errors import CannotDoError, GroundstrapError
from groundstrap.records import replace
from groundstrap.web import day_tasks, tasks
from groundstrap.web.asked import own_form, visitor_of, who_saves, work_of
from groundstrap.web.day_tasks import DaysAsked
from groundstrap.web.pages import phrases
from groundstrap.web.pages.context import look_of, page, to
from groundstrap.web.pages.jobs import Draft, clashed, draft
from groundstrap.web.pages.rendering import Look, said
from groundstrap.web.problems import in_words

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
_LONGEST: Final = 40
"""Letters of what is typed for a number of days or a temperature."""


@router.api_route("/jobs/{job_id}/days", methods=["GET", "POST"])
async def days(request: Request, job_id: str) -> Response:
    """Show a run of the days; where something is to be written in, keep it as a revision."""
    sent = await draft(request, job_id)
    work, look, form = work_of(request), look_of(request, job_id), sent.form
    asked = DaysAsked(
        job=await work.asked(sent.text, sent.revision.files),
        rows=_rows(form),
        days=str(form.get("days") or request.query_params.get("days") or "3").strip()[:_LONGEST],
        cold=str(form.get("cold", request.query_params.get("cold", ""))).strip()[:_LONGEST],
        base=sent.base,
        quick=bool(form.get("quick")) or request.method == "GET",
    )
    message = ""
    if form.get("do") == "write" or form.get("cure"):
        try:
            return await _written(request, sent, asked, str(form.get("cure") or ""))
        except GroundstrapError as error:
            message = in_words(error)
    token = visitor_of(request).token
    try:
        part = await work.done(
            day_tasks.days_html, asked, look, token, message, request=request, of_days=True
        )
    except CannotDoError as error:
        # A day that can't be run in time must stay where it can be changed.
        still, message = replace(asked, still=True), in_words(error)
        part = await work.done(day_tasks.days_html, still, look, token, message, request=request)
    saved = request.query_params.get("saved", "")
    values: dict[str, Any] = {"note": "", "changed": None}
    if saved.isdecimal():
        values["note"] = said(phrases.TOLD["saved_day"](number=saved), look.code)
        values["changed"] = await _changed(request, sent, int(saved), look)
    status = 422 if message else 200
    return page(
        request, "days.html", look, job=sent.job, here="/days", part=Markup(part), status=status, **values
    )


async def _changed(request: Request, sent: Draft, number: int, look: Look) -> tuple[Any, ...] | None:
    """What a revision that was just written in changed in the plan; None where that is not known."""
    work, job_id = work_of(request), sent.job.id
    if number != sent.revision.number or number < 2:
        return None
    try:
        old = await work.shelf(lambda shelf: shelf.revision(job_id, number - 1))
        before = await work.asked(old.text, old.files)
        now = await work.asked(sent.revision.text, sent.revision.files)
        both = await work.done(tasks.both, before, now, look.units)
    except GroundstrapError:
        return None
    return tuple(both.rows)


def _rows(form: FormData) -> tuple[api.DayRow, ...]:
    """The spans as they were typed, with what a button does to them."""
    rows: list[api.DayRow] = []
    while f"when {len(rows)}" in form:
        n = len(rows)
        rows.append(
            api.DayRow(
                when=_typed(form, f"when {n}"),
                time=_typed(form, f"time {n}"),
                using=tuple(str(each) for each in form.getlist(f"using {n}")),
                temperature=_typed(form, f"temperature {n}"),
                sun=_typed(form, f"sun {n}"),
            )
        )
    what, _, place = str(form.get("do") or "").partition(" ")
    if place.isdecimal() and int(place) < len(rows):
        n = int(place)
        if what == "copy":
            rows.insert(n + 1, rows[n])
        elif what == "drop" and len(rows) > 1:
            del rows[n]
        elif what == "up" and n:
            rows[n - 1], rows[n] = rows[n], rows[n - 1]
    return tuple(rows)


def _typed(form: FormData, name: str) -> str:
    return str(form.get(name) or "").strip()


async def _written(request: Request, sent: Draft, asked: DaysAsked, cure: str) -> Response:
    """Write the day, or what cures it, into the job; where somebody else was quicker, both are shown."""
    edits: tuple[api.Edit, ...] = ()
    if cure:
        with own_form():
            edits = tuple(
                api.Edit(path=tuple(map(str, path)), value=str(value)) for path, value in json.loads(cure)
            )
    text = await work_of(request).done(day_tasks.day_written, asked, edits, keep=False)
    note = ", ".join(" ".join(map(str, each.path)) for each in edits)[:150] or "day"
    job_id, who = sent.job.id, who_saves(visitor_of(request))
    found = await work_of(request).shelf(lambda shelf: shelf.save(job_id, text, sent.base, who, note))
    if isinstance(found, api.Clash):
        return await clashed(request, found, text, note)
    # What the run was asked for is no part of the job, and is asked for again.
    there = URL(f"/jobs/{job_id}/days")
    return to(str(there.include_query_params(saved=found.number, days=asked.days, cold=asked.cold)))
