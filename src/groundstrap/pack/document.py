"""The pack as one document: its sections by who reads them, the customer first and calculations last."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from groundstrap.draw.canvas import Drawn
from groundstrap.draw.routes import route_pages
from groundstrap.draw.wiring import wiring_pages
from groundstrap.errors import CallError, nearest_name
from groundstrap.pack.content import Document, Picture, Section
from groundstrap.pack.lists.cuts import cut_section
from groundstrap.pack.lists.devices import device_section
from groundstrap.pack.lists.fuses import fuse_map_section
from groundstrap.pack.lists.labels import label_section
from groundstrap.pack.lists.reels import reel_section
from groundstrap.pack.lists.shopping import parts_section
from groundstrap.pack.texts.acceptance import acceptance_section
from groundstrap.pack.texts.calculations import calculation_section
from groundstrap.pack.texts.changes import changes
from groundstrap.pack.texts.circuit_sheet import circuit_section
from groundstrap.pack.texts.cover import cover_facts, cover_section, revision_of, signature_section
from groundstrap.pack.texts.days import days_not_run, days_section
from groundstrap.pack.texts.glossary import glossary_section
from groundstrap.pack.texts.instructions import instruction_section
from groundstrap.pack.texts.left_over import parked_section, spare_section
from groundstrap.pack.texts.make_dead import dead_section
from groundstrap.pack.texts.phrases import Telling
from groundstrap.pack.texts.records import assumption_section, source_section
from groundstrap.pack.texts.standing import standing_section
from groundstrap.pack.texts.test_sheet import sheet_section
from groundstrap.records import dataclass, replace
from groundstrap.report.endurance import DaysNotRun, EnduranceAnswer
from groundstrap.report.figures import Display
from groundstrap.report.language import ENGLISH, Language
from groundstrap.report.plan import Plan
from groundstrap.report.visited import Visited
from groundstrap.words import words

__all__ = [
    "ALONE",
    "SECTIONS",
    "Wanted",
    "alone",
    "document",
    "routes_of",
    "section_keys",
    "section_of",
    "short_fingerprint",
    "wiring_of",
    "without_sections",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the pack is made for."""

    shown: Display
    language: Language = ENGLISH
    paper: str = "a4"
    meter: str = "handheld"
    since: Plan | None = None
    """The plan of an earlier revision, to say what has changed."""
    days: EnduranceAnswer | DaysNotRun | None = None
    """The run of its days, where one was made, or why it could not be."""
    visited: Visited | None = None
    """Its accepted visits, where the shelf knows any."""


def wiring_of(telling: Telling, wanted: Wanted) -> tuple[Drawn, ...]:
    """Return the sheets of the wiring, drawn once for the document and for the files beside it."""
    return telling.once(
        ("wiring", wanted.paper, wanted.language.code),
        lambda: wiring_pages(telling.plan, paper=wanted.paper, shown=wanted.shown, language=wanted.language),
    )


def routes_of(telling: Telling, wanted: Wanted) -> tuple[Drawn, ...]:
    """Return the sheets of places and runs, drawn once for the document and for the files beside it."""
    return telling.once(
        ("routes", wanted.paper, wanted.language.code),
        lambda: route_pages(telling.plan, paper=wanted.paper, shown=wanted.shown, language=wanted.language),
    )


def _drawing(telling: Telling, wanted: Wanted) -> Section:
    return _sheets("drawing", words("Wiring drawing"), wiring_of(telling, wanted))


def _sheets(key: str, title: str, pages: Iterable[Drawn]) -> Section:
    first, *rest = [
        Section(key=page.key, title=page.title, blocks=(_picture(page.svg, page.words),)) for page in pages
    ]
    return Section(key=key, title=title, blocks=first.blocks, parts=tuple(rest))


def _routes(telling: Telling, wanted: Wanted) -> Section:
    return _sheets("routes", words("Places and runs"), routes_of(telling, wanted))


def _circuits(telling: Telling, wanted: Wanted) -> Section:
    """All sheets one after the other; printed alone, each has a page of its own."""
    whole = circuit_section(telling.plan, wanted.shown, wanted.meter, telling)
    return replace(whole, parts=tuple(replace(part, new_page=False) for part in whole.parts))


def alone(whole: Document, section: Section) -> Document:
    """Return one section of a document to be printed by itself, each sheet of a circuit on its own page."""
    if section.key == "circuits":
        section = replace(section, parts=tuple(replace(part, new_page=True) for part in section.parts))
    return replace(whole, sections=(section,))


def _picture(svg: str, said: str) -> Picture:
    return Picture(svg=svg, words=said, whole_page=True, landscape=True)


def _changes(telling: Telling, wanted: Wanted) -> Section | None:
    return None if wanted.since is None else changes(wanted.since, telling.plan, wanted.shown)


