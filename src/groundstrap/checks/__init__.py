"""Rules that judge an installation: one module each, plain values in, a verdict out, findings worst first."""

from groundstrap.checks.catalogue import areas, rule, rules
from groundstrap.checks.engine import run, run_days, run_readings, together
from groundstrap.checks.examples import Example, examples
from groundstrap.checks.findings import (
    Ask,
    Because,
    Counts,
    Finding,
    FindingOutcome,
    Judgement,
    Tree,
    Worst,
    trees,
    worst,
)
from groundstrap.checks.hazards import Hazard, WorkStep, hazards_of
from groundstrap.checks.needs import needs_words
from groundstrap.checks.rule import About, Level, Outcome, Rule, Status, Verdict

__all__ = [
    "About",
    "Ask",
    "Because",
    "Counts",
    "Example",
    "Finding",
    "FindingOutcome",
    "Hazard",
    "Judgement",
    "Level",
    "Outcome",
    "Rule",
    "Status",
    "Tree",
    "Verdict",
    "WorkStep",
    "Worst",
    "areas",
    "examples",
    "hazards_of",
    "needs_words",
    "rule",
    "rules",
    "run",
    "run_days",
    "run_readings",
    "together",
    "trees",
    "worst",
]
