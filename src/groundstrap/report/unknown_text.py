"""What stays undecided, for a terminal: by the reading or look that settles it, worst first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from groundstrap.checks import About, Ask, Finding, FindingOutcome, Level, rule
from groundstrap.checks.readings import TO_CHOOSE
from groundstrap.records import dataclass, replace
from groundstrap.report.layout import Style, heading, paragraph
from groundstrap.words import Words, joined, listed, sentence, term, words

__all__ = ["Question", "answers", "question_words", "questions", "told", "unknown_lines"]

_CLAIM = "claim-not-met"
_UNPROVEN = "{claim} is unproven: {why}"
"""What the rule says of a claim that no reading stands beside."""


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to find out, with the findings that it settles and those that wait for more beside it."""

    asks: tuple[Ask, ...]
    """Several only where they are got alike and settle the same; none where the findings ask themselves."""
    settled: tuple[Finding, ...]
    helped: tuple[Finding, ...] = ()

    @property
    def level(self) -> Level:
        """Level of the worst finding that waits for it."""
        return max((f.level for f in (*self.settled, *self.helped)), key=lambda level: level.weight)


def questions(findings: Iterable[Finding]) -> tuple[Question, ...]:
    """Return what is to be found out, worst first and then by how much hangs on it."""
    open_ones = [f for f in findings if f.outcome is FindingOutcome.UNKNOWN and f.waiver is None]
    alone: dict[Ask, list[Finding]] = {}
    among: dict[Ask, list[Finding]] = {}
    own: dict[tuple[Level, str, str], list[Finding]] = {}
    for finding in open_ones:
        for ask in finding.asks:
            alone.setdefault(ask, [])
            (alone if len(finding.asks) == 1 else among).setdefault(ask, []).append(finding)
        if not finding.asks:
            claim = _unread(finding)
            own.setdefault((finding.level, finding.rule, "" if claim else finding.text), []).append(finding)
    found = [Question((ask,), tuple(alone[ask]), tuple(among.get(ask, ()))) for ask in alone]
    found = _alike(found) + [Question((), tuple(group)) for group in own.values()]
    return tuple(sorted(found, key=lambda q: (-q.level.weight, -len(q.settled), -len(q.helped))))


def _alike(found: Iterable[Question]) -> list[Question]:
    """Put those in one that are got alike and settle the same rules of other things."""
    groups: dict[object, list[Question]] = {}
    for question in found:
        rules = frozenset((f.rule, f.level) for f in question.settled)
        alone = (
            (_kind(question.asks[0].what), question.asks[0].how, rules) if not question.helped else question
        )
        groups.setdefault(alone, []).append(question)
    return [
        Question(
            tuple(ask for q in group for ask in q.asks),
            tuple(f for q in group for f in q.settled),
            group[0].helped,
        )
        for group in groups.values()
    ]


def answers(findings: Iterable[Finding]) -> int:
    """Return how many readings or looks would settle all that is undecided."""
    return sum(len(q.asks) or len({f.where for f in q.settled}) for q in questions(findings))


def unknown_lines(findings: Iterable[Finding], style: Style, *, unfit: Sequence[str] = ()) -> list[str]:
    """Return what could not be decided, each reading or look that settles something told once.

    `unfit` are the circuits that a plan tried to choose for, and for which nothing fits.
    """
    asked = questions(findings)
    if not asked:
        return []
    lines = heading("WHAT STAYS UNKNOWN, by what settles it, worst first", style)
    for question in asked:
        told_of = _tried(question, unfit) if unfit else question
        mark, text = f"({question.level})", style.shown.text(question_words(told_of))
        lines += paragraph(text, style, first=f"  {mark:<10}", rest=" " * 12)
    return lines


def _tried(question: Question, unfit: Sequence[str]) -> Question:
    """The same where `plan` has tried already: it names what is left, and no command that was just run."""
    if TO_CHOOSE not in question.asks:
        return question
    how = words(
        "nothing that is made fits as it is, and the table of circuits says what would do; or write what "
        "will be fitted"
    )
    return replace(question, asks=(Ask(what=words("sizes and ratings of {of}", of=listed(unfit)), how=how),))


def question_words(question: Question) -> str:
    """Return what is to be found out, how, and what it settles."""
    if not question.asks:
        return _own_words(question.settled)
    what, how = _together([ask.what for ask in question.asks]), question.asks[0].how
    text: Words = sentence(words("{what}: {how}", what=what, how=how))
    if question.settled:
        text = words("{before} Settles {topics}.", before=text, topics=_what_of(question.settled))
    if question.helped:
        topics = _what_of(question.helped)
        text = words("{before} With others on this list it settles {topics}.", before=text, topics=topics)
    return text


def _kind(what: str) -> str:
    """What is asked for, whatever thing it is asked of: `current of {of}`."""
    return what.template if isinstance(what, Words) and "of" in what.fields else what


def _together(asked: Sequence[str]) -> str:
    """One that is asked of several things; several differ in nothing else."""
    if len(asked) == 1:
        return asked[0]
    alike = [what for what in asked if isinstance(what, Words)]
    named = [name for what in alike if isinstance(name := what.fields["of"], str)]
    return Words(alike[0].template, {"of": listed(named)})


def _unread(finding: Finding) -> bool:
    """Whether it is a claim of which nobody took a reading: one that was read says itself what is left."""
    return finding.slug == _CLAIM and isinstance(finding.text, Words) and finding.text.template == _UNPROVEN


def _own_words(found: Sequence[Finding]) -> str:
    one = found[0]
    if not _unread(one):
        return words("{told} [{rule}]", told=told(found), rule=one.rule)
    return words(
        "{names}: nobody measured what is claimed. Amps, and the volts at its own leads while it runs, "
        "settle it; `groundstrap vet` says more.",
        names=", ".join(dict.fromkeys(f.where for f in found)),
    )


def _what_of(found: Sequence[Finding]) -> str:
    """Topics, worst first, the circuits or things that they are about, the rules in brackets."""
    topics = listed(dict.fromkeys(term(rule(f.rule).topic or f.slug.replace("-", " ")) for f in found))
    places = listed(dict.fromkeys(f.circuit or f.where for f in found))
    rules = ", ".join(dict.fromkeys(f.rule for f in found))
    return words("{topics} of {places} [{rules}]", topics=topics, places=places, rules=rules)


def told(found: Sequence[Finding]) -> str:
    """Return where and what, as one sentence; the place is not said twice."""
    situation = rule(found[0].rule).about is About.SITUATION
    places = joined(", ", (term(f.where) if situation else f.where for f in found))
    text = found[0].text
    if not text.startswith(places):
        text = words("{places}: {text}", places=places, text=text)
    return text if text.endswith(".") else words("{sentence}.", sentence=text)
