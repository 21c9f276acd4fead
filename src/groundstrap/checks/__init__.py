"""Rules that judge an installation: one module each, plain values in, a verdict out, findings worst first."""

from groundstrap.checks.catalogue import areas, rule, rules
from groundstrap.checks.engine import run
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
from groundstrap.checks.needs import needs_words
from groundstrap.checks.rule import About, Level, Outcome, Rule, Status, Verdict

__all__ = [
    "About",
    "Ask",
    "Because",
    "Counts",
    "Finding",
    "FindingOutcome",
    "Judgement",
    "Level",
    "Outcome",
    "Rule",
    "Status",
    "Tree",
    "Verdict",
    "Worst",
    "areas",
    "needs_words",
    "rule",
    "rules",
    "run",
    "trees",
    "worst",
]
