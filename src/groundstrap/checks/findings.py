"""What comes out of the rules: findings, how many of each outcome, and the judgement as a whole."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from groundstrap.checks.rule import Level, Status
from groundstrap.model import Waiver
from groundstrap.records import dataclass

__all__ = [
    "Ask",
    "Because",
    "Counts",
    "Finding",
    "FindingOutcome",
    "Judgement",
    "Tree",
    "Worst",
    "trees",
    "worst",
]


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


@dataclass(frozen=True, slots=True)
class Because:
    """The finding that another one merely follows from: mend that first."""

    rule: str
    where: str
    circuit: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that stands against the job, or that could not be decided.

    `value` and `limit` are in `unit`; `margin_pct` is the distance from the limit, negative for a failure.
    `source` is what the verdict rests on, `weight` the kind of authority that it has. `waiver` is the
    reason of the person who answers for it. `asks` are the readings or looks that an undecided one waits for.
    `because` names the failure that this one is merely a consequence of.
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
    because: Because | None = None
    advice: str = ""
    """The remedy without the caution at it."""

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Tree:
    """A failure with everything that merely follows from it."""

    root: Finding
    consequences: tuple[Finding, ...] = ()

    @property
    def level(self) -> Level:
        """The worst level in it: a consequence never hides behind a milder cause."""
        return max((f.level for f in (self.root, *self.consequences)), key=lambda level: level.weight)


def trees(findings: Iterable[Finding]) -> tuple[Tree, ...]:
    """Return failures with their consequences, worst first; where the cause is not among them, by itself."""
    failures = [f for f in findings if f.outcome is FindingOutcome.FAIL]
    under: dict[Because, list[Finding]] = {}
    roots: dict[Because, Finding] = {}
    for finding in failures:
        if finding.because is None:
            roots.setdefault(Because(finding.rule, finding.where, finding.circuit), finding)
    alone = []
    for finding in failures:
        if finding.because is not None and finding.because in roots:
            under.setdefault(finding.because, []).append(finding)
        elif not any(finding is root for root in roots.values()):
            alone.append(finding)
    found = [Tree(root=root, consequences=tuple(under.get(name, ()))) for name, root in roots.items()]
    found += [Tree(root=finding) for finding in alone]
    place = {id(finding): at for at, finding in enumerate(failures)}
    # Findings come worst first, so the place of the root parts those of one level.
    return tuple(sorted(found, key=lambda t: (not t.root.decides, -t.level.weight, place[id(t.root)])))


def worst(judgement: Judgement) -> Worst:
    """Return what the findings amount to; drafts and waived findings do not count."""
    stops = [f for f in judgement.findings if f.decides and f.level is Level.STOP]
    if any(f.outcome is FindingOutcome.FAIL for f in stops):
        return Worst.STOP
    if stops or not judgement.counts.applied:
        return Worst.UNDECIDED
    return Worst.CLEAR
