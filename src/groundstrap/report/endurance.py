"""A whole answer about days on the battery, with everything that its report is made from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from groundstrap.checks import Judgement, Worst, worst
from groundstrap.model import Assumption, Installation
from groundstrap.records import dataclass
from groundstrap.report.plan import Plan

# A plan runs no days, and loads nothing for it.
if TYPE_CHECKING:
    from groundstrap.endure.results import Answers, Chances, Endurance, Start

__all__ = ["DaysNotRun", "EnduranceAnswer"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DaysNotRun:
    """A day that stands in a job and can't be run."""

    why: str
    """What is wrong with it, and what would do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EnduranceAnswer:
    """What batteries and charging do over the days of a job, and what stands against that."""

    plan: Plan
    """The run is on the wires that it chose."""
    run: Endurance
    answers: Answers
    chances: Chances | None
    """How often it goes wrong; None where nobody asked for that."""
    judgement: Judgement
    assumptions: tuple[Assumption, ...]

    @property
    def installation(self) -> Installation:
        """With the choices of its plan in."""
        return self.plan.installation

    @property
    def fingerprint(self) -> str:
        """Hash of the job's text, the version and the reference tables."""
        return self.plan.fingerprint

    @property
    def worst(self) -> Worst:
        """What the findings amount to."""
        return worst(self.judgement)

    @property
    def exit_status(self) -> int:
        """Status that a command ends with: of the days, or of the job whose wiring they run on."""
        statuses = (self.worst.exit_status, self.plan.exit_status)
        return 1 if 1 in statuses else max(statuses)

    @property
    def last_start(self) -> Start | None:
        """The start on the morning after the last day, on the weakest battery; else the last there is."""
        starts = [each for each in self.run.starts if each.morning_after] or self.run.starts[-1:]
        return min(starts, key=lambda each: each.margin_a, default=None)

    @property
    def ends_s(self) -> float:
        """How long the run is. [s]"""
        return float(self.run.course.times_s[-1])

    @property
    def used_sources(self) -> tuple[str, ...]:
        """Ids of the sources that run and findings rest on, each once."""
        return tuple(dict.fromkeys((*self.run.used_sources, *self.judgement.used_sources)))
