"""What workers do with a job that is accepted as built: its ohms, what was fitted pinned, what has grown."""

from __future__ import annotations

from groundstrap import api
from groundstrap.errors import GroundstrapError
from groundstrap.records import dataclass
from groundstrap.web.problems import in_words
from groundstrap.web.tasks import Asked, beside

__all__ = ["Ready", "made", "ready"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """What of a job can be accepted, or why nothing can."""

    built: api.AsBuilt | None = None
    why_not: str = ""


def made(asked: Asked, today: str, mended: tuple[str, ...]) -> api.AsBuilt:
    """Return a job as it was built and measured."""
    with beside(asked) as folder:
        return api.as_built(api.read_job(asked.text, "job", folder=folder), today, mended=mended)


def ready(asked: Asked, today: str) -> Ready:
    """Return the same, or why there is nothing to accept."""
    try:
        return Ready(built=made(asked, today, ()))
    except GroundstrapError as error:
        return Ready(why_not=in_words(error))
