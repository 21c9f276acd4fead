"""What the job rests on: everything that nobody wrote, and every source with its weight."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from groundstrap.model import Assumption
from groundstrap.pack.content import Block, Column, Paragraph, Section, Table
from groundstrap.pack.texts.phrases import Telling
from groundstrap.records import dataclass
from groundstrap.report.figures import Display
from groundstrap.report.plan import Plan
from groundstrap.report.reasons import SEEN
from groundstrap.sources import all_sources
from groundstrap.words import joined, term, words

__all__ = ["AssumedRow", "SourceRow", "assumed_rows", "assumption_section", "source_rows", "source_section"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AssumedRow:
    """What nobody wrote and the answer rests on."""

    where: str
    value: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceRow:
    """A source that was used, with its weight."""

    title: str
    edition: str
    kind: str
    seen: str


def assumed_rows(telling: Telling, assumptions: Iterable[Assumption] | None = None) -> Iterator[AssumedRow]:
    """Yield what nobody wrote (in the plan, where nothing else is named), the same with one reason once."""
    groups: dict[tuple[str, str], list[str]] = {}
    for each in telling.plan.assumptions if assumptions is None else assumptions:
        groups.setdefault((each.why, each.value), []).append(each.where)
    for (why, value), places in groups.items():
        where = joined(", ", dict.fromkeys(places))
        yield AssumedRow(where=telling.text(where), value=telling.text(value), why=telling.text(why))


def source_rows(plan: Plan) -> Iterator[SourceRow]:
    """Yield every source that was used, as it is named, with its edition, its kind and how it was read."""
    known = all_sources()
    for id_ in plan.used_sources:
        if id_ in known:
            found = known[id_]
            edition = found.edition if found.edition not in {"today", "various"} else ""
            kind = term(found.kind.value.replace("-", " "))
            yield SourceRow(title=found.title, edition=edition, kind=kind, seen=SEEN.get(found.seen, ""))


def assumption_section(plan: Plan, shown: Display, telling: Telling | None = None) -> Section:
    """Return the assumptions, those with one reason together."""
    telling = telling or Telling(plan, shown)
    rows = tuple((row.where, row.value, row.why) for row in assumed_rows(telling))
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
    rows = tuple((row.title, row.edition, row.kind, row.seen) for row in source_rows(plan))
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
