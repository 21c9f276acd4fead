"""Jobs with a change in them for whoever looks for cures, with no rule asked or with some that speak."""

from __future__ import annotations

from groundstrap.assess import Wiring
from groundstrap.endure.results import Brought, Changed, Edit
from groundstrap.job import Edit as JobEdit
from groundstrap.job import edited


def as_changed(wiring: Wiring, brings: tuple[Brought, ...] = ()) -> Changed:
    """A changed job of which rules say the same whatever its run comes to."""
    return Changed(wiring=wiring, brings=lambda _: brings)


def written_in(text: str, edits: tuple[Edit, ...]) -> str:
    """The job's text with the edits of a cure in it."""
    return edited(text, [JobEdit(path=each.path, value=each.value) for each in edits])
