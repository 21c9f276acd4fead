"""What stands against the job and what is not known: each with what mends or settles it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from groundstrap.checks import Finding, Level, Tree
from groundstrap.pack.content import Block, Paragraph, Section, Step, Steps
from groundstrap.pack.texts.commandless import question_said
from groundstrap.pack.texts.phrases import Telling
from groundstrap.report.figures import Display
from groundstrap.report.findings_text import consequences, grouped, more_words
from groundstrap.report.plan import Plan
from groundstrap.report.unknown_text import questions
from groundstrap.words import words

__all__ = ["finding_texts", "standing_section"]

_MARKS = {Level.STOP: words("STOP"), Level.CAUTION: words("Caution"), Level.NOTE: words("Note")}

_OPEN = {Level.STOP: words("Could stop it"), Level.CAUTION: words("Caution"), Level.NOTE: words("Note")}


def standing_section(plan: Plan, shown: Display, telling: Telling | None = None) -> Section:
    """Return the findings, worst first, and the questions that are open; a box for each that is settled."""
    telling = telling or Telling(plan, shown)
    findings = plan.judgement.findings
    failed = tuple(_steps(telling, findings))
    blocks: list[Block] = [Steps(failed)] if failed else [Paragraph(words("Nothing stands against it."))]
    parts = []
    asked = questions(findings)
    if asked:
        steps = tuple(
            Step(
                text=words(
                    "{mark}: {question}", mark=_OPEN[each.level], question=question_said(telling, each)
                )
            )
            for each in asked
        )
        parts.append(
            Section(
                key="unknown",
                title=words("What is not known"),
                blocks=(
                    Paragraph(words("Each reading or look settles what stands with it; worst first.")),
                    Steps(steps, len(failed) + 1),
                ),
                new_page=False,
            )
        )
    return Section(
        key="findings", title=words("What stands against it"), blocks=tuple(blocks), parts=tuple(parts)
    )


def _steps(telling: Telling, findings: Sequence[Finding]) -> Iterator[Step]:
    """Yield one step for each cause: what is wrong, what follows from it, its remedy and its source."""
    said: set[str] = set()
    for several in grouped(findings):
        details = [text for text in _details(telling, several) if text not in said]
        # The caution at a remedy is said once; a source belongs to each.
        said.update(text for text in details if not text.startswith("Source:"))
        yield Step(text=_text(telling, several), details=tuple(details))


def finding_texts(telling: Telling, findings: Sequence[Finding]) -> Iterator[str]:
    """Yield what is wrong, one line for each cause, where remedies and sources stand elsewhere."""
    for several in grouped(findings):
        yield _text(telling, several)


def _text(telling: Telling, several: Sequence[Tree]) -> str:
    root = several[0].root
    mark = words("Waived") if root.waiver is not None else _MARKS[several[0].level]
    text = telling.told([tree.root for tree in several])
    return words("{mark}: {text} [{rule}]", mark=mark, text=text, rule=root.rule)


def _details(telling: Telling, several: Sequence[Tree]) -> Iterator[str]:
    for found in consequences(several):
        text = telling.told(found[:1])
        if len(found) > 1:
            text = words("{text} And {count} more like it.", text=text, count=len(found) - 1)
        yield words("From this follows: {text} [{rule}]", text=text, rule=found[0].rule)
    for text in more_words(several[0].root):
        yield telling.text(text)
