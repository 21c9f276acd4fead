"""Findings for a terminal: worst first, each with its remedy and its source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from groundstrap.checks import Finding, FindingOutcome, Level, rule
from groundstrap.model import Waiver
from groundstrap.report.layout import Style, heading, paragraph
from groundstrap.report.reasons import source_words
from groundstrap.report.unknown_text import answers, told

__all__ = ["finding_lines", "summary"]

_MARKS = {Level.STOP: "STOP", Level.CAUTION: "CAUTION", Level.NOTE: "NOTE"}
_COLOURS = {Level.STOP: "stop", Level.CAUTION: "caution", Level.NOTE: "plain"}


def summary(findings: Sequence[Finding]) -> str:
    """Return how many findings there are of each level, in one clause."""
    fails = [f for f in findings if f.outcome is FindingOutcome.FAIL and f.decides]
    unknown = [f for f in findings if f.outcome is FindingOutcome.UNKNOWN and f.decides]
    counts = [(sum(f.level is level for f in fails), level.value) for level in (Level.STOP, Level.CAUTION)]
    counts.append((sum(f.level is Level.NOTE for f in fails), "note"))
    words = [f"{n} {name}{'s' if n != 1 else ''}" for n, name in counts if n]
    if unknown:
        wanted = answers(unknown)
        what = f" for want of {wanted} answer{'s' if wanted != 1 else ''}" if wanted < len(unknown) else ""
        words.append(f"{len(unknown)} undecided{what}")
    return ", ".join(words) if words else "nothing stands against it"


def finding_lines(findings: Iterable[Finding], style: Style) -> list[str]:
    """Return the findings that fail, worst first; the same words are told once."""
    groups: dict[tuple[str, Level, str, Waiver | None], list[Finding]] = {}
    for finding in findings:
        if finding.outcome is FindingOutcome.FAIL:
            groups.setdefault((finding.rule, finding.level, finding.text, finding.waiver), []).append(finding)
    if not groups:
        return []
    lines = heading("WHAT STANDS AGAINST IT, worst first", style)
    said: set[str] = set()
    for found in groups.values():
        lines += _first_lines(found, style)
        for words in _more(found[0]):
            if words not in said:
                lines += paragraph(words, style, first=" " * 10)
            if not words.startswith("Source:"):
                said.add(words)
    return lines


def _first_lines(found: Sequence[Finding], style: Style) -> list[str]:
    """What is wrong and where, after the mark of its level."""
    one = found[0]
    mark = "WAIVED" if one.waiver is not None else "DRAFT" if not one.decides else _MARKS[one.level]
    exact = (one.value, one.limit) if one.unit in {"m", "degC"} else ()
    text = style.shown.text(f"{told(found)} [{one.rule} {one.slug}]", exact)
    wrapped = paragraph(text, style, first=f"  {mark:<8}", rest=" " * 10)
    colour = _COLOURS[one.level] if one.decides else "plain"
    wrapped[0] = "  " + style.paint(f"{mark:<8}", colour) + wrapped[0][10:]
    return wrapped


def _more(finding: Finding) -> Iterator[str]:
    """What goes with a finding: who answers for it, its remedy, the caution at that, its source."""
    if finding.waiver is not None:
        yield f"{finding.waiver.by} answers for it: {finding.waiver.reason}"
    elif not finding.decides:
        yield f"Level {finding.level}; the rule is a draft and decides nothing yet."
    caution = rule(finding.rule).caution.value
    remedy = finding.remedy.removesuffix(caution).strip() if caution else finding.remedy
    if remedy:
        yield f"Remedy: {remedy}"
    if finding.remedy and caution:
        yield caution
    clause = finding.source.partition(",")[2].strip()
    yield f"Source: {source_words(finding.source)}" + (f"; {clause}" if clause else "")
