"""What the shelf gives out, as text for a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from groundstrap.errors import shown
from groundstrap.report.layout import Style, paragraph, table
from groundstrap.shelf import Clash, ClashAt, Photo, RevisionLine, ShelfJob
from groundstrap.words import plural, words

__all__ = ["clash_text", "history_text", "jobs_text", "photos_text"]

_LONGEST_VALUE: Final = 60


def jobs_text(jobs: Sequence[ShelfJob], *, width: int = 80, colour: bool = False) -> str:
    """Return jobs as a list: id, title and vehicle, newest revision, who and when.

    Parameters
    ----------
    jobs : Sequence of ShelfJob
        What the shelf found.
    width : int
        Of the terminal, in characters.
    colour : bool
        Whether the terminal shows colours.
    """
    if not jobs:
        return words("there is no such job on the shelf") + "\n"
    style = Style(width=width, colour=colour)
    cells = [[each.id, _named(each), str(each.latest), _when(each.changed_utc), each.who] for each in jobs]
    head: list[str] = [words("job"), words("title"), words("revision"), words("saved"), words("by")]
    return _lines([head, *cells], style, wrap=frozenset({1, 4}), right=frozenset({2}))


def _named(job: ShelfJob) -> str:
    title = job.title or words("(no title yet)")
    named = f"{title}, {job.vehicle}" if job.vehicle else str(title)
    if job.removed_utc is None:
        return named
    return words(
        "{job} (removed {when} by {who})", job=named, when=_when(job.removed_utc), who=job.removed_by
    )


def history_text(lines: Sequence[RevisionLine], *, width: int = 80, colour: bool = False) -> str:
    """Return the revisions of a job as a list, the newest first.

    Parameters
    ----------
    lines : Sequence of RevisionLine
        What the shelf gave.
    width : int
        Of the terminal, in characters.
    colour : bool
        Whether the terminal shows colours.
    """
    head: list[str] = [words("revision"), words("saved"), words("by"), words("note"), words("fingerprint")]
    cells = [
        [
            str(each.number),
            _when(each.when_utc),
            each.who,
            _noted(each),
            each.fingerprint.rpartition(":")[2][:16],
        ]
        for each in lines
    ]
    style = Style(width=width, colour=colour)
    return _lines([head, *cells], style, wrap=frozenset({2, 3}), right=frozenset({0}))


def _noted(line: RevisionLine) -> str:
    if line.restored_from is None:
        return line.note
    told = words("brings back revision {number}", number=str(line.restored_from))
    return f"{told}: {line.note}" if line.note else told


def photos_text(photos: Sequence[Photo], *, width: int = 80, colour: bool = False) -> str:
    """Return the photos of a job as a list.

    Parameters
    ----------
    photos : Sequence of Photo
        What the shelf gave.
    width : int
        Of the terminal, in characters.
    colour : bool
        Whether the terminal shows colours.
    """
    if not photos:
        return words("the job has no photos") + "\n"
    head: list[str] = [words("photo"), words("caption"), words("added"), words("by")]
    cells = [[each.id, each.caption, _when(each.when_utc), each.who] for each in photos]
    return _lines([head, *cells], Style(width=width, colour=colour), wrap=frozenset({1, 3}))


def clash_text(clash: Clash, *, width: int = 80, colour: bool = False) -> str:
    """Return what came in between a save and what it was based on, and what both changed.

    Parameters
    ----------
    clash : Clash
        What `save` answered.
    width : int
        Of the terminal, in characters.
    colour : bool
        Whether the terminal shows colours.
    """
    style = Style(width=width, colour=colour)
    told = words(
        "{who} saved revision {number} meanwhile; yours is based on {base}, and was not kept.",
        who=clash.theirs.who,
        number=str(clash.theirs.number),
        base=str(clash.base.number),
    )
    lines = paragraph(told, style)
    if clash.merged is not None:
        return (
            "\n".join([*lines, *paragraph(words("The two can be put together: add --merge."), style)]) + "\n"
        )
    count = len(clash.clashes)
    lines += paragraph(plural("Both changed {count} value:", "Both changed {count} values:", count), style)
    for each in clash.clashes:
        lines += paragraph(_both(each), style, first="  - ", rest="    ")
    lines += paragraph(
        words("Decide with --merge --take mine or --take theirs, or write into the file what is to be."),
        style,
    )
    return "\n".join(lines) + "\n"


def _both(clash: ClashAt) -> str:
    path = ".".join(str(key) for key in clash.path) or words("the text as a whole")
    if not clash.path:
        return str(path)
    return words(
        "{path}: was {base}, yours {mine}, theirs {theirs}",
        path=path,
        base=_value(clash.base),
        mine=_value(clash.mine),
        theirs=_value(clash.theirs),
    )


def _value(text: str | None) -> str:
    return words("nothing") if text is None else shown(" ".join(text.split()), _LONGEST_VALUE)


def _lines(
    cells: list[list[str]], style: Style, *, wrap: frozenset[int], right: frozenset[int] = frozenset()
) -> str:
    rows = [["".join(c if c.isprintable() else " " for c in cell) for cell in row] for row in cells]
    lines = table(rows, right=right, wrap=wrap, most=style.width)
    return "\n".join([style.paint(lines[0], "strong"), *lines[1:]]) + "\n"


def _when(moment: datetime) -> str:
    """A moment by the clock of whoever reads it."""
    return moment.astimezone().strftime("%Y-%m-%d %H:%M")
