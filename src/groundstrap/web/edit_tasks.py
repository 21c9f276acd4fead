"""An edit of a form and the answer to it in one go: the page that is typed at waits once, not twice."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap import api
from groundstrap.errors import CallError, JobError
from groundstrap.records import dataclass, replace
from groundstrap.web import tasks
from groundstrap.web.pages import phrases, shown
from groundstrap.web.pages.rendering import Look
from groundstrap.web.problems import of_error
from groundstrap.web.tasks import Asked

__all__ = ["Variant", "edited_answered", "variant"]

_FAULTY = 422


def edited_answered(asked: Asked, edits: tuple[api.Edit, ...], look: Look) -> Mapping[str, object]:
    """Return a job's text with edits made, what was said in words, and the answer as a part of a page.

    Parameters
    ----------
    asked : Asked
        The job before.
    edits : tuple of Edit
        Made one after the other.
    look : Look
        How the answer is shown.
    """
    told = dict(tasks.edited_told(asked.text, edits, look.code))
    try:
        answer = tasks.answer_html(replace(asked, text=str(told["text"])), look)
    except JobError as error:
        faults = [dict(each) for each in of_error(error).faults]
        return {**told, "answer": shown.faults_part(faults, look), "status": _FAULTY}
    return {**told, "answer": answer, "status": 200}


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """Another way of doing a job."""

    text: str
    """Of its job file."""
    name: str


def variant(text: str, given: Mapping[str, str]) -> Variant:
    """Return another way of doing a job.

    Parameters
    ----------
    text : str
        The whole text of the job file.
    given : Mapping of str to str
        Fields of the form: `kind`, `circuit`, `piece` and `value`.
    """
    kind, circuit, value = given["kind"], given["circuit"], given["value"]
    if not value:
        raise CallError("nothing was said to put in its place", wanted="a value, such as 4 AWG or 24 V")
    if kind == "system":
        edit = api.Edit(path=("system",), value=value)
        return Variant(text=api.edited(text, (edit,)), name=phrases.TOLD["system_name"](value=value))
    if kind not in phrases.WHAT or not circuit:
        raise CallError("no circuit was chosen", wanted="one of the list")
    piece = given["piece"] if given["piece"].isdecimal() and kind != "length" else ""
    told = f"{circuit} {piece}" if piece else circuit
    name = phrases.TOLD["swap_name"](circuit=told, what=phrases.WHAT[kind], value=value)
    if kind == "length":
        edit = api.Edit(path=("circuits", circuit, kind), value=value)
        return Variant(text=api.edited(text, (edit,)), name=name)
    return Variant(text=api.swapped(text, f"{circuit} {kind} {piece}".strip(), value).text, name=name)
