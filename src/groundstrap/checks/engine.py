"""The engine: asks every rule about everything that it judges, applies waivers, and sorts what stands."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from enum import Enum
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from groundstrap.assess.results import Assessment
from groundstrap.checks.asks import asks_of
from groundstrap.checks.catalogue import Entry, entries, rule
from groundstrap.checks.causes import Raised, with_causes
from groundstrap.checks.facts import Facts, Subject
from groundstrap.checks.findings import Counts, Finding, FindingOutcome, Judgement
from groundstrap.checks.needs import NEEDS, Value
from groundstrap.checks.rule import About, Outcome, Rule, Status, Verdict
from groundstrap.model import Basis, Installation, Waiver
from groundstrap.records import replace
from groundstrap.sources import weightiest
from groundstrap.vet.results import Vetting
from groundstrap.words import Words, joined, term

if TYPE_CHECKING:
    from groundstrap.endure.results import Endurance
    from groundstrap.locate.judged import Judged

__all__ = ["run", "run_days"]

_FOR_BOATS = ("cfr-33-", "abyc-", "iso-10133", "iso-13297")
"""How the ids of sources begin that bind boats: elsewhere they have no authority."""


class _NotAsked(Enum):
    """Stands in a column where nobody asked yet."""

    NOT_ASKED = "not asked"


_NOT_ASKED = _NotAsked.NOT_ASKED


def run(installation: Installation, vetting: Vetting, assessment: Assessment) -> Judgement:
    """Judge an installation by every rule but those on days and on readings; findings come worst first."""
    return _judged(Facts(installation, vetting, assessment), _is_of_wiring)


def run_days(
    installation: Installation,
    vetting: Vetting,
    assessment: Assessment,
    endurance: Endurance,
    cure: str,
) -> Judgement:
    """Judge a run of days by the rules on such runs.

    Parameters
    ----------
    installation, vetting, assessment
        What was run.
    endurance : Endurance
        The run.
    cure : str
        What cures what fails in it, in words; empty where no change was found.
    """
    facts = Facts(installation, vetting, assessment, endurance, cure)
    return _judged(facts, _is_of_days)


def run_readings(
    installation: Installation, vetting: Vetting, assessment: Assessment, judged: Judged
) -> Judgement:
    """Judge readings held against the plan by the rules on such.

    Parameters
    ----------
    installation, vetting, assessment
        What was planned.
    judged : Judged
        Its readings beside what sound vehicles show.
    """
    return _judged(Facts(installation, vetting, assessment, judged=judged), _is_of_readings)


def _is_of_wiring(about: About) -> bool:
    return not about.of_days and not about.of_readings


def _is_of_days(about: About) -> bool:
    return about.of_days


def _is_of_readings(about: About) -> bool:
    return about.of_readings


def together(*judgements: Judgement) -> Judgement:
    """Return several judgements of one job as one, worst first.

    Parameters
    ----------
    judgements : Judgement
        Of the wiring, of its readings, and of the days that were run on it: no rule has judged in two.
    """
    counts = [each.counts for each in judgements]
    return Judgement(
        findings=tuple(sorted((f for each in judgements for f in each.findings), key=_order)),
        counts=Counts(
            passed=sum(each.passed for each in counts),
            failed=sum(each.failed for each in counts),
            unknown=sum(each.unknown for each in counts),
            not_applicable=sum(each.not_applicable for each in counts),
        ),
        unused_waivers=tuple(w for each in judgements for w in each.unused_waivers),
        used_sources=tuple(dict.fromkeys(id_ for each in judgements for id_ in each.used_sources)),
    )


def _judged(facts: Facts, mine: Callable[[About], bool]) -> Judgement:
    outcomes = [0] * len(Outcome)
    found: list[tuple[Finding, Subject, Rule]] = []
    fetched: dict[About, _Columns] = {}
    for entry in entries().values():
        if entry.rule.status is Status.RETIRED or not mine(entry.rule.about):
            continue
        about = entry.rule.about
        if about not in fetched:
            fetched[about] = _Columns(about, facts.subjects(about))
        for subject, values, verdict in _asked(entry, fetched[about], outcomes):
            finding = _finding(entry.rule, subject, verdict)
            found.append((_asking(finding, subject, about, values, verdict), subject, entry.rule))
    waivers = tuple(w for w in facts.installation.waivers if mine(rule(w.rule).about))
    waived, unused = _waive((finding for finding, _, _ in found), waivers)
    raised = [
        Raised(finding, subject, record.follows)
        for finding, (_, subject, record) in zip(waived, found, strict=True)
    ]
    kept = tuple(sorted(with_causes(raised), key=_order))
    return Judgement(
        findings=kept,
        counts=_count(outcomes),
        unused_waivers=unused,
        used_sources=tuple(dict.fromkeys(_id(finding.source) for finding in kept)),
    )


def _asked(
    entry: Entry, columns: _Columns, outcomes: list[int]
) -> Iterator[tuple[Subject, dict[str, Value], Verdict]]:
    """Ask one rule about each thing, count each outcome, and yield what fails or is not known."""
    needs, check = entry.rule.needs, entry.check
    asked = columns.where(entry.rule.only_where)
    outcomes[Outcome.NOT_APPLICABLE] += len(columns) - len(asked)
    rows = columns.rows(needs, asked)
    plain = columns.tell_apart(needs)
    for subject, row in rows:
        kept = plain or not any(map(_is_composed, row))
        verdict = (_verdict if kept else _verdict.__wrapped__)(check, needs, *row)
        outcomes[verdict.outcome] += 1
        if verdict.outcome >= Outcome.UNDETERMINED:
            yield subject, dict(zip(needs, row, strict=True)), verdict


# Typed: a name that somebody wrote and a word of ours may read alike in English, and in no other language.
# Words with fields may do so among themselves: what is asked with such is not kept.
@lru_cache(maxsize=8192, typed=True)
def _verdict(check: Callable[..., Verdict], needs: tuple[str, ...], *row: Value) -> Verdict:
    """What a rule says to some values, which are all that it knows: many are asked again in the next plan."""
    return check(**dict(zip(needs, row, strict=True)))


def _is_composed(value: Value) -> bool:
    """Whether a value is words with fields."""
    return isinstance(value, Words) and bool(value.fields)


class _Columns:
    """What rules need to know of the things of one kind: a column a need, values fetched when asked for."""

    def __init__(self, about: About, subjects: tuple[Subject, ...]) -> None:
        """Start with none of them."""
        self._known, self._subjects = NEEDS[about], subjects
        self._columns: dict[str, list[Value | _NotAsked]] = {}
        self._composed: set[str] = set()

    def tell_apart(self, needs: tuple[str, ...]) -> bool:
        """Tell whether like values of some needs are one: words with fields may be so in English alone."""
        return self._composed.isdisjoint(needs)

    def __len__(self) -> int:
        """How many things there are."""
        return len(self._subjects)

    def where(self, needs: tuple[str, ...]) -> Sequence[int]:
        """Return the numbers of the things of which every one of some needs holds."""
        left: Sequence[int] = range(len(self._subjects))
        for name in needs:
            column = self._column(name, left)
            left = [number for number in left if column[number]]
        return left

    def rows(
        self, needs: tuple[str, ...], numbers: Sequence[int]
    ) -> Iterator[tuple[Subject, tuple[Value, ...]]]:
        """Return some things with the values of some needs, in their order, all fetched at once."""
        columns = [self._column(name, numbers) for name in needs] if numbers else []
        return ((self._subjects[number], tuple([column[number] for column in columns])) for number in numbers)

    def _column(self, name: str, numbers: Sequence[int]) -> list[Any]:
        """A column with the values of some things in it; a number that is not one is None there."""
        column = self._columns.get(name)
        if column is None:
            column = self._columns[name] = [_NOT_ASKED] * len(self._subjects)
        fetch, subjects, isfinite = self._known[name], self._subjects, math.isfinite
        for number in numbers:
            if column[number] is _NOT_ASKED:
                value = fetch(subjects[number])
                if isinstance(value, float):
                    value = value if isfinite(value) else None
                elif isinstance(value, Words) and value.fields:
                    self._composed.add(name)
                column[number] = value
        return column


def _finding(record: Rule, subject: Subject, verdict: Verdict) -> Finding:
    rests_on = _rests_on(record, verdict, subject.facts.basis)
    failed = verdict.outcome is Outcome.FAIL
    weight = weightiest(_id(name) for name in rests_on)
    told = record.remedy if verdict.remedy is None else verdict.remedy
    remedy = joined(" ", [part for part in (told, term(record.caution.value)) if part])
    return Finding(
        rule=record.id,
        slug=record.slug,
        status=record.status,
        outcome=FindingOutcome.FAIL if failed else FindingOutcome.UNKNOWN,
        level=verdict.level if verdict.level is not None else record.level,
        where=subject.where,
        text=verdict.text,
        # What is not known yet calls for a look, not for work on the vehicle.
        remedy=remedy if failed else "",
        advice=told if failed else "",
        value=verdict.value,
        limit=verdict.limit,
        unit=verdict.unit,
        margin_pct=verdict.margin_pct if failed else None,
        source=next(name for name in rests_on if _id(name) == weight.id),
        weight=weight.kind.value,
        circuit=subject.circuit_name,
    )


def _asking(
    finding: Finding, subject: Subject, about: About, values: Mapping[str, Value], verdict: Verdict
) -> Finding:
    """The same finding; an undecided one with what would settle it."""
    if finding.outcome is FindingOutcome.FAIL:
        return finding
    needs = verdict.hangs_on or tuple(name for name, value in values.items() if value is None)
    return replace(finding, asks=asks_of(subject, about, needs))


def _rests_on(record: Rule, verdict: Verdict, basis: str) -> tuple[str, ...]:
    """Return the source that the verdict names, else those of its rule that count for the basis."""
    if verdict.source is not None:
        named = tuple(name for name in record.sources if _id(name) == verdict.source)
        return named or (verdict.source,)
    if basis == Basis.BOAT:
        return record.sources
    return tuple(name for name in record.sources if not name.startswith(_FOR_BOATS)) or record.sources


def _id(named: str) -> str:
    """Return the id of a source that is named with its clause."""
    return named.split(",", maxsplit=1)[0]


def _waive(
    findings: Iterable[Finding], waivers: tuple[Waiver, ...]
) -> tuple[list[Finding], tuple[Waiver, ...]]:
    by_rule = [(rule(waiver.rule).id, waiver) for waiver in waivers]
    used: set[int] = set()
    result = []
    for finding in findings:
        for number, (rule_id, waiver) in enumerate(by_rule):
            if rule_id == finding.rule and waiver.where in {finding.where, finding.circuit}:
                used.add(number)
                finding = replace(finding, waiver=waiver)  # noqa: PLW2901
                break
        result.append(finding)
    return result, tuple(waiver for number, waiver in enumerate(waivers) if number not in used)


def _order(finding: Finding) -> tuple[bool, int, bool, float, str, str]:
    """Worst first: not waived, level, failure before unknown, farthest beyond the limit."""
    margin_pct = finding.margin_pct if finding.margin_pct is not None else 0.0
    return (
        not finding.decides,
        -finding.level.weight,
        finding.outcome is not FindingOutcome.FAIL,
        margin_pct,
        finding.rule,
        finding.where,
    )


def _count(outcomes: list[int]) -> Counts:
    return Counts(
        passed=outcomes[Outcome.PASS],
        failed=outcomes[Outcome.FAIL],
        unknown=outcomes[Outcome.UNDETERMINED],
        not_applicable=outcomes[Outcome.NOT_APPLICABLE],
    )
