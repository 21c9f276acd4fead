"""The shapes of requests about visits with a meter."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from groundstrap.web.shapes import Asks, Key, Line, Tells, Who

__all__ = ["VisitAsked", "VisitTold"]


class VisitAsked(Asks):
    """The readings of a job's newest visit, which somebody accepts."""

    based_on: Annotated[int, Field(ge=1, le=2_000_000_000)] = Field(
        description="Number of the revision whose readings are accepted."
    )
    mended: Annotated[list[Key], Field(max_length=500)] = Field(
        default_factory=list, description="Places that were mended since the last visit: they begin anew."
    )
    even_so: bool = Field(default=False, description="As built although readings fail.")
    who: Who = Field("", description="Who accepts; the name of a sign-in counts more.")
    note: Line = ""


class VisitPlaceTold(Tells):
    """What a visit found between two points."""

    red: str
    black: str
    place: str | None
    ohm: float
    standard_ohm: float
    usual_ohm: float
    limit_ohm: float | None
    current_a: float
    read: str
    mended: bool


class VisitTold(Tells):
    """A visit as it is kept."""

    job_id: str
    day: str
    revision: int
    who: str
    when_utc: str
    note: str
    places: list[VisitPlaceTold]
