"""Rules and reference tables for a terminal."""

from __future__ import annotations

from collections.abc import Iterable

from groundstrap.checks import Rule
from groundstrap.report.layout import Style, heading, paragraph, table
from groundstrap.report.reasons import source_words
from groundstrap.sources import all_sources
from groundstrap.tables import Table

__all__ = ["rule_lines", "rules_lines", "table_lines", "tables_lines"]


def rule_lines(rule: Rule, style: Style) -> list[str]:
    """Return everything that a rule says of itself."""
    title = f"{rule.id} {rule.slug}"
    lines = [style.paint(title, "strong"), *paragraph(rule.statement, style)]
    lines += paragraph(
        f"Level {rule.level}, {rule.status} since {rule.since}; asked of each {rule.about}.", style
    )
    for name, words in (
        ("Why", rule.why),
        ("Applies to", rule.applies_to),
        ("Known limits", rule.known_limits),
        ("Remedy", rule.remedy),
        ("Caution", rule.caution.value),
    ):
        if words:
            lines += [*heading(name, style), *paragraph(words, style, first="  ")]
    lines += heading("Sources", style)
    known = all_sources()
    for named in rule.sources:
        id_, _, clause = named.partition(",")
        found = known[id_]
        words = (
            f"{found.title}, {found.edition}; {clause.strip()} ({source_words(named)}; seen: {found.seen})"
        )
        lines += paragraph(words, style, first="  - ", rest="    ")
    return [*lines, *heading("Needs", style), *paragraph(", ".join(rule.needs), style, first="  ")]


def rules_lines(rules: Iterable[Rule], style: Style) -> list[str]:
    """Return all rules, each with its statement."""
    lines = ["Rules; `groundstrap explain ID` says more of one.", ""]
    for rule in rules:
        lines += [f"{rule.id} {rule.slug}"]
        lines += paragraph(rule.statement, style, first="       ")
    return lines


def table_lines(found: Table, style: Style) -> list[str]:
    """Return a table: where it comes from, under which conditions it holds, and its rows."""
    lines = [style.paint(found.name, "strong"), *paragraph(found.title, style)]
    lines += paragraph(f"Source: {found.source}, {found.locator} ({source_words(found.source)})", style)
    facts = [f"{key} {value}" for key, value in found.conditions.items()]
    if facts:
        lines += paragraph(f"Holds for: {', '.join(facts)}", style)
    lines += paragraph(
        f"Known: {found.known}. Look-up: {found.lookup}; outside of it: {found.outside}.", style
    )
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
