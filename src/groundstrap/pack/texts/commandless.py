"""What is to be found out, where nobody can type a command: on paper and on a screen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from groundstrap.pack.texts.phrases import Telling
from groundstrap.report.choice_words import unsolved_words
from groundstrap.report.unknown_text import Question, question_words
from groundstrap.words import Words, words

__all__ = ["CLAIM_UNREAD", "question_said"]

_TO_CHOOSE: Final = "`groundstrap plan` chooses them where something fits; or write what will be fitted"

CLAIM_UNREAD: Final = (
    "{names}: nobody measured what is claimed. Amps, and the volts at its own leads while it runs, "
    "settle it; `groundstrap vet` says more."
)
"""What is said of a claim that no reading stands beside, with the command that says more."""

_SAID: Final[Mapping[str, str]] = {
    _TO_CHOOSE: words("nothing that is made fits as it is; or write what will be fitted"),
    CLAIM_UNREAD: words(
        "{names}: nobody measured what is claimed. Amps, and the volts at its own leads while it runs, "
        "settle it.",
        names="{names}",
    ),
}


def question_said(telling: Telling, asked: Question, said: Mapping[str, str] | None = None) -> str:
    """Return what is to be found out without naming a command; of sizes that nothing fits with the reason.

    `said` holds what else is said otherwise, by the template that it stands for.
    """
    question = question_words(asked)
    text: str = _without(telling.text(question), {**_SAID, **(said or {})})
    if not any(str(ask.how) == _TO_CHOOSE for ask in asked.asks):
        return text
    for name, why in _nothing_fits(telling):
        text = words("{text} {circuit}: nothing fits: {why}.", text=text, circuit=name, why=why)
    return text


def _nothing_fits(telling: Telling) -> Iterator[tuple[str, str]]:
    """Circuits for which nothing fits, each with what stands in the way and what would do."""
    design = telling.plan.design
    for lost in design.unsolved if design is not None else ():
        yield lost.circuit, telling.text(unsolved_words(lost, telling.shown))


def _without(text: str, said: Mapping[str, str]) -> str:
    """A text, and the texts in it, with what is said otherwise put in its place."""
    if not isinstance(text, Words):
        return text
    fields = {
        name: _without(each, said) if isinstance(each, str) else each for name, each in text.fields.items()
    }
    found = said.get(text.template)
    template = found.template if isinstance(found, Words) else text.template
    return type(text)(template, fields, text.many)
