"""Days on the battery for a screen: each question with its answer, the course, what cures what fails."""

from __future__ import annotations

from collections.abc import Callable

from groundstrap.endure.results import SpanRun
from groundstrap.pack.texts.phrases import Telling
from groundstrap.records import dataclass
from groundstrap.report.days_verdict import days_sign, days_verdict
from groundstrap.report.endurance import EnduranceAnswer
from groundstrap.report.endurance_picture import days_picture, days_words
from groundstrap.report.endurance_words import (
    AnswerRow,
    answer_rows,
    brought_words,
    cautions,
    cure_words,
    frame_words,
    in_vain_words,
    span_words,
)
from groundstrap.report.figures import Display, number
from groundstrap.report.findings_text import summary
from groundstrap.screen.against import against, open_questions
from groundstrap.screen.results import Against, Open
from groundstrap.words import joined, words

__all__ = ["CureRow", "DaysSheet", "SpanRow", "days_sheet"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CureRow:
    """One change that cures what fails, so that it can be written in."""

    text: str
    holds: bool
    brings: tuple[str, ...]
    """What stands against the job only with it, in sentences."""
    edits: tuple[tuple[tuple[str | int, ...], str], ...]
    """Path in the job and value, of each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpanRow:
    """What a span of the last day takes from each battery or brings it."""

    span: str
    changes: tuple[str, ...]
    change: str
    """The same in one line."""
    weakest: bool
    """Whether it is the one that takes most."""
    on_its_day: str
    """What it took on the day on which it took most, where that is another one; else empty."""
    using: tuple[str, ...]
    """Loads that really run in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DaysSheet:
    """Everything that a screen shows of a run of days."""

    frame: str
    verdict: str
    verdict_words: str
    summary: str
    rows: tuple[AnswerRow, ...]
    cures: tuple[CureRow, ...]
    in_vain: tuple[str, ...]
    """What was tried as well and cures nothing, and of what no answer was found."""
    picture: str
    phone_picture: str
    """The same as narrow as a phone."""
    picture_words: str
    batteries: tuple[str, ...]
    days: int
    spans: tuple[SpanRow, ...]
    against: tuple[Against, ...]
    open: tuple[Open, ...]
    cautions: tuple[str, ...]
    assumed: tuple[tuple[str, str, str], ...]
    """Where, what, why."""
    built_in_day: bool
    fails: bool
    """Whether there is anything to be cured."""


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
        verdict=days_sign(answer),
        verdict_words=days_verdict(answer),
        summary=summary(findings),
        rows=answer_rows(answer, shown),
        cures=tuple(
            CureRow(
                text=cure_words(each),
                holds=each.holds,
                brings=brought_words(each),
                edits=tuple((e.path, e.value) for e in each.edits),
            )
            for each in answer.answers.cures
        ),
        in_vain=in_vain_words(answer),
        picture=days_picture(run, shown, say),
        phone_picture=days_picture(run, shown, say, narrow=True),
        picture_words=days_words(run),
        batteries=tuple(run.supplies),
        days=run.days,
        spans=_spans(answer, shown),
        against=against(telling, findings),
        open=open_questions(telling, findings),
        cautions=cautions(answer),
        assumed=tuple(
            (telling.text(a.where), telling.text(a.value), telling.text(a.why)) for a in run.assumptions
        ),
        built_in_day=run.built_in_day,
        fails=bool(run.cut_offs) or not run.starts_all,
    )


def _spans(answer: EnduranceAnswer, shown: Display) -> tuple[SpanRow, ...]:
    """Each span of the last day."""
    run, weakest = answer.run, answer.answers.weakest
    return tuple(
        _span(span, tuple(run.supplies), span_words(span, shown), weakest)
        for span in run.spans
        if span.day == run.days
    )


def _span(span: SpanRun, batteries: tuple[str, ...], told: str, weakest: SpanRun | None) -> SpanRow:
    changes = tuple(_change(span.change_ah.get(name, 0.0)) for name in batteries)
    alone = len(batteries) == 1
    each = [
        change if alone else words("{battery} {amount}", battery=name, amount=change)
        for name, change in zip(batteries, changes, strict=True)
    ]
    most = weakest is not None and weakest.number == span.number and len(changes) > 0
    return SpanRow(
        span=told,
        changes=changes,
        change=joined(", ", each),
        weakest=most,
        on_its_day=_on_its_day(weakest) if most and weakest is not None and weakest.day != span.day else "",
        using=span.using,
    )


def _on_its_day(span: SpanRun) -> str:
    """What a span took from the battery that it took most of, and on which day."""
    if not span.change_ah:
        return ""
    change = _change(min(span.change_ah.values()))
    return words("{amount} on day {day}", amount=change, day=span.day)


def _change(change_ah: float) -> str:
    """What a battery gains, or loses with a minus."""
    return words("{amount} Ah", amount=f"{'+' if change_ah > 0 else ''}{number(change_ah, 2)}")
