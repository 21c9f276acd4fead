"""Findings for a terminal: worst first, each with its remedy and its source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from groundstrap.checks import Finding, FindingOutcome, Level, Tree, rule, trees
from groundstrap.model import Waiver
from groundstrap.report.layout import Style, heading, paragraph
from groundstrap.report.reasons import source_words
from groundstrap.report.unknown_text import answers, told

__all__ = ["finding_lines", "summary"]

_MARKS = {Level.STOP: "STOP", Level.CAUTION: "CAUTION", Level.NOTE: "NOTE"}
_COLOURS = {Level.STOP: "stop", Level.CAUTION: "caution", Level.NOTE: "plain"}


def summary(findings: Sequence[Finding]) -> str:
    """Return how many causes there are of each level, in one clause; consequences are not counted."""
    roots = [tree for tree in trees(findings) if tree.root.decides]
    unknown = [f for f in findings if f.outcome is FindingOutcome.UNKNOWN and f.decides]
    levels = (Level.STOP, Level.CAUTION, Level.NOTE)
    counts = [(sum(tree.level is level for tree in roots), level.value) for level in levels]
    words = [f"{n} {name}{'s' if n != 1 else ''}" for n, name in counts if n]
    if unknown:
        wanted = answers(unknown)
        what = f" for want of {wanted} answer{'s' if wanted != 1 else ''}" if wanted < len(unknown) else ""
        words.append(f"{len(unknown)} undecided{what}")
    return ", ".join(words) if words else "nothing stands against it"


def finding_lines(findings: Iterable[Finding], style: Style) -> list[str]:
    """Return the failures, worst first, what follows from each beneath it; the same words are told once."""
    groups: dict[tuple[str, Level, str, Waiver | None], list[Tree]] = {}
    for tree in trees(findings):
        root = tree.root
        groups.setdefault((root.rule, tree.level, root.text, root.waiver), []).append(tree)
    if not groups:
        return []
    lines = heading("WHAT STANDS AGAINST IT, worst first", style)
    said: set[str] = set()
    for several in groups.values():
        lines += _first_lines(several, style)
        lines += _consequence_lines([each for tree in several for each in tree.consequences], style)
        for words in _more(several[0].root):
            if words not in said:
                lines += paragraph(words, style, first=" " * 10)
            if not words.startswith("Source:"):
                said.add(words)
    return lines


def _first_lines(several: Sequence[Tree], style: Style) -> list[str]:
    """What is wrong and where, after the mark of the worst level in it."""
    one = several[0].root
    level = several[0].level
    mark = "WAIVED" if one.waiver is not None else "DRAFT" if not one.decides else _MARKS[level]
    told_so = _told([tree.root for tree in several], style)
    wrapped = paragraph(told_so, style, first=f"  {mark:<8}", rest=" " * 10)
    colour = _COLOURS[level] if one.decides else "plain"
    wrapped[0] = "  " + style.paint(f"{mark:<8}", colour) + wrapped[0][10:]
    return wrapped


def _consequence_lines(consequences: Iterable[Finding], style: Style) -> list[str]:
    """One line for each rule: its level, and what follows where it is worst; the others are counted."""
    by_rule: dict[str, list[Finding]] = {}
    for each in consequences:
        by_rule.setdefault(each.rule, []).append(each)
    lines = [f"{' ' * 10}From this follow:"] if by_rule else []
    for found in by_rule.values():
        more = f" (and {len(found) - 1} more like it)" if len(found) > 1 else ""
        words = f"{found[0].level}: {_told(found[:1], style)}{more}"
        lines += paragraph(words, style, first=f"{' ' * 10}- ", rest=" " * 12)
    return lines


def _told(found: Sequence[Finding], style: Style) -> str:
    """Where and what, with the rule in brackets."""
    one = found[0]
    exact = (one.value, one.limit) if one.unit in {"m", "degC"} else ()
    return style.shown.text(f"{told(found)} [{one.rule} {one.slug}]", exact)


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
