"""The shapes of requests about readings."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from groundstrap.web.shapes import Asks, Files, JobId, Key, Line, Text

__all__ = ["LocationAsked", "ReadingAsked"]

Meter = Annotated[str, Field(max_length=100)]


class _OfJob(Asks):
    """A job's text, and what stands beside it."""

    text: Text = Field(description="The whole text of the job file.")
    files: Files | None = Field(None, description="Files beside it: name -> content.")
    job: JobId | None = Field(
        None, description="A job on the shelf, whose files come along where none are given."
    )


class LocationAsked(_OfJob):
    """A job with its readings, and what is complained of."""

    load: Key | None = Field(
        None, description="The load that somebody complains of; left out, everything that runs."
    )
    dead: bool = Field(default=False, description="It does nothing at all; else it is weak or cuts out.")
    flat: bool = Field(
        default=False, description="The battery goes flat: what draws with everything off is looked for."
    )
    meter: Meter | None = Field(
        None, description="What volts are read with: basic, handheld, bench; left out, a basic one."
    )


class ReadingAsked(_OfJob):
    """A reading that is put into a job."""

    reading: Line = Field(
        description="Where, a colon, what the meter shows: `pump: 10.9 V`, `battery + to pump +: 310 mV`."
    )
    when: Literal["resting", "idling", "driving", "cranking", "mains"] = Field(
        "resting", description="Situation that it was taken in."
    )
    using: Annotated[list[Key], Field(max_length=500)] = Field(
        default_factory=list, description="Loads that ran."
    )
    meter: Meter | None = Field(None, description="As the job file has it: `handheld`, `0.8 % + 2 digits`.")
