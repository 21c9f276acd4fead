"""An edit of a form and the answer to it in one go: the page that is typed at waits once, not twice."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap import api
from groundstrap.errors import JobError
from groundstrap.records import replace
from groundstrap.web import tasks
from groundstrap.web.pages import shown
from groundstrap.web.pages.rendering import Look
from groundstrap.web.problems import of_error
from groundstrap.web.tasks import Asked

__all__ = ["edited_answered"]

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
