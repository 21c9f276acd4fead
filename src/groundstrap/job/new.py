"""A first job file from a few answers."""

from __future__ import annotations

from dataclasses import dataclass

from groundstrap.job.patches import plain
from groundstrap.job.reader import read_job

__all__ = ["NewJob", "new_job_text"]


@dataclass(frozen=True, slots=True, kw_only=True)
class NewJob:
    """Answers that make a job file; each is a text as it would stand in the file."""

    title: str
    load: str
    claim: str
    """What its label says: `60 W` or `5 A`."""
    length: str
    """Of the cable from the battery to the load, one way."""
    system: str = "12 V"
    basis: str = "road"
    kind: str = "other"
    battery_at: str = "engine bay"
    load_at: str | None = None
    return_to: str | None = None
    """`chassis`, or None for the battery's own negative."""


def new_job_text(answers: NewJob) -> str:
    """Return the text of a new job file, which has been read once to be sure of it.

    Parameters
    ----------
    answers : NewJob
        What the person said.

    Examples
    --------
    >>> print(new_job_text(NewJob(title="Shed light #2", load="light", claim="10 W", length="4 m")), end="")
    groundstrap: 1
    title: 'Shed light #2'
    system: 12 V
    basis: road
    supplies:
      battery: {kind: battery, at: engine bay}
    loads:
      light: {kind: other, claims: {power: 10 W}}
    circuits:
      light: {path: [battery, fuse, light], length: 4 m}
    """
    claim = answers.claim.strip()
    what = "current" if claim.endswith("A") else "power"
    load = plain(answers.load)
    place = f", at: {plain(answers.load_at)}" if answers.load_at else ""
    lines = [
        "groundstrap: 1",
        f"title: {plain(answers.title)}",
        f"system: {plain(answers.system)}",
        f"basis: {plain(answers.basis)}",
        *([f"return: {plain(answers.return_to)}"] if answers.return_to else []),
        "supplies:",
        f"  battery: {{kind: battery, at: {plain(answers.battery_at)}}}",
        "loads:",
        f"  {load}: {{kind: {plain(answers.kind)}{place}, claims: {{{what}: {plain(claim)}}}}}",
        "circuits:",
        f"  {load}: {{path: [battery, fuse, {load}], length: {plain(answers.length)}}}",
    ]
    text = "\n".join(lines) + "\n"
    read_job(text, "answers")
    return text
