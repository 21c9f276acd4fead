"""What stands against a job, for a screen: causes, what follows from them, and what is to be found out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final

from groundstrap.checks import Finding, FindingOutcome, Level, Tree
from groundstrap.model import Circuit
from groundstrap.pack.texts.commandless import CLAIM_UNREAD, question_said
from groundstrap.pack.texts.phrases import Telling
from groundstrap.report.findings_text import consequences, grouped, more_words
from groundstrap.report.plan import Plan
from groundstrap.report.unknown_text import Question, questions
from groundstrap.screen.results import Against, Open
from groundstrap.words import words

__all__ = ["about", "against", "level_of", "open_questions"]

_MARKS = {Level.STOP: words("Stop"), Level.CAUTION: words("Caution"), Level.NOTE: words("Note")}
_OPEN = {Level.STOP: words("Could stop it"), Level.CAUTION: words("Caution"), Level.NOTE: words("Note")}


_SAID: Final[Mapping[str, str]] = {
    # The numbers of the rules stand beside it, where they can be followed.
    "{told} [{rule}]": words("{told}", told="{told}"),
    "{topics} of {places} [{rules}]": words("{topics} of {places}", topics="{topics}", places="{places}"),
    CLAIM_UNREAD: words(
        "{names}: nobody measured what is claimed. Amps, and the volts at its own leads while it runs, "
        "settle it; the load's own page says more.",
        names="{names}",
    ),
}
"""Texts of which a screen says something else."""


def against(telling: Telling, findings: Sequence[Finding]) -> tuple[Against, ...]:
    """Return the causes, worst first; the same words of several things are one."""
    return tuple(_cause(telling, several) for several in grouped(findings))


def _cause(telling: Telling, several: Sequence[Tree]) -> Against:
    root = several[0].root
    roots = [tree.root for tree in several]
    waived = root.waiver is not None
    every = [*roots, *(each for tree in several for each in tree.consequences)]
    return Against(
        level="waived" if waived else several[0].level.value,
        mark=words("Waived") if waived else _MARKS[several[0].level],
        rule=root.rule,
        slug=root.slug,
        text=telling.told(roots),
        circuits=_circuits(telling.plan, every),
        where=tuple(dict.fromkeys(each.where for each in roots)),
        follows=tuple(_follows(telling, several)),
        details=tuple(telling.text(text) for text in more_words(root)),
        count=len(several),
    )


def _follows(telling: Telling, several: Sequence[Tree]) -> Iterator[str]:
    for found in consequences(several):
        text = telling.told(found[:1])
        if len(found) > 1:
            text = words("{text} And {count} more like it.", text=text, count=len(found) - 1)
        yield words("{text} [{rule}]", text=text, rule=found[0].rule)


def open_questions(telling: Telling, findings: Iterable[Finding]) -> tuple[Open, ...]:
    """Return what is to be found out, worst first."""
    return tuple(_question(telling, each) for each in questions(findings))


def _question(telling: Telling, asked: Question) -> Open:
    found = (*asked.settled, *asked.helped)
    return Open(
        level=asked.level.value,
        mark=_OPEN[asked.level],
        text=question_said(telling, asked, _SAID),
        rules=tuple(dict.fromkeys(each.rule for each in found)),
        circuits=_circuits(telling.plan, found),
    )


def _circuits(plan: Plan, found: Iterable[Finding]) -> tuple[str, ...]:
    """Names of the circuits that findings are about, in the job's order."""
    every = tuple(found)
    circuits = plan.installation.circuits.values()
    return tuple(circuit.name for circuit in circuits if any(about(every, circuit)))


def about(findings: Iterable[Finding], circuit: Circuit) -> Iterator[Finding]:
    """Yield the findings that are about a circuit, a piece of it or a load at its end."""
    pieces: frozenset[str] | None = None
    for finding in findings:
        if finding.circuit is not None:
            if finding.circuit == circuit.name:
                yield finding
            continue
        if pieces is None:
            pieces = _pieces(circuit)
        if finding.where == circuit.name or finding.where in circuit.loads or finding.where in pieces:
            yield finding


def _pieces(circuit: Circuit) -> frozenset[str]:
    return frozenset((*(part.name for part in circuit.parts), *(wire.name for wire in circuit.wires)))


def level_of(plan: Plan, circuit: Circuit) -> str:
    """Return the worst that stands against one circuit: `stop`, `open`, `caution`, `note` or `clear`.

    `open` is what could stop it and is not decided.
    """
    found = list(about((each for each in plan.judgement.findings if each.waiver is None), circuit))
    failed = [each.level for each in found if each.outcome is FindingOutcome.FAIL]
    if Level.STOP in failed:
        return Level.STOP.value
    stops = (e for e in found if e.outcome is FindingOutcome.UNKNOWN and e.level is Level.STOP and e.decides)
    if next(stops, None) is not None:
        return "open"
    worst = max(failed, key=lambda level: level.weight, default=None)
    return "clear" if worst is None else worst.value
