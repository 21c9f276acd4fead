"""Measuring on a page: what is complained of, the reading that tells most, and what each one means."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter
from markupsafe import Markup
from starlette.datastructures import URL, FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response

from groundstrap import api
from groundstrap.web import meter_tasks
from groundstrap.web.asked import number_of, visitor_of, who_saves, work_of
from groundstrap.web.meter_tasks import Complaint, MeterAsked, SheetFile, Typed
from groundstrap.web.pages import phrases
from groundstrap.web.pages.context import look_of, page, to
from groundstrap.web.pages.jobs import Draft, clashed, draft
from groundstrap.web.pages.rendering import said

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
_LOAD: Final = "load "
_MENDED: Final = "mended "
_MOST_SKIPPED: Final = 20
_LONGEST_NAME: Final = 100
_BEGINS_A_NUMBER: Final = tuple("0123456789.,")


@router.api_route("/jobs/{job_id}/meter", methods=["GET", "POST"])
async def meter(request: Request, job_id: str) -> Response:
    """Take a reading or take one back, say what is known now, and ask for the next; or keep them all."""
    sent = await draft(request, job_id)
    fields = sent.form if request.method == "POST" else FormData(dict(request.query_params))
    if fields.get("do") == "save":
        return await _saved(request, sent)
    work, look = work_of(request), look_of(request, job_id)
    asked = MeterAsked(
        job=await work.asked(sent.text, sent.revision.files),
        about=_about(fields),
        take=_typed_in(fields),
        sheet=await _sheet_in(fields),
        back=_back(fields),
        mended=_of(fields, "do").removeprefix(_MENDED) if _of(fields, "do").startswith(_MENDED) else "",
        not_mended=_of(fields, "do") == "unmended",
        skipped=_skipped(fields),
        changed=sent.text != sent.revision.text,
        base=sent.base,
    )
    part = await work.done(meter_tasks.meter_part, asked, look, visitor_of(request).token, near=job_id)
    saved = request.query_params.get("saved", "")
    note = said(phrases.TOLD["meter_saved"](number=saved), look.code) if saved.isdecimal() else ""
    return page(
        request, "meter.html", look, job=sent.job, here="/meter", part=Markup(part.html), note=note,
        status=422 if part.refused else 200,
    )  # fmt: skip


def _of(fields: FormData, name: str) -> str:
    return str(fields.get(name) or "").strip()


def _about(fields: FormData) -> Complaint | None:
    """What is complained of; none until it was chosen."""
    about = _of(fields, "about")
    meter_name = _of(fields, "meter") or None
    if about in {"walk", "flat"}:
        return Complaint(flat=about == "flat", meter=meter_name)
    if not about.startswith(_LOAD):
        return None
    return Complaint(load=about[len(_LOAD) :], dead=_of(fields, "symptom") == "dead", meter=meter_name)


def _typed_in(fields: FormData) -> Typed | None:
    """The reading that was typed: the one that was asked for, or another."""
    what = _of(fields, "do")
    # The enter key takes whichever was typed.
    if what == "enter":
        what = "take" if _of(fields, "value") else "other" if _of(fields, "o_value") else ""
    if what == "take":
        return _typed(fields, "", _of(fields, "where"))
    if what == "other":
        through, red, black = (_of(fields, name) for name in ("o_through", "o_red", "o_black"))
        return _typed(fields, "o_", through or (f"{red} to {black}" if red and black else red))
    return None


async def _sheet_in(fields: FormData) -> SheetFile | None:
    """The sheet that came along, where it is to be put in."""
    file = fields.get("sheet")
    if not isinstance(file, UploadFile):
        return None
    content = await file.read()
    # A form may bring it along with any other button.
    await file.close()
    if _of(fields, "do") != "sheet":
        return None
    return SheetFile(name=(file.filename or "")[:_LONGEST_NAME] or "-", content=content)


def _typed(fields: FormData, begins: str, where: str) -> Typed:
    value, unit = _of(fields, f"{begins}value"), _of(fields, f"{begins}unit")
    if fields.get(f"{begins}minus") and value.startswith(_BEGINS_A_NUMBER):
        value = f"-{value}"
    return Typed(
        where=where,
        value=value,
        unit=unit or "V",
        when=_of(fields, f"{begins}when"),
        using=tuple(str(each) for each in fields.getlist(f"{begins}using")),
    )


def _back(fields: FormData) -> tuple[int, int] | None:
    what, _, place = _of(fields, "do").partition(" ")
    group, _, number = place.partition(" ")
    return (number_of(group), number_of(number)) if what == "back" else None


def _skipped(fields: FormData) -> tuple[str, ...]:
    """Readings that nobody wants to take now; whoever asks anew is asked for them again."""
    what = _of(fields, "do")
    if what == "look":
        return ()
    more = [_of(fields, "where")] if what == "skip" else []
    told = [str(each) for each in fields.getlist("skipped")]
    return tuple(dict.fromkeys(each for each in (*told, *more) if each))[-_MOST_SKIPPED:]


async def _saved(request: Request, sent: Draft) -> Response:
    """Keep the text with its readings as a revision; where somebody else was quicker, both are shown."""
    base, note = sent.base, "readings"
    job_id, who, text = sent.job.id, who_saves(visitor_of(request)), sent.text
    found = await work_of(request).shelf(lambda shelf: shelf.save(job_id, text, base, who, note))
    if isinstance(found, api.Clash):
        return await clashed(request, found, text, note)
    return to(_address(job_id, sent.form, found.number))


def _address(job_id: str, form: FormData, number: int) -> str:
    told = {name: _of(form, name) for name in ("about", "symptom", "meter")}
    given = {name: value for name, value in told.items() if value}
    return str(URL(f"/jobs/{job_id}/meter").include_query_params(**given, saved=number))
