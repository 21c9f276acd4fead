"""The pack and its drawings: everything of a plan that is printed or handed over."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from groundstrap.errors import CallError
from groundstrap.pack.document import Wanted, short_fingerprint
from groundstrap.pack.folder import write_pack
from groundstrap.pack.making import Progress, drawings, pack_file, pack_files
from groundstrap.pack.typeset.pdf import PAPERS
from groundstrap.report.days_verdict import judged_with
from groundstrap.report.endurance import DaysNotRun, EnduranceAnswer
from groundstrap.report.figures import Display
from groundstrap.report.language import language
from groundstrap.report.plan import Plan
from groundstrap.report.visited import Visited
from groundstrap.tables import meter_names

__all__ = ["drawing", "pack", "pack_part", "save_pack"]


def pack(
    answer: Plan,
    *,
    only: Iterable[str] = (),
    paper: str = "a4",
    units: str | None = None,
    language_code: str = "en",
    meter: str = "handheld",
    since: Plan | None = None,
    days: EnduranceAnswer | DaysNotRun | None = None,
    visited: Visited | None = None,
    progress: Progress | None = None,
) -> Mapping[str, bytes]:
    """Return the files of a job's pack: file name -> content.

    Parameters
    ----------
    answer : Plan
        What `plan` or `check` said.
    only : Iterable of str
        Names of sections; none for the whole pack.
    paper : str
        `a4` or `letter`.
    units : str or None
        `metric` or `us`; left out, the job's own.
    language_code : str
        Such as `en` or `de`.
    meter : str
        The meter that the test sheet is made for: a name of the tables.
    since : Plan or None
        The plan of an earlier revision.
    days : EnduranceAnswer, DaysNotRun or None
        What `endured_for_pack` or `endure` said to the job; without it the pack has no section on its days.
    visited : Visited or None
        What `visited` made of the visits that the shelf has; they stand with the readings.
    progress : callable or None
        Told the name of each file before it is made.

    Raises
    ------
    CallError
        There is no such section, paper, language or meter.
    """
    wanted = _wanted(
        answer, paper, units, language_code, meter=meter, since=since, days=days, visited=visited
    )
    return pack_files(judged_with(answer, days), wanted, only, progress)


def pack_part(
    answer: Plan,
    name: str,
    *,
    circuit: str | None = None,
    paper: str = "a4",
    units: str | None = None,
    language_code: str = "en",
    meter: str = "handheld",
    since: Plan | None = None,
    days: EnduranceAnswer | DaysNotRun | None = None,
    visited: Visited | None = None,
    progress: Progress | None = None,
) -> bytes:
    """Return one file of a job's pack, made alone and with the same bytes as in the whole.

    Parameters
    ----------
    answer : Plan
        What `plan` or `check` said.
    name : str
        Such as `cables.csv`, `wiring-1.svg`, `fuses.pdf`; any section with `.pdf` or `.html` behind it.
    circuit : str or None
        With `circuits.pdf` or `circuits.html`: the one circuit whose sheet is made.
    paper : str
        `a4` or `letter`.
    units : str or None
        `metric` or `us`; left out, the job's own.
    language_code : str
        Such as `en` or `de`.
    meter : str
        The meter that the test sheet is made for: a name of the tables.
    since : Plan or None
        The plan of an earlier revision.
    days : EnduranceAnswer, DaysNotRun or None
        What `endured_for_pack` or `endure` said to the job; without it the pack has no section on its days.
    visited : Visited or None
        What `visited` made of the visits that the shelf has; they stand with the readings.
    progress : callable or None
        Told the name of each section, and of the file, before it is made.

    Raises
    ------
    CallError
        There is no such file, circuit, paper, language or meter.
    """
    wanted = _wanted(
        answer, paper, units, language_code, meter=meter, since=since, days=days, visited=visited
    )
    return pack_file(judged_with(answer, days), wanted, name, circuit=circuit, progress=progress)


def drawing(
    answer: Plan,
    *,
    paper: str = "a4",
    units: str | None = None,
    language_code: str = "en",
    compact: bool = False,
    routes: bool = False,
) -> Mapping[str, str]:
    """Return the wiring drawing: file name -> SVG, a sheet each, or one column for a phone; or the runs.

    Parameters
    ----------
    answer : Plan
        What `plan` or `check` said.
    paper : str
        `a4` or `letter`.
    units : str or None
        `metric` or `us`; left out, the job's own.
    language_code : str
        Such as `en` or `de`.
    compact : bool
        One column, 390 pixels wide.
    routes : bool
        The drawing by place and run in the place of the wiring.
    """
    wanted = _wanted(answer, paper, units, language_code)
    made = drawings(answer, wanted, compact=compact, routes=routes)
    return {f"{each.key}.svg": each.svg for each in made}


def save_pack(folder: Path, files: Mapping[str, bytes], answer: Plan) -> None:
    """Write a pack into a folder, in place of an older one; nothing else in it is touched.

    Parameters
    ----------
    folder : Path
        Made where it is not there.
    files : Mapping of str to bytes
        What `pack` returned.
    answer : Plan
        The plan that they were made from.
    """
    write_pack(folder, files, short_fingerprint(answer))


def _wanted(
    answer: Plan,
    paper: str,
    units: str | None,
    language_code: str,
    *,
    meter: str = "handheld",
    since: Plan | None = None,
    days: EnduranceAnswer | DaysNotRun | None = None,
    visited: Visited | None = None,
) -> Wanted:
    for given, known, what in ((paper, tuple(PAPERS), "paper"), (meter, meter_names(), "meter")):
        if given not in known:
            raise CallError(f"there is no {what} {given!r}", wanted=", ".join(known))
    return Wanted(
        shown=Display.of(answer.installation, units),
        language=language(language_code),
        paper=paper,
        meter=meter,
        since=since,
        days=days,
        visited=visited,
    )
