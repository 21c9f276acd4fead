"""Other answers than a plan as text for a terminal, and answers as JSON for other programs."""

from __future__ import annotations

from groundstrap.checks import Rule, rules
from groundstrap.report.figures import Display
from groundstrap.report.layout import Style, laid_out
from groundstrap.report.lookup_text import (
    Chapter,
    rule_lines,
    rule_told,
    rules_lines,
    table_lines,
    tables_lines,
)
from groundstrap.report.plan import Plan, VetAnswer
from groundstrap.report.plan_json import plan_object
from groundstrap.report.values import json_text
from groundstrap.report.vet_json import vet_object
from groundstrap.report.vet_text import vet_lines
from groundstrap.tables import Table, list_tables, show

__all__ = [
    "Chapter",
    "plan_json",
    "rule_text",
    "rule_told",
    "rules_text",
    "table_text",
    "tables_text",
    "vet_json",
    "vet_text",
]


def plan_json(answer: Plan) -> str:
    """Return a plan as one JSON object, as docs/results.md has it; its days are in `whole_json`."""
    return json_text(plan_object(answer))


def vet_text(answer: VetAnswer, *, units: str | None = None, width: int = 80, colour: bool = False) -> str:
    """Return what the loads really draw for a terminal; units, width and colour as for `plan_text`."""
    shown = Display.of(answer.installation, units)
    return laid_out(vet_lines(answer, Style(width=width, colour=colour, shown=shown)))


def vet_json(answer: VetAnswer) -> str:
    """Return what the loads really draw as one JSON object, as docs/results.md has it."""
    return json_text(vet_object(answer))


def rule_text(rule: Rule, *, width: int = 80, colour: bool = False) -> str:
    """Return a rule in words: what it wants, why, where it applies, its limits and its sources."""
    return laid_out(rule_lines(rule, Style(width=width, colour=colour)))


def rules_text(*, width: int = 80, colour: bool = False) -> str:
    """Return all rules, a line or two for each."""
    return laid_out(rules_lines(rules(), Style(width=width, colour=colour)))


def table_text(table: Table, *, width: int = 80, colour: bool = False) -> str:
    """Return a reference table with its source, its conditions and its rows."""
    return laid_out(table_lines(table, Style(width=width, colour=colour)))


def tables_text(*, width: int = 80, colour: bool = False) -> str:
    """Return the names of all reference tables with what each holds."""
    found = [show(name) for name in list_tables()]
    return laid_out(tables_lines(found, Style(width=width, colour=colour)))