def _days(telling: Telling, wanted: Wanted) -> Section | None:
    if isinstance(wanted.days, DaysNotRun):
        return days_not_run(wanted.days)
    return None if wanted.days is None else days_section(wanted.days, telling, wanted.language.in_print.text)


SECTIONS: Final[dict[str, Callable[[Telling, Wanted], Section | None]]] = {
    # What the customer and the inspector look for, and what stays on board.
    "cover": lambda of, wanted: cover_section(of.plan, wanted.shown, of),
    "findings": lambda of, wanted: standing_section(of.plan, wanted.shown, of),
    "changes": _changes,
    "fuses": lambda of, wanted: fuse_map_section(of.plan, wanted.shown, of.refs),
    "dead": lambda of, wanted: dead_section(of.plan, wanted.shown, of),
    "parked": lambda of, wanted: parked_section(of.plan, wanted.shown, of),
    "days": _days,
    "spare": lambda of, wanted: spare_section(of.plan, wanted.shown, of),
    "signatures": lambda of, wanted: signature_section(of.plan, wanted.shown),
    "glossary": lambda of, wanted: glossary_section(of.plan, wanted.shown),
    # What the bench and the shop work from.
    "drawing": _drawing,
    "routes": _routes,
    "devices": lambda of, _: device_section(of),
    "parts": lambda of, wanted: parts_section(of.plan, wanted.shown, of.every_cut, of.reels),
    "reels": lambda of, wanted: reel_section(of.plan, wanted.shown, of.reels),
    "cables": lambda of, wanted: cut_section(of.plan, wanted.shown, of.every_cut),
    "labels": lambda of, wanted: label_section(
        of.plan, paper=wanted.paper, language=wanted.language, labels=of.labels
    ),
    "instructions": lambda of, wanted: instruction_section(of.plan, wanted.shown, of),
    "tests": lambda of, wanted: sheet_section(of.plan, wanted.shown, wanted.meter, of),
    "readings": lambda of, wanted: acceptance_section(of, wanted.visited),
    "circuits": _circuits,
    # What another engineer checks it by.
    "assumptions": lambda of, wanted: assumption_section(of.plan, wanted.shown, of),
    "sources": lambda of, wanted: source_section(of.plan, wanted.shown),
    "calculations": lambda of, wanted: calculation_section(of.plan, wanted.shown, of),
}
"""Every section by the name that it has on the command line, in the order of the pack: by who reads it."""


ALONE: Final = ("fuses", "labels", "circuits")
"""Sections that are printed alone too: beside the fuse box, on label sheets, at one circuit."""


def section_keys(only: Iterable[str]) -> tuple[str, ...]:
    """Return the sections that somebody asks for, in the order of the pack; all where nobody asks.

    Raises:
        CallError: there is no such section.
    """
    asked = tuple(only)
    for name in asked:
        if name not in SECTIONS:
            near = nearest_name(name, SECTIONS)
            hint = f"; did you mean {near}?" if near else ""
            raise CallError(f"the pack has no section {name!r}{hint}", wanted=", ".join(SECTIONS))
    return tuple(key for key in SECTIONS if key in asked or not asked)


def short_fingerprint(plan: Plan) -> str:
    """Return the first 16 digits of a plan's fingerprint: enough to tell two revisions apart on paper."""
    return plan.fingerprint.rpartition(":")[2][:16]


def document(
    plan: Plan,
    wanted: Wanted,
    only: Iterable[str] = (),
    telling: Telling | None = None,
    progress: Callable[[str], None] | None = None,
) -> Document:
    """Return the document of a plan, or the sections of it that somebody asks for.

    Parameters
    ----------
    plan : Plan
        What `plan` said.
    wanted : Wanted
        Units, language, paper, meter, earlier revision.
    only : Iterable of str
        Names of sections; none for all of them.
    telling : Telling or None
        What was found of the plan before, where somebody has it.
    progress : callable or None
        Told the name of each section before it is made.
    """
    telling = telling or Telling(plan, wanted.shown)
    made = []
    for key in section_keys(only):
        if progress is not None:
            progress(key)
        made.append(section_of(key, telling, wanted))
    whole = without_sections(telling)
    return replace(whole, sections=tuple(section for section in made if section is not None))


def section_of(key: str, telling: Telling, wanted: Wanted) -> Section | None:
    """Return one section, one that is printed alone too made once; None where there is nothing to be said."""
    if key not in ALONE:
        return SECTIONS[key](telling, wanted)
    asked = (wanted.paper, wanted.language.code, wanted.meter)
    return telling.once(("section", key, *asked), lambda: SECTIONS[key](telling, wanted))


def without_sections(telling: Telling) -> Document:
    """Return the document of a plan with what stands on each of its pages, and no sections yet."""
    plan = telling.plan
    return Document(
        title=plan.installation.title,
        fingerprint=short_fingerprint(plan),
        revision=revision_of(plan),
        warning=telling.warning,
        facts=cover_facts(plan),
        sections=(),
    )
