"""The files of a pack: what is printed, what is opened in a sheet, what other programs read."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from functools import partial

from groundstrap.draw.canvas import Drawn
from groundstrap.draw.compact import wiring_compact
from groundstrap.draw.routes import route_pages
from groundstrap.draw.routes_column import routes_column
from groundstrap.draw.wiring import wiring_pages
from groundstrap.errors import CallError
from groundstrap.pack.document import (
    ALONE,
    SECTIONS,
    Wanted,
    alone,
    document,
    routes_of,
    section_keys,
    section_of,
    wiring_of,
    without_sections,
)
from groundstrap.pack.lists.days import day_files
from groundstrap.pack.lists.files import LISTS, list_files
from groundstrap.pack.lists.netlist import netlist
from groundstrap.pack.texts.circuit_sheet import circuit_sheet
from groundstrap.pack.texts.phrases import Telling
from groundstrap.pack.typeset.html import html
from groundstrap.pack.typeset.pdf import Setting, pdf
from groundstrap.records import replace
from groundstrap.report.endurance import EnduranceAnswer
from groundstrap.report.plan import Plan

__all__ = ["Progress", "drawings", "pack_file", "pack_files"]

Progress = Callable[[str], None]
"""Is told the name of each file when it is begun."""

_File = tuple[str, Callable[[], "bytes | Future[bytes]"]]


def pack_files(
    plan: Plan, wanted: Wanted, only: Iterable[str] = (), progress: Progress | None = None
) -> Mapping[str, bytes]:
    """Return the files of a pack by their names, or those that some sections need.

    Parameters
    ----------
    plan : Plan
        What `plan` said.
    wanted : Wanted
        Units, language, paper, meter, earlier revision.
    only : Iterable of str
        Names of sections; none for the whole pack.
    progress : callable or None
        Told the name of each file before it is made.
    """
    asked = tuple(only)
    keys = section_keys(asked)
    if "changes" in asked and wanted.since is None:
        raise CallError("there is no earlier revision to compare with", wanted="--since OLD, its job file")
    if "days" in asked and wanted.days is None:
        raise CallError("no run of its days is there", wanted="what endure says to the job")
    made: dict[str, bytes | Future[bytes]] = {}
    # The typesetter lets other work go on beside it: the PDFs are set one by one while the rest is made.
    with ThreadPoolExecutor(max_workers=1) as beside:
        for name, make in _files(plan, wanted, keys, beside):
            if progress is not None:
                progress(name)
            made[name] = make()
        return {name: each.result() if isinstance(each, Future) else each for name, each in made.items()}


def _files(plan: Plan, wanted: Wanted, keys: tuple[str, ...], beside: Executor) -> Iterator[_File]:
    telling = Telling(plan, wanted.shown)
    setting = Setting(paper=wanted.paper, language=wanted.language, cover=False)
    # What is printed alone comes first: it is set while the other sections are still being written.
    for key in ALONE:
        section = section_of(key, telling, wanted) if key in keys else None
        if section is not None:
            sheet = alone(without_sections(telling), section)
            yield f"{key}.pdf", partial(beside.submit, pdf, sheet, setting)
    whole = document(plan, wanted, keys, telling)
    yield "pack.pdf", partial(beside.submit, pdf, whole, replace(setting, cover="cover" in keys))
    yield "pack.html", lambda: html(whole, wanted.language).encode()
    if "drawing" in keys:
        yield from ((f"{each.key}.svg", each.svg.encode) for each in wiring_of(telling, wanted))
    if "routes" in keys:
        yield from ((f"{each.key}.svg", each.svg.encode) for each in routes_of(telling, wanted))
    if set(LISTS) & set(keys):
        asked = [name for name in LISTS if name in keys]
        lists = list_files(plan, wanted.paper, only=asked, telling=telling, meter=wanted.meter)
        yield from ((name, text.encode) for name, text in lists.items())
    if "calculations" in keys:
        yield "netlist.cir", lambda: netlist(plan, telling.wiring).encode("ascii")
    if "days" in keys and isinstance(wanted.days, EnduranceAnswer):
        yield from ((name, text.encode) for name, text in day_files(wanted.days).items())


def pack_file(
    plan: Plan,
    wanted: Wanted,
    name: str,
    *,
    circuit: str | None = None,
    progress: Progress | None = None,
    telling: Telling | None = None,
) -> bytes:
    """Return one file of a pack by its name, made alone: no more than it needs.

    Parameters
    ----------
    plan : Plan
        What `plan` said.
    wanted : Wanted
        Units, language, paper, meter, earlier revision.
    name : str
        Name of a file of the pack, such as `cables.csv`, `wiring-1.svg` or `pack.pdf`; and any section with
        `.pdf` or `.html` behind it, such as `tests.pdf`.
    circuit : str or None
        With `circuits.pdf` or `circuits.html`: the one circuit whose sheet is made.
    progress : callable or None
        Told the name of each section, and of the file, before it is made.
    telling : Telling or None
        What was found of the plan before, so that the next file takes less.

    Raises
    ------
    CallError
        The pack has no such file, or the job no such circuit.
    """
    telling = telling or Telling(plan, wanted.shown)
    stem, _, kind = name.rpartition(".")
    if kind in {"pdf", "html"} and (stem == "pack" or stem in SECTIONS):
        return _section_file(plan, wanted, telling, (stem, kind, circuit), progress)
    if progress is not None:
        progress(name)
    if name in {"days.csv", "days.json"} and isinstance(wanted.days, EnduranceAnswer):
        return day_files(wanted.days)[name].encode()
    if name == "netlist.cir":
        return netlist(plan, telling.wiring).encode("ascii")
    if kind in {"csv", "json"} and stem in LISTS:
        lists = list_files(plan, wanted.paper, only=(stem,), telling=telling, meter=wanted.meter)
        return lists[name].encode()
    pages = {"wiring": wiring_of, "routes": routes_of}.get(stem.rpartition("-")[0])
    for page in () if kind != "svg" or pages is None else pages(telling, wanted):
        if page.key == stem:
            return page.svg.encode()
    if name == "wiring-compact.svg":
        return drawings(plan, wanted, compact=True)[0].svg.encode()
    raise CallError(f"the pack has no file {name!r}", wanted="a name as in its listing, or SECTION.pdf")


def _section_file(
    plan: Plan,
    wanted: Wanted,
    telling: Telling,
    asked: tuple[str, str, str | None],
    progress: Progress | None,
) -> bytes:
    """The whole or one section as PDF or HTML."""
    stem, kind, circuit = asked
    if stem == "changes" and wanted.since is None:
        raise CallError("there is no earlier revision to compare with", wanted="--since OLD, its job file")
    if stem == "days" and wanted.days is None:
        raise CallError("no run of its days is there", wanted="what endure says to the job")
    needed = ("signatures",) if circuit is not None else () if stem == "pack" else (stem,)
    whole = document(plan, wanted, needed, telling, progress)
    if circuit is not None:
        if stem != "circuits" or circuit not in plan.installation.circuits:
            known = ", ".join(plan.installation.circuits)
            raise CallError(
                f"there is no sheet of a circuit {circuit!r}", wanted=f"circuits.pdf, one of {known}"
            )
        sheet = circuit_sheet(plan, circuit, wanted.shown, wanted.meter, telling)
        whole = replace(whole, sections=(sheet,))
    elif stem != "pack" and whole.sections:
        whole = alone(whole, whole.sections[0])
    if progress is not None:
        progress(f"{stem}.{kind}")
    if kind == "html":
        return html(whole, wanted.language).encode()
    return pdf(whole, Setting(paper=wanted.paper, language=wanted.language, cover=stem in {"pack", "cover"}))


def drawings(plan: Plan, wanted: Wanted, *, compact: bool = False, routes: bool = False) -> tuple[Drawn, ...]:
    """Return the drawings of a plan: sheets of paper, or one column for a phone; or its places and runs."""
    if routes and compact:
        return (routes_column(plan, shown=wanted.shown, language=wanted.language),)
    if routes:
        return route_pages(plan, paper=wanted.paper, shown=wanted.shown, language=wanted.language)
    if compact:
        return (wiring_compact(plan, shown=wanted.shown, language=wanted.language),)
    return wiring_pages(plan, paper=wanted.paper, shown=wanted.shown, language=wanted.language)
