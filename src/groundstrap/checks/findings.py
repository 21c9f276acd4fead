"""What comes out of the rules: findings, how many of each outcome, and the judgement as a whole."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from groundstrap.checks.rule import Level, Status
from groundstrap.model import Waiver

__all__ = ["Ask", "Counts", "Finding", "FindingOutcome", "Judgement", "Worst", "worst"]


class FindingOutcome(StrEnum):
    """What a finding says: the rule fails, or want of input leaves it undecided."""

    FAIL = "fail"
    UNKNOWN = "unknown"


class Worst(StrEnum):
    """What the findings amount to; each has its exit status in the contract of results."""

    CLEAR = "clear"
    """Nothing stands against the job."""
    STOP = "stop"
    """At least one finding of level stop that nobody answers for."""
    UNDECIDED = "undecided"
    """No stop, but a rule of that level could not be decided for want of input."""

    @property
    def exit_status(self) -> int:
        """Exit status of a command that ends with this."""
        return {Worst.CLEAR: 0, Worst.STOP: 1, Worst.UNDECIDED: 4}[self]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One reading or look that settles what is not decided: what it is about, and how to get it."""

    what: str
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that stands against the job, or that could not be decided.

    `value` and `limit` are in `unit`; `margin_pct` is the distance from the limit, negative for a failure.
    `source` is what the verdict rests on, `weight` the kind of authority that it has. `waiver` is the
    reason of the person who answers for it. `asks` are the readings or looks that an undecided one waits for.
    """

    rule: str
    slug: str
    status: Status
    outcome: FindingOutcome
    level: Level
    where: str
    text: str
    remedy: str
    value: float | None
    limit: float | None
    unit: str
    margin_pct: float | None
    source: str
    weight: str
    circuit: str | None = None
    waiver: Waiver | None = None
    asks: tuple[Ask, ...] = ()

    @property
    def decides(self) -> bool:
        """Whether it counts towards the whole: its rule is no draft, and nobody answers for it."""
        return self.status is Status.STABLE and self.waiver is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """How many applications of rules ended in which way."""

    passed: int = 0
    failed: int = 0
    unknown: int = 0
    not_applicable: int = 0

    @property
    def applied(self) -> int:
        """How many rules had something to say."""
        return self.passed + self.failed + self.unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """All findings, worst first, with the counts; `unused_waivers` met no finding."""

    findings: tuple[Finding, ...]
    counts: Counts
    unused_waivers: tuple[Waiver, ...] = ()
    used_sources: tuple[str, ...] = ()

    def of(self, rule: str) -> tuple[Finding, ...]:
        """Return the findings of one rule, by id or slug."""
        return tuple(finding for finding in self.findings if rule in {finding.rule, finding.slug})


def worst(judgement: Judgement) -> Worst:
    """Return what the findings amount to; drafts and waived findings do not count."""
    stops = [f for f in judgement.findings if f.decides and f.level is Level.STOP]
    if any(f.outcome is FindingOutcome.FAIL for f in stops):
        return Worst.STOP
    if stops or not judgement.counts.applied:
        return Worst.UNDECIDED
    return Worst.CLEAR
