"""Findings for a terminal: worst first, each with its remedy and its source; the undecided ones together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from groundstrap.checks import Finding, FindingOutcome, Level, rule
from groundstrap.model import Waiver
from groundstrap.report.layout import Style, heading, paragraph
from groundstrap.report.reasons import source_words

__all__ = ["finding_lines", "summary", "unknown_lines"]

_CLAIM = "claim-not-met"
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
        words.append(f"{len(unknown)} undecided")
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
    told: set[str] = set()
    for found in groups.values():
        lines += _first_lines(found, style)
        for words in _more(found[0]):
            if words not in told:
                lines += paragraph(words, style, first=" " * 10)
            if not words.startswith("Source:"):
                told.add(words)
    return lines


def _first_lines(found: Sequence[Finding], style: Style) -> list[str]:
    """What is wrong and where, after the mark of its level."""
    one = found[0]
    mark = "WAIVED" if one.waiver is not None else "DRAFT" if not one.decides else _MARKS[one.level]
    exact = (one.value, one.limit) if one.unit in {"m", "degC"} else ()
    text = style.shown.text(f"{_told(found)} [{one.rule} {one.slug}]", exact)
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


def unknown_lines(findings: Iterable[Finding], style: Style) -> list[str]:
    """Return what could not be decided and what would settle it, the same question asked once."""
    groups: dict[tuple[Level, str, str], list[Finding]] = {}
    unproven = []
    for finding in findings:
        if finding.outcome is not FindingOutcome.UNKNOWN or finding.waiver is not None:
            continue
        if finding.slug == _CLAIM:
            unproven.append(finding.where)
        else:
            groups.setdefault((finding.level, finding.rule, finding.text), []).append(finding)
    if not groups and not unproven:
        return []
    lines = heading("WHAT STAYS UNKNOWN, and what settles it", style)
    for (level, name, _), found in groups.items():
        mark = f"({level})"
        lines += paragraph(f"{_told(found)} [{name}]", style, first=f"  {mark:<10}", rest=" " * 12)
    if unproven:
        words = (
            f"{', '.join(dict.fromkeys(unproven))}: nobody measured what is claimed. Amps, and the volts at "
            "its own leads while it runs, settle it; `groundstrap vet` says more."
        )
        lines += paragraph(words, style, first=f"  {'(note)':<10}", rest=" " * 12)
    return lines


def _told(found: Sequence[Finding]) -> str:
    """Where and what, as one sentence; the place is not said twice."""
    places, text = ", ".join(f.where for f in found), found[0].text
    return _sentence(text if text.startswith(places) else f"{places}: {text}")


def _sentence(text: str) -> str:
    return f"{text.rstrip('.')}."
