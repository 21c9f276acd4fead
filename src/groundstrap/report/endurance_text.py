"""Days on the battery for a terminal: the answers at a glance, the course in letters, what it rests on."""

from __future__ import annotations

from groundstrap.checks import FindingOutcome
from groundstrap.endure.results import Endurance
from groundstrap.report.days_verdict import days_verdict
from groundstrap.report.endurance import EnduranceAnswer
from groundstrap.report.endurance_chart import chart_lines
from groundstrap.report.endurance_words import (
    answer_rows,
    brought_words,
    cautions,
    charge_words,
    cure_words,
    frame_words,
    in_vain_words,
    span_words,
)
from groundstrap.report.figures import number
from groundstrap.report.findings_text import finding_lines, summary
from groundstrap.report.layout import Style, heading, paragraph, table
from groundstrap.report.plan_text import assumption_lines, source_lines
from groundstrap.report.unknown_text import unknown_lines

__all__ = ["endurance_lines"]

_ASKED = 32
"""Columns of the questions."""
_MARKS = {"stop": "!", "caution": "!", "clear": " ", "note": " "}


def endurance_lines(answer: EnduranceAnswer, style: Style) -> list[str]:
    """Return the days line by line."""
    findings = answer.judgement.findings
    lines = [style.paint(line, "strong") for line in paragraph(answer.installation.title, style)]
    lines += paragraph(frame_words(answer, style.shown), style)
    lines += paragraph(f"{days_verdict(answer)}: {summary(findings)}.", style)
    lines += _answers(answer, style)
    lines += _cures(answer, style)
    lines += heading("THE COURSE", style)
    lines += [f"  {line}" for line in chart_lines(answer.run, style.width - 2)]
    lines += _spans(answer.run, style)
    lines += _energy(answer.run, style)
    lines += finding_lines([each for each in findings if each.outcome is FindingOutcome.FAIL], style)
    lines += unknown_lines(findings, style)
    lines += [""]
    for text in cautions(answer):
        lines += [style.paint(line, "caution") for line in paragraph(text, style, first="! ")]
    lines += assumption_lines(answer.assumptions, style)
    if answer.chances is not None:
        told = assumption_lines(answer.chances.ranges, style)
        lines += [
            *heading(f"RANGES of the {answer.chances.days} days, each drawn from all of them", style),
            *told[2:],
        ]
    lines += source_lines(answer.used_sources, style)
    run = answer.run
    foot = (
        f"Reckoned with {run.solves} solutions of the network in {run.steps} steps, {run.events} events "
        f"located. Fingerprint {answer.fingerprint}."
    )
    return [*lines, "", *paragraph(foot, style)]


def _answers(answer: EnduranceAnswer, style: Style) -> list[str]:
    lines = heading("AT A GLANCE", style)
    for row in answer_rows(answer, style.shown):
        first = f"{_MARKS[row.level]} {row.asked:<{_ASKED}}"
        # A question that is longer than its column, such as one with a load's name, stands on its own line.
        if len(row.asked) >= _ASKED:
            lines.append(first)
            first = " " * (_ASKED + 2)
        lines += paragraph(row.told, style, first=first, rest=" " * (_ASKED + 2))
    if answer.run.unknown:
        names = ", ".join(answer.run.unknown)
        lines += paragraph(f"Not reckoned with, for nobody knows what they take: {names}.", style, first="! ")
    return lines


def _cures(answer: EnduranceAnswer, style: Style) -> list[str]:
    cures, in_vain = answer.answers.cures, in_vain_words(answer)
    if not cures and not in_vain:
        return []
    lines = heading("WHAT CURES IT, each run again and judged by every rule with the change in it", style)
    for cure in cures:
        short = "" if cure.holds else " It is not enough alone."
        lines += paragraph(f"{cure_words(cure)}.{short}", style, first="  - ", rest="    ")
        for told in brought_words(cure):
            lines += paragraph(told, style, first="    ! ", rest="      ")
    for told in in_vain:
        lines += paragraph(f"{told}.", style, first="  ")
    return lines


def _spans(run: Endurance, style: Style) -> list[str]:
    """What each span of the last day took from each battery."""
    names = list(run.supplies)
    rows = [["span of the last day", *names]]
    for span in run.spans:
        if span.day == run.days:
            told = [f"{span.change_ah.get(name, 0.0):+.1f} Ah" for name in names]
            rows.append([span_words(span, style.shown), *told])
    right = frozenset(range(1, len(names) + 1))
    columns = table(rows, right=right, wrap=frozenset({0, *right}), most=style.width - 2)
    lows = [
        f"{name}: {charge_words(each.lowest_state_pct, 3)} at the lowest, "
        f"{charge_words(each.end_state_pct, 3)} at the end"
        for name, each in run.supplies.items()
    ]
    lines = ["", *(f"  {line}" for line in columns)]
    return lines + [line for text in lows for line in paragraph(text, style, first="  ")]


def _energy(run: Endurance, style: Style) -> list[str]:
    """Where the watt-hours came from and went."""
    energy = run.energy
    parts = (
        ("from", energy.given_wh),
        ("to", energy.taken_wh),
        ("stored", energy.stored_wh),
        ("lost", energy.lost_wh),
    )
    lines = heading("ENERGY over the whole time, in Wh", style)
    for label, values in parts:
        told = ", ".join(f"{name} {number(value)}" for name, value in values.items() if abs(value) >= 0.05)
        lines += paragraph(told or "nothing", style, first=f"  {label:<8}", rest=" " * 10)
    return lines
