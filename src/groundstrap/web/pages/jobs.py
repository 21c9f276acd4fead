"""Pages of one job: writing it, its answer in parts, its drawing, its revisions, its photos."""

from __future__ import annotations

import difflib
import json
from collections.abc import Iterator, Mapping
from typing import Any, Final

from fastapi import APIRouter
from markupsafe import Markup
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response

from groundstrap import api
from groundstrap.errors import GroundstrapError
from groundstrap.records import dataclass
from groundstrap.web import tasks
from groundstrap.web.asked import number_of, own_form, visitor_of, who_saves, work_of
from groundstrap.web.pages import phrases, shown
from groundstrap.web.pages.context import Part, answered, look_of, page, to
from groundstrap.web.pages.rendering import Look, said, slug
from groundstrap.web.pages.writing import edit_of
from groundstrap.web.photos import remove_photo_of_job
from groundstrap.web.problems import Problem, Refused, in_words
from groundstrap.web.speech import speech
from groundstrap.web.work import Work
from groundstrap.words import words

__all__ = ["Draft", "changes", "clashed", "draft", "router", "writing"]

router = APIRouter(include_in_schema=False)
_MOST_LINES: Final = 400


@router.get("/jobs/{job_id}")
async def write(request: Request, job_id: str) -> Response:
    """Show the forms and the text of a job beside its answer."""
    revision = await work_of(request).shelf(lambda shelf: shelf.revision(job_id))
    opened = request.query_params.get("open", "")
    return await writing(request, revision, revision.text, opened=opened)


async def writing(
    request: Request,
    revision: api.Revision,
    text: str,
    *,
    opened: str = "",
    message: str = "",
    note: str = "",
    status: int = 200,
) -> Response:
    """Return the page for writing with a text in it, which need not be kept yet."""
    job_id = revision.job_id
    work, look = work_of(request), look_of(request, job_id, write=True)
    job = await work.shelf(lambda shelf: shelf.job(job_id))
    asked = await work.asked(text, revision.files)
    part = await answered(request, tasks.answer_html, asked, look)
    more = {"csrf": visitor_of(request).token, "base": revision.number, "opened": (opened,) if opened else ()}
    forms = await work.done(tasks.forms_html, text, look, more)
    return page(
        request,
        "write.html",
        look,
        status=status,
        job=job,
        here="",
        base=revision.number,
        text=text,
        forms=Markup(forms),
        answer=part.html,
        faults=part.faults,
        message=message,
        note=note,
        strip=await _in_short(work, asked, look, part),
    )


