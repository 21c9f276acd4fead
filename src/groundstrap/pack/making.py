"""The files of a pack: what is printed, what is opened in a sheet, what other programs read."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from functools import partial
from typing import Final

from groundstrap.draw.canvas import Drawn
from groundstrap.draw.compact import wiring_compact
from groundstrap.draw.routes import route_pages
from groundstrap.draw.wiring import wiring_pages
from groundstrap.errors import CallError
from groundstrap.pack.document import Wanted, document, section_keys
from groundstrap.pack.lists.files import LISTS, list_files
from groundstrap.pack.lists.netlist import netlist
from groundstrap.pack.texts.phrases import Telling
from groundstrap.pack.typeset.html import html
from groundstrap.pack.typeset.pdf import Setting, pdf
from groundstrap.records import replace
from groundstrap.report.plan import Plan

__all__ = ["Progress", "drawings", "pack_files"]

Progress = Callable[[str], None]
"""Is told the name of each file when it is begun."""

_File = tuple[str, Callable[[], "bytes | Future[bytes]"]]
_ALONE: Final = ("fuses", "circuits", "labels")
"""Sections that are printed alone too: beside the fuse box, at one circuit, on label sheets."""


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
    whole = document(plan, wanted, keys, telling)
    setting = Setting(paper=wanted.paper, language=wanted.language, cover="cover" in keys)
    yield "pack.pdf", lambda: beside.submit(pdf, whole, setting)
    setting, wanted = replace(setting, cover=False), replace(wanted, alone=True)
    for key in _ALONE:
        if key in keys and any(section.key == key for section in whole.sections):
            one = document(plan, wanted, (key,), telling)
            yield f"{key}.pdf", partial(beside.submit, pdf, one, setting)
    yield "pack.html", lambda: html(whole, wanted.language).encode()
    if "drawing" in keys:
        yield from ((f"{each.key}.svg", each.svg.encode) for each in drawings(plan, wanted))
    if "routes" in keys:
        yield from ((f"{each.key}.svg", each.svg.encode) for each in drawings(plan, wanted, routes=True))
    if set(LISTS) & set(keys):
        asked = [name for name in LISTS if name in keys]
        lists = list_files(plan, wanted.paper, only=asked, cuts=telling.every_cut, reels=telling.reels)
        yield from ((name, text.encode) for name, text in lists.items())
    if "calculations" in keys:
        yield "netlist.cir", lambda: netlist(plan, telling.wiring).encode("ascii")


def drawings(plan: Plan, wanted: Wanted, *, compact: bool = False, routes: bool = False) -> tuple[Drawn, ...]:
    """Return the drawings of a plan: sheets of paper, or one column for a phone; or its places and runs."""
    if routes:
        return route_pages(plan, paper=wanted.paper, shown=wanted.shown, language=wanted.language)
    if compact:
        return (wiring_compact(plan, shown=wanted.shown, language=wanted.language),)
    return wiring_pages(plan, paper=wanted.paper, shown=wanted.shown, language=wanted.language)
