"""Days on the battery: what people ask of them, the course as a drawing, what would cure what fails."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from groundstrap.pack.content import (
    Align,
    Block,
    Caution,
    Column,
    Facts,
    Items,
    Paragraph,
    Picture,
    Section,
    Table,
)
from groundstrap.pack.texts.phrases import Telling
from groundstrap.pack.texts.records import assumed_rows
from groundstrap.pack.texts.standing import finding_texts
from groundstrap.report.days_verdict import days_verdict
from groundstrap.report.endurance import DaysNotRun, EnduranceAnswer
from groundstrap.report.endurance_picture import days_picture, days_words
from groundstrap.report.endurance_words import (
    answer_rows,
    brought_words,
    cautions,
    cure_words,
    frame_words,
    in_vain_words,
    span_words,
)
from groundstrap.report.figures import number
from groundstrap.report.findings_text import summary
from groundstrap.words import joined, words

__all__ = ["days_not_run", "days_section"]

_TITLE: Final = words("Days on the battery")


def days_section(answer: EnduranceAnswer, telling: Telling, say: Callable[[str], str]) -> Section:
    """Return what batteries and charging do over the days, on one page.

    Parameters
    ----------
    answer : EnduranceAnswer
        The run.
    telling : Telling
        How things are called.
    say : callable
        Puts a text of the drawing in the language that is wanted.
    """
    shown = telling.shown
    rows = tuple((each.asked, each.told) for each in answer_rows(answer, shown))
    verdict = words(
        "{verdict}: {summary}.", verdict=days_verdict(answer), summary=summary(answer.judgement.findings)
    )
    blocks: list[Block] = [
        Paragraph(verdict, strong=True),
        Paragraph(frame_words(answer, shown)),
        Facts(rows),
        Picture(svg=days_picture(answer.run, shown, say), words=days_words(answer.run)),
        _spans(answer, telling),
    ]
    blocks += _cures(answer)
    findings = tuple(finding_texts(telling, answer.judgement.findings))
    if findings:
        told = words("Against these days; remedies and sources stand under 'What stands against it':")
        blocks += [Paragraph(told), Items(findings)]
    blocks += [Caution(text) for text in cautions(answer)]
    blocks += _assumed(answer, telling)
    return Section(key="days", title=_TITLE, blocks=tuple(blocks), one_page=True)


def _cures(answer: EnduranceAnswer) -> Iterator[Block]:
    """What cures what fails, and what does so but brings a stop; and what was tried in vain."""
    for holds, said in (
        (True, words("Each of these alone cures it; run again and judged by every rule with it:")),
        (False, words("Each of these cures the days as well, but the job is stopped then:")),
    ):
        cures = tuple(
            joined(" ", (words("{cure}.", cure=cure_words(each)), *brought_words(each)))
            for each in answer.answers.cures
            if each.holds is holds
        )
        if cures:
            yield Paragraph(said)
            yield Items(cures)
    for told in in_vain_words(answer):
        yield Paragraph(words("{told}.", told=told))


def days_not_run(found: DaysNotRun) -> Section:
    """Return the section of a job whose day can't be run: that nothing is said of it, and why."""
    told = words(
        "The day of this job was not run: how long its batteries last and whether an engine starts is not "
        "said here. {why}.",
        why=found.why,
    )
    return Section(key="days", title=_TITLE, blocks=(Paragraph(told, strong=True),), new_page=False)


def _spans(answer: EnduranceAnswer, telling: Telling) -> Table:
    """What each span of the last day takes from each battery or brings it."""
    names = tuple(answer.run.supplies)
    columns = (
        Column(words("span of the last day"), share=2.0),
        *(Column(words("{battery}, Ah", battery=name), Align.RIGHT) for name in names),
    )
    rows = tuple(
        (
            span_words(span, telling.shown),
            *(f"{'+' if (ah := span.change_ah.get(name, 0.0)) > 0 else ''}{number(ah, 2)}" for name in names),
        )
        for span in answer.run.spans
        if span.day == answer.run.days
    )
    return Table(columns, rows, small=True)


def _assumed(answer: EnduranceAnswer, telling: Telling) -> Iterator[Block]:
    """What the run rests on that nobody wrote, the same reason told once."""
    told = [
        words("{where}: {value} ({why})", where=row.where, value=row.value, why=row.why)
        for row in assumed_rows(telling, answer.run.assumptions)
    ]
    if told:
        yield Paragraph(
            words("Nobody wrote these, and the run rests on them: {assumed}.", assumed=joined("; ", told))
        )
