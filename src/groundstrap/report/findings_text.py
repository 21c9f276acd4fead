"""Findings for a terminal: worst first, each with its remedy and its source; the undecided ones together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from groundstrap.checks import Finding, FindingOutcome, Level
from groundstrap.report.layout import Style, heading, paragraph
from groundstrap.report.reasons import source_words

__all__ = ["finding_lines", "summary", "unknown_lines"]

_MARKS = {Level.STOP: "STOP", Level.CAUTION: "CAUTION", Level.NOTE: "NOTE"}
_COLOURS = {Level.STOP: "stop", Level.CAUTION: "caution", Level.NOTE: "plain"}


def summary(findings: Sequence[Finding]) -> str:
    """Return how many findings there are of each level, in one clause."""
    fails = [f for f in findings if f.outcome is FindingOutcome.FAIL and f.waiver is None]
    unknown = [f for f in findings if f.outcome is FindingOutcome.UNKNOWN and f.waiver is None]
    counts = [(sum(f.level is level for f in fails), level.value) for level in (Level.STOP, Level.CAUTION)]
    counts.append((sum(f.level is Level.NOTE for f in fails), "note"))
    words = [f"{n} {name}{'s' if n != 1 else ''}" for n, name in counts if n]
    if unknown:
        words.append(f"{len(unknown)} undecided")
    return ", ".join(words) if words else "nothing stands against it"


def finding_lines(findings: Iterable[Finding], style: Style) -> list[str]:
    """Return the findings that fail, worst first; the same remedy is told once."""
    failed = [f for f in findings if f.outcome is FindingOutcome.FAIL]
    if not failed:
        return []
    lines = heading("WHAT STANDS AGAINST IT, worst first", style)
    told: set[str] = set()
    for finding in failed:
        mark = "WAIVED" if finding.waiver is not None else _MARKS[finding.level]
        lead = f"  {mark:<8}"
        text = f"{finding.where}: {finding.text}. [{finding.rule} {finding.slug}]"
        wrapped = paragraph(text, style, first=lead, rest=" " * 10)
        colour = _COLOURS[finding.level] if finding.waiver is None else "plain"
        wrapped[0] = "  " + style.paint(f"{mark:<8}", colour) + wrapped[0][10:]
        lines += wrapped
        if finding.waiver is not None:
            words = f"{finding.waiver.by} answers for it: {finding.waiver.reason}"
            lines += paragraph(words, style, first=" " * 10)
        if finding.remedy and finding.remedy not in told:
            told.add(finding.remedy)
            lines += paragraph(f"Remedy: {finding.remedy}", style, first=" " * 10)
        clause = finding.source.partition(",")[2].strip()
        words = f"Source: {source_words(finding.source)}" + (f"; {clause}" if clause else "")
        lines += paragraph(words, style, first=" " * 10)
    return lines


def unknown_lines(findings: Iterable[Finding], style: Style) -> list[str]:
    """Return what could not be decided and what would settle it, the same question asked once."""
    groups: dict[tuple[Level, str, str], list[Finding]] = {}
    for finding in findings:
        if finding.outcome is FindingOutcome.UNKNOWN and finding.waiver is None:
            groups.setdefault((finding.level, finding.rule, finding.text), []).append(finding)
    if not groups:
        return []
    lines = heading("WHAT STAYS UNKNOWN, and what settles it", style)
    for (level, rule, text), found in groups.items():
        places = ", ".join(f.where for f in found)
        mark = f"({level})"
        words = f"{places}: {text}. [{rule}]"
        lines += paragraph(words, style, first=f"  {mark:<10}", rest=" " * 12)
    return lines
