"""What the job rests on: everything that nobody wrote, and every source with its weight."""

from __future__ import annotations

from groundstrap.pack.content import Block, Column, Paragraph, Section, Table
from groundstrap.pack.texts.phrases import Telling
from groundstrap.report.figures import Display
from groundstrap.report.plan import Plan
from groundstrap.report.reasons import SEEN
from groundstrap.sources import all_sources
from groundstrap.words import joined, term, words

__all__ = ["assumption_section", "source_section"]


def assumption_section(plan: Plan, shown: Display, telling: Telling | None = None) -> Section:
    """Return the assumptions, those with one reason together."""
    telling = telling or Telling(plan, shown)
    groups: dict[tuple[str, str], list[str]] = {}
    for each in plan.assumptions:
        groups.setdefault((each.why, each.value), []).append(each.where)
    rows = tuple(
        (telling.text(joined(", ", dict.fromkeys(places))), telling.text(value), telling.text(why))
        for (why, value), places in groups.items()
    )
    columns = (
        Column(words("where"), share=1.4),
        Column(words("assumed"), share=1.2),
        Column(words("why"), share=2.6),
    )
    preface = words(
        "Nobody wrote these, and the answer rests on them. Whoever knows better writes it into the job and "
        "prints the pack again."
    )
    blocks: tuple[Block, ...] = (Paragraph(preface), Table(columns, rows, small=True))
    if not rows:
        blocks = (Paragraph(words("Nothing was assumed.")),)
    return Section(key="assumptions", title=words("Assumptions"), blocks=blocks)


def source_section(plan: Plan, shown: Display) -> Section:
    """Return the sources that were used, each with its edition, its kind and how it was read."""
    del shown
    known = all_sources()
    rows = tuple(
        (
            known[id_].title,
            known[id_].edition if known[id_].edition not in {"today", "various"} else "",
            term(known[id_].kind.value.replace("-", " ")),
            SEEN.get(known[id_].seen, ""),
        )
        for id_ in plan.used_sources
        if id_ in known
    )
    columns = (
        Column(words("source"), share=3.4),
        Column(words("edition"), share=0.8),
        Column(words("kind"), share=1.0),
        Column(words("how it was read"), share=1.2),
    )
    order = words(
        "Weight: law binds where it applies, then standards, then what makers print, then handbooks and "
        "common practice; own judgement is marked as such and yields to all of them."
    )
    blocks = (Paragraph(order), Table(columns, rows, small=True))
    return Section(key="sources", title=words("Sources used"), blocks=blocks, new_page=False)
