"""Findings for a terminal: worst first, each with its remedy and its source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from groundstrap.checks import Finding, FindingOutcome, Level, Tree, rule, trees
from groundstrap.model import Waiver
from groundstrap.report.layout import Style, heading, paragraph
from groundstrap.report.reasons import source_words
from groundstrap.report.unknown_text import answers, told
from groundstrap.words import Words, plural, term, words

__all__ = ["consequences", "finding_lines", "grouped", "more_words", "summary", "waiver_lines"]

_MARKS = {Level.STOP: "STOP", Level.CAUTION: "CAUTION", Level.NOTE: "NOTE"}
_COLOURS = {Level.STOP: "stop", Level.CAUTION: "caution", Level.NOTE: "plain"}


def summary(findings: Sequence[Finding]) -> str:
    """Return how many causes there are of each level, in one clause; consequences are not counted."""
    roots = [tree for tree in trees(findings) if tree.root.decides]
    unknown = [f for f in findings if f.outcome is FindingOutcome.UNKNOWN and f.decides]
    levels = (Level.STOP, Level.CAUTION, Level.NOTE)
    counts = [(sum(tree.level is level for tree in roots), level) for level in levels]
    told_so = [_counted(count, level) for count, level in counts if count]
    if unknown:
        wanted = answers(unknown)
        undecided = words("{count} undecided", count=len(unknown))
        if wanted < len(unknown):
            undecided = words(
                "{undecided} for want of {answers}",
                undecided=undecided,
                answers=plural("{count} answer", "{count} answers", wanted),
            )
        told_so.append(undecided)
    if not told_so:
        return words("nothing stands against it")
    text = told_so[0]
    for more in told_so[1:]:
        text = words("{before}, {more}", before=text, more=more)
    return text


def _counted(count: int, level: Level) -> Words:
    """How many of a level."""
    if level is Level.STOP:
        return plural("{count} stop", "{count} stops", count)
    if level is Level.CAUTION:
        return plural("{count} caution", "{count} cautions", count)
    return plural("{count} note", "{count} notes", count)


def grouped(findings: Iterable[Finding]) -> tuple[tuple[Tree, ...], ...]:
    """Return the failures, worst first, those of one rule that say the same words together."""
    groups: dict[tuple[str, Level, str, Waiver | None], list[Tree]] = {}
    for tree in trees(findings):
        root = tree.root
        groups.setdefault((root.rule, tree.level, root.text, root.waiver), []).append(tree)
    return tuple(tuple(several) for several in groups.values())


def consequences(several: Iterable[Tree]) -> tuple[tuple[Finding, ...], ...]:
    """Return what follows from failures, the findings of one rule together."""
    by_rule: dict[str, list[Finding]] = {}
    for each in (found for tree in several for found in tree.consequences):
        by_rule.setdefault(each.rule, []).append(each)
    return tuple(tuple(found) for found in by_rule.values())


def finding_lines(findings: Iterable[Finding], style: Style) -> list[str]:
    """Return the failures, worst first, what follows from each beneath it; the same words are told once."""
    groups = grouped(findings)
    if not groups:
        return []
    lines = heading("WHAT STANDS AGAINST IT, worst first", style)
    said: set[str] = set()
    for several in groups:
        lines += _first_lines(several, style)
        lines += _consequence_lines(consequences(several), style)
        for text in more_words(several[0].root):
            if text not in said:
                lines += paragraph(text, style, first=" " * 10)
            if not text.startswith("Source:"):
                said.add(text)
    return lines


def waiver_lines(unused: Iterable[Waiver], style: Style) -> list[str]:
    """Return a line for each waiver that meets no finding: it is out of date, or names another place."""
    lines: list[str] = []
    for waiver in unused:
        text = words(
            "The waiver of {rule} for {where} meets no finding: look at its rule and place, or take it out.",
            rule=waiver.rule,
            where=waiver.where,
        )
        lines += paragraph(text, style, first="  ")
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


def _consequence_lines(follows: Sequence[Sequence[Finding]], style: Style) -> list[str]:
    """One line for each rule: its level, and what follows where it is worst; the others are counted."""
    lines = [f"{' ' * 10}From this follow:"] if follows else []
    for found in follows:
        more = f" (and {len(found) - 1} more like it)" if len(found) > 1 else ""
        text = f"{found[0].level}: {_told(found[:1], style)}{more}"
        lines += paragraph(text, style, first=f"{' ' * 10}- ", rest=" " * 12)
    return lines


def _told(found: Sequence[Finding], style: Style) -> str:
    """Where and what, with the rule in brackets."""
    one = found[0]
    exact = (one.value, one.limit) if one.unit in {"m", "degC"} else ()
    return style.shown.text(f"{told(found)} [{one.rule} {one.slug}]", exact)


def more_words(finding: Finding) -> Iterator[str]:
    """Yield what goes with a finding: who answers for it, its remedy, the caution at that, its source."""
    waiver = finding.waiver
    if waiver is not None:
        yield words("{by} answers for it: {reason}", by=waiver.by, reason=waiver.reason)
    elif not finding.decides:
        level = term(finding.level.value)
        yield words("Level {level}; the rule is a draft and decides nothing yet.", level=level)
    caution = rule(finding.rule).caution.value
    if finding.advice:
        yield words("Remedy: {remedy}", remedy=finding.advice)
    if finding.remedy and caution:
        yield term(caution)
    clause = finding.source.partition(",")[2].strip()
    source = source_words(finding.source)
    if clause:
        yield words("Source: {source}; {clause}", source=source, clause=term(clause))
    else:
        yield words("Source: {source}", source=source)
