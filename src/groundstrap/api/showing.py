"""Answers as text for a terminal and as JSON for other programs."""

from __future__ import annotations

from groundstrap.checks import Rule, rules
from groundstrap.report.figures import Display
from groundstrap.report.layout import Style
from groundstrap.report.lookup_text import (
    Chapter,
    rule_lines,
    rule_told,
    rules_lines,
    table_lines,
    tables_lines,
)
from groundstrap.report.pinned_text import pinned_line
from groundstrap.report.plan import Pinned, Plan, VetAnswer
from groundstrap.report.plan_json import plan_object
from groundstrap.report.plan_text import plan_lines
from groundstrap.report.values import json_text
from groundstrap.report.vet_json import vet_object
from groundstrap.report.vet_text import vet_lines
from groundstrap.tables import Table, list_tables, show

__all__ = [
    "Chapter",
    "pinned_text",
    "plan_json",
    "plan_text",
    "rule_text",
    "rule_told",
    "rules_text",
    "table_text",
    "tables_text",
    "vet_json",
    "vet_text",
]


def plan_text(answer: Plan, *, units: str | None = None, width: int = 80, colour: bool = False) -> str:
    """Return a plan for a terminal: the answer at a glance, then circuit by circuit why.

    Parameters
    ----------
    answer : Plan
        What `plan` or `check` said.
    units : str or None
        `metric` or `us`; left out, the job's own. They change what is shown, never what is chosen.
    width : int
        Columns of the terminal.
    colour : bool
        Whether the terminal shows colours; they never say anything that the text does not.
    """
    shown = Display.of(answer.installation, units)
    return _text(plan_lines(answer, Style(width=width, colour=colour, shown=shown)))


def pinned_text(pinned: Pinned, file: str) -> str:
    """Return in one line what was written into a file and which circuits were left open, and why."""
    return pinned_line(pinned, file)


def plan_json(answer: Plan) -> str:
    """Return a plan as one JSON object, as docs/results.md has it; its days are in `whole_json`."""
    return json_text(plan_object(answer))


def vet_text(answer: VetAnswer, *, units: str | None = None, width: int = 80, colour: bool = False) -> str:
    """Return what the loads really draw for a terminal; units, width and colour as for `plan_text`."""
    shown = Display.of(answer.installation, units)
    return _text(vet_lines(answer, Style(width=width, colour=colour, shown=shown)))


def vet_json(answer: VetAnswer) -> str:
    """Return what the loads really draw as one JSON object, as docs/results.md has it."""
    return json_text(vet_object(answer))


def rule_text(rule: Rule, *, width: int = 80, colour: bool = False) -> str:
    """Return a rule in words: what it wants, why, where it applies, its limits and its sources."""
    return _text(rule_lines(rule, Style(width=width, colour=colour)))


def rules_text(*, width: int = 80, colour: bool = False) -> str:
    """Return all rules, a line or two for each."""
    return _text(rules_lines(rules(), Style(width=width, colour=colour)))


def table_text(table: Table, *, width: int = 80, colour: bool = False) -> str:
    """Return a reference table with its source, its conditions and its rows."""
    return _text(table_lines(table, Style(width=width, colour=colour)))


def tables_text(*, width: int = 80, colour: bool = False) -> str:
    """Return the names of all reference tables with what each holds."""
    found = [show(name) for name in list_tables()]
    return _text(tables_lines(found, Style(width=width, colour=colour)))


def _text(lines: list[str]) -> str:
    return "\n".join(line.rstrip() for line in lines) + "\n"
