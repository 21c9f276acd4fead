"""Rules and reference tables for a terminal."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from groundstrap.checks import About, Level, Rule, Status, areas, examples, needs_words
from groundstrap.checks import rule as rule_named
from groundstrap.report.layout import Style, heading, paragraph, table
from groundstrap.report.reasons import source_in_full, source_words
from groundstrap.tables import Table

__all__ = ["rule_lines", "rules_lines", "table_lines", "tables_lines"]


_WEIGHTS: Final = {
    Level.STOP: "Where it is broken, the job must not be built like that.",
    Level.CAUTION: "Where it is broken, there is a caution: think before you build it like that.",
    Level.NOTE: "Where it is broken, there is a note: worth knowing, and no danger by itself.",
}


def rule_lines(rule: Rule, style: Style) -> list[str]:
    """Return everything that a rule says of itself."""
    lines = [style.paint(f"{rule.id} {rule.slug}", "strong"), *paragraph(rule.statement, style)]
    asked = f"Asked of each {_THINGS.get(rule.about, rule.about)}. {_WEIGHTS[rule.level]}"
    lines += paragraph(asked, style)
    if rule.status is not Status.STABLE:
        lines += paragraph(_STATUS[rule.status], style)
    for name, words in (
        ("Why", rule.why),
        ("Applies to", rule.applies_to),
        ("Known limits", rule.known_limits),
        ("Remedy", rule.remedy),
        ("Caution", rule.caution.value),
    ):
        if words:
            lines += [*heading(name, style), *paragraph(words, style, first="  ")]
    lines += heading("What it looks at", style)
    for words in needs_words(rule):
        lines += paragraph(words, style, first="  - ", rest="    ")
    lines += _example_lines(rule, style)
    causes = [name for name in rule.follows if name != rule.id]
    if causes:
        lines += heading("Told as a consequence of", style)
        named = ", ".join(f"{name} {rule_named(name).slug}" for name in causes)
        lines += paragraph(f"{named}, where that fails on what this concerns.", style, first="  ")
    lines += heading("Sources", style)
    for named in rule.sources:
        lines += paragraph(source_in_full(named), style, first="  - ", rest="    ")
    return lines


def _example_lines(rule: Rule, style: Style) -> list[str]:
    """Cases with what the rule says to each."""
    lines = heading("By example", style)
    shown = examples(rule.id)
    for each in shown:
        words = f"{_KINDS[each.kind]}: {each.name}: {each.verdict.text}"
        lines += paragraph(words, style, first="  - ", rest="    ")
    if all(each.kind != "boundary" for each in shown):
        lines += paragraph("It compares no two numbers: there is no case on a limit.", style, first="  - ")
    return lines


_KINDS: Final = {"fails": "Fails", "passes": "Passes", "unknown": "Stays unknown", "boundary": "On the limit"}
_THINGS: Final = {About.LEFTOVER: "cable that leads nowhere any more", About.GEAR: "piece of gear"}
_STATUS: Final = {
    Status.DRAFT: "It is a draft: it is shown and decides nothing yet.",
    Status.RETIRED: "It is retired: it is asked no more.",
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