async def _in_short(work: Work, asked: tasks.Asked, look: Look, part: Part) -> shown.InShort:
    """What the bar over the page says, for whom no script fills it."""
    if part.faults:
        return shown.InShort(
            text=said(phrases.TOLD["faults_count"](count=len(part.faults)), look.code), sign="stop"
        )
    found: shown.InShort = await work.done(tasks.in_short, asked, look)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A job with its newest revision, and the text to show of it."""

    job: api.ShelfJob
    revision: api.Revision
    text: str
    base: int
    """Number of the revision that the text was made from: where it came along, not always the newest."""
    form: FormData
    """What came along; nothing where a page is only loaded."""


async def draft(request: Request, job_id: str) -> Draft:
    """Return a job, its newest revision, and the text to show: what came along, else what is kept."""
    found = await work_of(request).shelf(lambda shelf: (shelf.job(job_id), shelf.revision(job_id)))
    form = await request.form() if request.method == "POST" else FormData()
    given = str(form.get("text") or "").replace("\r\n", "\n")
    base = number_of(form.get("based_on") or found[1].number)
    return Draft(job=found[0], revision=found[1], text=given or found[1].text, base=base, form=form)


async def _part(
    request: Request, job_id: str, way: str, title: str, *task: Any, of_days: bool = False
) -> Response:
    sent = await draft(request, job_id)
    job, revision, text = sent.job, sent.revision, sent.text
    look = look_of(request, job_id)
    asked = await work_of(request).asked(text, revision.files)
    part = await answered(request, task[0], asked, *task[1:], look, of_days=of_days)
    return page(
        request, "part.html", look, job=job, here=way, title=title, answer=part.html, faults=part.faults
    )


@router.api_route("/jobs/{job_id}/answer", methods=["GET", "POST"])
async def answer(request: Request, job_id: str) -> Response:
    """Show the whole answer."""
    title = said(phrases.PLAIN["answer"], speech(request))
    whole = "days" in request.query_params
    task = tasks.whole_html if whole else tasks.answer_html
    return await _part(request, job_id, "/answer", title, task, of_days=whole)


@router.api_route("/jobs/{job_id}/circuit/{name:path}", methods=["GET", "POST"])
async def circuit(request: Request, job_id: str, name: str) -> Response:
    """Show one circuit in full."""
    return await _part(request, job_id, "/answer", name, tasks.circuit_html, name)


@router.api_route("/jobs/{job_id}/load/{name:path}", methods=["GET", "POST"])
async def load(request: Request, job_id: str, name: str) -> Response:
    """Show one load in full."""
    return await _part(request, job_id, "/answer", name, tasks.load_html, name)


@router.api_route("/jobs/{job_id}/drawing", methods=["GET", "POST"])
async def drawing(request: Request, job_id: str) -> Response:
    """Show the drawing: as wide sheets, or as one column where a phone asked for it."""
    sent = await draft(request, job_id)
    job, revision, text = sent.job, sent.revision, sent.text
    chosen = request.query_params.get("compact", "")
    compact = chosen == "1" if chosen else "Mobi" in request.headers.get("user-agent", "")
    routes = bool(request.query_params.get("routes"))
    look = look_of(request, job_id, wide=not compact)
    asked = await work_of(request).asked(text, revision.files)
    part = await answered(request, tasks.drawings_html, asked, look, routes)
    title = said(phrases.PLAIN["drawing"], look.code)
    return page(
        request,
        "part.html",
        look,
        job=job,
        here="/drawing",
        title=title,
        answer=part.html,
        faults=part.faults,
        drawn=True,
        routes=routes,
        compact=compact,
    )


@router.post("/jobs/{job_id}/edit")
async def edit(request: Request, job_id: str) -> Response:
    """Edit a job by its forms where no script does, and keep what comes out as a revision."""
    sent = await draft(request, job_id)
    revision, text, form = sent.revision, sent.text, sent.form
    opened = ""
    try:
        with own_form():
            there = await work_of(request).done(tasks.values_of, revision.text, keep=False)
            made = tuple(_edits(there, form))
        text = await work_of(request).done(tasks.edited, revision.text, made, keep=False)
    except GroundstrapError as error:
        return await writing(request, revision, revision.text, message=in_words(error), status=422)
    if made:
        opened = "e-" + "-".join(slug(each) for each in map(str, made[0].path[:2]))
    note = ", ".join(" ".join(map(str, each.path)) for each in made[:3])[:150]
    return await _save(request, revision, text, number_of(form.get("based_on")), note, opened)


def _edits(there: Mapping[tuple[str, ...], str], form: FormData) -> Iterator[api.Edit]:
    """Yield the edits that a form asks for: values that differ from what is there, and what a button says."""
    for name, value in form.multi_items():
        if name.startswith("f ") and isinstance(value, str):
            path = tuple(json.loads(name[2:]))
            if path in there and value.strip() != there[path]:
                yield api.Edit(path=path, value=value.strip() or None)
    if form.get("do"):
        wish = json.loads(str(form["do"]))
        told = json.dumps(wish["path"], ensure_ascii=False)
        typed = form.get(f"new {told} name") if wish["do"] == "rename" else form.get(f"new {told}")
        parts = {name[5:]: str(value) for name, value in form.multi_items() if name.startswith("part ")}
        yield edit_of(wish, str(form.get(f"key {told}") or ""), str(typed or ""), parts)


@router.post("/jobs/{job_id}/save")
async def save(request: Request, job_id: str) -> Response:
    """Keep a text as a revision; where somebody else was quicker, both are shown."""
    sent = await draft(request, job_id)
    revision, text, form = sent.revision, sent.text, sent.form
    return await _save(request, revision, text, sent.base, str(form.get("note") or "")[:200], "")


async def _save(
    request: Request, revision: api.Revision, text: str, base: int, note: str, opened: str
) -> Response:
    job_id, who = revision.job_id, who_saves(visitor_of(request))
    found = await work_of(request).shelf(lambda shelf: shelf.save(job_id, text, base, who, note))
    if isinstance(found, api.Saved):
        return to(f"/jobs/{job_id}?saved={found.number}" + (f"&open={opened}#{opened}" if opened else ""))
    return await clashed(request, found, text, note)


async def clashed(request: Request, clash: api.Clash, text: str, note: str) -> Response:
    """Show what two have written of the same revision, so that nothing of either is lost."""
    look = look_of(request, clash.base.job_id)
    job = await work_of(request).shelf(lambda shelf: shelf.job(clash.base.job_id))
    return page(
        request,
        "clash.html",
        look,
        status=409,
        job=job,
        clash=clash,
        mine=text,
        note=note,
        their_changes=changes(clash.base.text, clash.theirs.text),
        my_changes=changes(clash.base.text, text),
    )


@router.post("/jobs/{job_id}/merge")
async def merge(request: Request, job_id: str) -> Response:
    """Keep what two have written, with what was chosen where both changed the same."""
    sent = await draft(request, job_id)
    text, form = sent.text, sent.form
    base, note = number_of(form.get("based_on")), str(form.get("note") or "")
    who = who_saves(visitor_of(request))
    with own_form():
        choices: dict[tuple[str | int, ...], Any] = {
            tuple(json.loads(name[7:])): str(value)
            for name, value in form.multi_items()
            if name.startswith("choice ") and value in {"mine", "theirs"}
        }
    found = await work_of(request).shelf(
        lambda shelf: shelf.save(job_id, text, base, who, note, choices=choices)
    )
    if isinstance(found, api.Saved):
        return to(f"/jobs/{job_id}?saved={found.number}")
    if found.merged is None or found.theirs.number != number_of(form.get("theirs") or 0):
        return await clashed(request, found, text, note)
    merged = found.merged
    again = await work_of(request).shelf(
        lambda shelf: shelf.save(job_id, merged, found.theirs.number, who, note, files=found.merged_files)
    )
    if isinstance(again, api.Saved):
        return to(f"/jobs/{job_id}?saved={again.number}")
    return await clashed(request, again, merged, note)


def changes(old: str, new: str) -> list[tuple[str, str]]:
    r"""Return what differs between two texts: a sign and a line each, with a line or two around.

    >>> changes("a\nb\n", "a\nc\n")
    [(' ', 'a'), ('-', 'b'), ('+', 'c')]
    """
    lines = difflib.unified_diff(old.splitlines(), new.splitlines(), n=1, lineterm="")
    return [(line[0], line[1:]) for line in lines if not line.startswith(("---", "+++", "@@"))][:_MOST_LINES]


@router.get("/jobs/{job_id}/history")
async def history(request: Request, job_id: str) -> Response:
    """Show who saved what when, and what a revision changed."""
    work, look = work_of(request), look_of(request, job_id)
    job, lines = await work.shelf(lambda shelf: (shelf.job(job_id), shelf.revisions(job_id)))
    given = request.query_params.get("number", "")
    number = int(given) if given.isdecimal() and len(given) < 9 else job.latest
    found = await work.shelf(lambda shelf: shelf.revision(job_id, number))
    old = ""
    if number > 1:
        old = (await work.shelf(lambda shelf: shelf.revision(job_id, number - 1))).text
    return page(
        request,
        "history.html",
        look,
        job=job,
        here="/history",
        revisions=lines,
        number=number,
        shown=found,
        changes=changes(old, found.text) if number > 1 else [],
    )


@router.post("/jobs/{job_id}/restore")
async def restore(request: Request, job_id: str) -> Response:
    """Bring a revision back as the newest one."""
    number, who = number_of((await request.form()).get("number")), who_saves(visitor_of(request))
    done = await work_of(request).shelf(lambda shelf: shelf.restore(job_id, number, who))
    return to(f"/jobs/{job_id}?saved={done.number}")


@router.post("/jobs/{job_id}/remove")
async def remove(request: Request, job_id: str) -> Response:
    """Take a job off the shelf, and show where it is kept."""
    who = who_saves(visitor_of(request))
    await work_of(request).shelf(lambda shelf: shelf.remove(job_id, who))
    return to("/removed")


@router.get("/jobs/{job_id}/photos")
async def photos(request: Request, job_id: str) -> Response:
    """Show the photos of a job."""
    found = await work_of(request).shelf(lambda shelf: (shelf.job(job_id), shelf.photos(job_id)))
    return page(
        request, "photos.html", look_of(request, job_id), job=found[0], here="/photos", photos=found[1]
    )


@router.post("/jobs/{job_id}/photos")
async def add_photo(request: Request, job_id: str) -> Response:
    """Keep a photo, drawn anew without what the camera wrote into it."""
    async with request.form() as form:
        file = form.get("file")
        if not isinstance(file, UploadFile):
            problem = Problem(
                status=422, detail=words("no picture came along"), next_step=words("choose one")
            )
            raise Refused(problem)
        content = await file.read()
    data = await work_of(request).photo(content)
    caption, who = str(form.get("caption") or "")[:200], who_saves(visitor_of(request))
    await work_of(request).shelf(lambda shelf: shelf.add_photo(job_id, data, caption, who))
    return to(f"/jobs/{job_id}/photos")


@router.post("/jobs/{job_id}/photos/{photo_id}/remove")
async def remove_photo(request: Request, job_id: str, photo_id: str) -> Response:
    """Remove a photo."""
    await work_of(request).shelf(lambda shelf: remove_photo_of_job(shelf, job_id, photo_id))
    return to(f"/jobs/{job_id}/photos")
