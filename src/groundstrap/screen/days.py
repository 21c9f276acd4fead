"""Days on the battery for a screen: each question with its answer, the course, what cures what fails."""

from __future__ import annotations

from collections.abc import Callable

from groundstrap.checks import Worst
from groundstrap.pack.texts.phrases import Telling
from groundstrap.records import dataclass
from groundstrap.report.endurance import EnduranceAnswer
from groundstrap.report.endurance_picture import days_picture, days_words
from groundstrap.report.endurance_words import (
    AnswerRow,
    answer_rows,
    cautions,
    cure_words,
    frame_words,
    span_words,
)
from groundstrap.report.figures import Display, number
from groundstrap.report.findings_text import summary
from groundstrap.report.verdict import days_verdict
from groundstrap.screen.against import against, open_questions
from groundstrap.screen.results import Against, Open
from groundstrap.words import words

__all__ = ["CureRow", "DaysSheet", "SpanRow", "days_sheet"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CureRow:
    """One change that cures what fails, so that it can be written in."""

    text: str
    holds: bool
    edits: tuple[tuple[tuple[str | int, ...], str], ...]
    """Path in the job and value, of each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpanRow:
    """What a span of the last day takes from each battery or brings it."""

    span: str
    changes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DaysSheet:
    """Everything that a screen shows of a run of days."""

    frame: str
    verdict: str
    verdict_words: str
    summary: str
    rows: tuple[AnswerRow, ...]
    cures: tuple[CureRow, ...]
    picture: str
    phone_picture: str
    """The same as narrow as a phone."""
    picture_words: str
    batteries: tuple[str, ...]
    spans: tuple[SpanRow, ...]
    against: tuple[Against, ...]
    open: tuple[Open, ...]
    cautions: tuple[str, ...]
    assumed: tuple[tuple[str, str, str], ...]
    """Where, what, why."""
    built_in_day: bool


def days_sheet(answer: EnduranceAnswer, shown: Display, say: Callable[[str], str]) -> DaysSheet:
    """Return everything that a screen shows of a run.

    Parameters
    ----------
    answer : EnduranceAnswer
        What `endure` said.
    shown : Display
        Units.
    say : callable
        Puts the texts of the drawings in the language that is wanted.
    """
    telling = Telling(answer.plan, shown)
    findings, run = answer.judgement.findings, answer.run
    return DaysSheet(
        frame=frame_words(answer, shown),
        verdict=(Worst.STOP if answer.plan.worst is Worst.STOP else answer.worst).value,
        verdict_words=days_verdict(answer),
        summary=summary(findings),
        rows=answer_rows(answer, shown),
        cures=tuple(
            CureRow(
                text=cure_words(each), holds=each.holds, edits=tuple((e.path, e.value) for e in each.edits)
            )
            for each in answer.answers.cures
        ),
        picture=days_picture(run, shown, say),
        phone_picture=days_picture(run, shown, say, narrow=True),
        picture_words=days_words(run),
        batteries=tuple(run.supplies),
        spans=_spans(answer, shown),
        against=against(telling, findings),
        open=open_questions(telling, findings),
        cautions=cautions(answer),
        assumed=tuple(
            (telling.text(a.where), telling.text(a.value), telling.text(a.why)) for a in run.assumptions
        ),
        built_in_day=run.built_in_day,
    )


def _spans(answer: EnduranceAnswer, shown: Display) -> tuple[SpanRow, ...]:
    """Each span of the last day."""
    run = answer.run
    return tuple(
        SpanRow(
            span=span_words(span, shown),
            changes=tuple(
                words("{amount} Ah", amount=f"{'+' if ah > 0 else ''}{number(ah, 2)}")
                for ah in (span.change_ah.get(name, 0.0) for name in run.supplies)
            ),
        )
        for span in run.spans
        if span.day == run.days
    )
