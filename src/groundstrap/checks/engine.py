"""The engine: asks every rule about everything that it judges, applies waivers, and sorts what stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import TYPE_CHECKING

from groundstrap.assess.results import Assessment
from groundstrap.checks.asking import ask, source_id
from groundstrap.checks.catalogue import Entry, entries, rule, wiring_entries
from groundstrap.checks.causes import Raised, with_causes
from groundstrap.checks.facts import Facts
from groundstrap.checks.findings import Counts, Finding, FindingOutcome, Judgement
from groundstrap.checks.rule import About, Outcome, Status
from groundstrap.checks.unmeasured import Unmeasured, unmeasured
from groundstrap.model import Installation, Waiver
from groundstrap.records import replace
from groundstrap.vet.results import Vetting

if TYPE_CHECKING:
    from groundstrap.endure.results import Endurance
    from groundstrap.locate.judged import Judged

__all__ = ["run", "run_days"]


def run(installation: Installation, vetting: Vetting, assessment: Assessment) -> Judgement:
    """Judge an installation by every rule but those on days and on readings; findings come worst first."""
    facts = Facts(installation, vetting, assessment)
    return _judged(facts, _is_of_wiring, unmeasured(facts))


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


def _judged(facts: Facts, mine: Callable[[About], bool], bare: Unmeasured | None = None) -> Judgement:
    told = ask(_asked(mine), facts, bare)
    waivers = tuple(w for w in facts.installation.waivers if mine(rule(w.rule).about))
    waived, unused = _waive((each.finding for each in told.said), waivers)
    raised = [
        Raised(finding, facts.subjects(each.rule.about)[each.number], each.rule.follows)
        for finding, each in zip(waived, told.said, strict=True)
    ]
    kept = tuple(sorted(with_causes(raised), key=_order))
    return Judgement(
        findings=kept,
        counts=_count(told.outcomes),
        unused_waivers=unused,
        used_sources=tuple(dict.fromkeys(source_id(finding.source) for finding in kept)),
    )


@cache
def _asked(mine: Callable[[About], bool]) -> tuple[Entry, ...]:
    """The rules of some kinds that are in force."""
    every = (wiring_entries() if mine is _is_of_wiring else entries()).values()
    return tuple(e for e in every if e.rule.status is not Status.RETIRED and mine(e.rule.about))


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


def _count(outcomes: Sequence[int]) -> Counts:
    return Counts(
        passed=outcomes[Outcome.PASS],
        failed=outcomes[Outcome.FAIL],
        unknown=outcomes[Outcome.UNDETERMINED],
        not_applicable=outcomes[Outcome.NOT_APPLICABLE],
    )
