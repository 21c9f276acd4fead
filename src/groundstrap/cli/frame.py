"""What every command needs: the job that is named, and the terminal that the answer is for."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final, TypedDict

from groundstrap import api

if TYPE_CHECKING:
    from groundstrap.api.reading import Job

__all__ = ["Frame", "frame", "read"]

_WIDEST: Final = 100


class Frame(TypedDict):
    """What a text is laid out for, as arguments of whatever writes it."""

    width: int
    colour: bool


def read(job: str) -> Job:
    """Read a job file, or standard input for `-`."""
    if job == "-":
        data = sys.stdin.buffer.read()
        return api.read_job(api.decode_job(data, "-"), "-", folder=Path.cwd())
    return api.read_job_file(Path(job), job)


def frame() -> Frame:
    """How wide the terminal is, and whether it shows colours (a terminal that was not told not to)."""
    return Frame(width=_width() if sys.stdout.isatty() else 80, colour=_colours())


def _width() -> int:
    # It brings what packs archives along, which a plan that is piped need not wait for.
    import shutil  # noqa: PLC0415

    return min(_WIDEST, shutil.get_terminal_size((80, 24)).columns)


def _colours() -> bool:
    told_not_to = bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"
    return sys.stdout.isatty() and not told_not_to
