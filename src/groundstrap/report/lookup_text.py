"""Rules and reference tables for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from groundstrap.checks import About, Level, Rule, Status, areas, examples, needs_words
from groundstrap.checks import rule as rule_named
from groundstrap.records import dataclass
from groundstrap.report.layout import Style, heading, paragraph, table
from groundstrap.report.reasons import source_in_full, source_words
from groundstrap.tables import Table
from groundstrap.words import Name, term, words

__all__ = ["Chapter", "rule_lines", "rule_told", "rules_lines", "table_lines", "tables_lines"]


_WEIGHTS: Final = {
    Level.STOP: words("Where it is broken, the job must not be built like that."),
    Level.CAUTION: words("Where it is broken, there is a caution: think before you build it like that."),
    Level.NOTE: words("Where it is broken, there is a note: worth knowing, and no danger by itself."),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """What a rule says under one heading; the first has none."""

    heading: str = ""
    lines: tuple[str, ...] = ()
    items: tuple[str, ...] = ()


def rule_told(rule: Rule) -> tuple[Chapter, ...]:
    """Return everything that a rule says of itself, in words that can be translated."""
    asked = words("Asked of each {thing}.", thing=_THINGS.get(rule.about) or term(rule.about.value))
    begun = [term(rule.statement), asked, _WEIGHTS[rule.level]]
    if rule.status is not Status.STABLE:
        begun.append(_STATUS[rule.status])
    said = (
        (words("Why"), rule.why and term(rule.why)),
        (words("Applies to"), rule.applies_to and term(rule.applies_to)),
        (words("Known limits"), rule.known_limits and term(rule.known_limits)),
        (words("Remedy"), rule.remedy),
        (words("Caution"), rule.caution.value and term(rule.caution.value)),
    )
    causes = [name for name in rule.follows if name != rule.id]
    named = ", ".join(f"{name} {rule_named(name).slug}" for name in causes)
    cause = words("{rules}, where that fails on what this concerns.", rules=Name(named))
    return (
        Chapter(lines=tuple(begun)),
        *(Chapter(heading=head, lines=(text,)) for head, text in said if text),
        Chapter(heading=words("What it looks at"), items=tuple(map(term, needs_words(rule)))),
        Chapter(heading=words("By example"), items=tuple(_examples(rule))),
        *([Chapter(heading=words("Told as a consequence of"), lines=(cause,))] if causes else []),
        Chapter(heading=words("Sources"), items=tuple(source_in_full(each) for each in rule.sources)),
    )


def rule_lines(rule: Rule, style: Style) -> list[str]:
    """Return everything that a rule says of itself, for a terminal."""
    lines = [style.paint(f"{rule.id} {rule.slug}", "strong")]
    for chapter in rule_told(rule):
        if chapter.heading:
            lines += heading(chapter.heading, style)
        for text in chapter.lines:
            lines += paragraph(text, style, first="  " if chapter.heading else "")
        for text in chapter.items:
            lines += paragraph(text, style, first="  - ", rest="    ")
    return lines


def _examples(rule: Rule) -> Iterator[str]:
    """Cases with what the rule says to each."""
    shown = examples(rule.id)
    for each in shown:
        yield words(
            "{kind}: {name}: {verdict}", kind=_KINDS[each.kind], name=each.name, verdict=each.verdict.text
        )
    if all(each.kind != "boundary" for each in shown):
        yield words("It compares no two numbers: there is no case on a limit.")


_KINDS: Final = {
    "fails": words("Fails"),
    "passes": words("Passes"),
    "unknown": words("Stays unknown"),
    "boundary": words("On the limit"),
}
_THINGS: Final = {
    About.LEFTOVER: words("cable that leads nowhere any more"),
    About.GEAR: words("piece of gear"),
}
_STATUS: Final = {
    Status.DRAFT: words("It is a draft: it is shown and decides nothing yet."),
    Status.RETIRED: words("It is retired: it is asked no more."),
}


def rules_lines(rules: Iterable[Rule], style: Style) -> list[str]:
    """Return all rules that are asked, by area, each with its statement."""
    lines = ["Rules by area; `groundstrap explain ID` says more of one, by its id or its name."]
    by_area: dict[str, list[Rule]] = {}
    for rule in (rule for rule in rules if rule.status is not Status.RETIRED):
        by_area.setdefault(rule.id[:3], []).append(rule)
    for area, several in by_area.items():
        lines += heading(_headed(areas()[area]), style)
        for rule in several:
            lines += [f"  {rule.id} {rule.slug}"]
            lines += paragraph(rule.statement, style, first="         ")
    return lines


def _headed(words: str) -> str:
    """`Boats: hull, bilge, vapour` as a heading: what stands before the colon in capitals."""
    name, _, rest = words.partition(":")
    return f"{name.upper()}:{rest}" if rest else name.upper()


_BETWEEN: Final = {
    "exact": "Between rows it gives no answer",
    "step-down": "Between rows the next lower one counts",
    "step-up": "Between rows the next higher one counts",
    "linear": "Between rows the straight line counts",
}
_BEYOND: Final = {
    "refuse": "beyond them it gives none",
    "flag": "beyond them an answer is marked as such",
}


def table_lines(found: Table, style: Style) -> list[str]:
    """Return a table: where it comes from, under which conditions it holds, and its rows."""
    lines = [style.paint(found.name, "strong"), *paragraph(found.title, style)]
    lines += paragraph(f"Source: {source_words(found.source)}; {found.locator}", style)
    facts = [f"{key} {value}" for key, value in found.conditions.items()]
    if facts:
        lines += paragraph(f"Holds for: {', '.join(facts)}", style)
    between, beyond = _BETWEEN.get(found.lookup, found.lookup), _BEYOND.get(found.outside, found.outside)
    lines += paragraph(f"How it is known: {found.known}. {between}; {beyond}.", style)
    if found.note:
        lines += paragraph(f"Note: {found.note}", style)
    names = [column.name for column in found.columns]
    rows = [names, *([row.cells[name] for name in names] for row in found)]
    numbers = frozenset(n for n, column in enumerate(found.columns) if column.unit != "text")
    # A table is wide where it is printed wide: cutting its numbers would change them.
    return [*lines, "", *table(rows, right=numbers, most=10_000)]


def tables_lines(found: Iterable[Table], style: Style) -> list[str]:
    """Return the names of tables with what each holds."""
    lines = ["Reference tables; `groundstrap tables NAME` prints one.", ""]
    for each in found:
        lines += [each.name, *paragraph(f"{each.title} [{source_words(each.source)}]", style, first="    ")]
    return lines
