"""A whole answer to one job, with everything that its report is made from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from groundstrap.assess import Assessment
from groundstrap.checks import Finding, Judgement, Worst, worst
from groundstrap.design import Design
from groundstrap.model import Assumption, Installation, LoadEstimate
from groundstrap.records import dataclass
from groundstrap.vet import Vetting

# A job without readings loads nothing for them.
if TYPE_CHECKING:
    from groundstrap.locate.judged import Judged

__all__ = ["Pinned", "Plan", "VetAnswer"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A job planned or checked: the installation with its choices, and what stands against it."""

    installation: Installation
    """With the choices in, where some were made."""
    vetting: Vetting
    design: Design | None
    """What was chosen; None where the job was only checked."""
    assessment: Assessment
    judgement: Judgement
    fingerprint: str
    """Hash of the job's text, the version and the reference tables."""
    judged: Judged | None = None
    """Its readings beside what sound vehicles show; None where it has none, or no working point."""
    days_judged: bool = False
    """Whether what stands against its days is among the findings."""
    days_not_run: str = ""
    """Why its days could not be run; empty where they were, or where nobody asked for them."""

    @property
    def worst(self) -> Worst:
        """What the findings amount to; days that could not be run leave it open."""
        found = worst(self.judgement)
        return Worst.UNDECIDED if found is Worst.CLEAR and self.days_not_run else found

    @property
    def days_open(self) -> bool:
        """Whether the job has a day that nobody has run."""
        return bool(self.installation.day) and not self.days_judged and not self.days_not_run

    @property
    def exit_status(self) -> int:
        """Status that a command ends with."""
        return self.worst.exit_status

    @property
    def estimates(self) -> Mapping[str, LoadEstimate]:
        """What each load really draws."""
        return {name: found.estimate for name, found in self.vetting.loads.items()}

    @property
    def assumptions(self) -> tuple[Assumption, ...]:
        """Everything that nobody wrote and the answer rests on, each once."""
        every = (
            *self.installation.assumptions,
            *self.vetting.assumptions,
            *self.assessment.assumptions,
        )
        return tuple(dict.fromkeys(every))

    @property
    def used_sources(self) -> tuple[str, ...]:
        """Ids of the sources that this answer really used, each once."""
        every = (*self.vetting.used_sources, *self.assessment.used_sources, *self.judgement.used_sources)
        return tuple(dict.fromkeys(every))


@dataclass(frozen=True, slots=True, kw_only=True)
class VetAnswer:
    """What each load really draws, and the findings that are about loads and their claims."""

    installation: Installation
    vetting: Vetting
    findings: tuple[Finding, ...]
    worst: Worst

    @property
    def exit_status(self) -> int:
        """Status that a command ends with."""
        return self.worst.exit_status


@dataclass(frozen=True, slots=True, kw_only=True)
class Pinned:
    """A job's text with the choices of its plan written in, but for those that a stop stands against."""

    text: str
    wires: int
    """How many pieces of cable got their size."""
    fuses: int
    """How many fuses and breakers got their rating."""
    left_open: Mapping[str, tuple[str, ...]]
    """Circuits whose choices are not written, each with the rules that stop them."""
    written: tuple[str, ...] = ()
    """What is written of each cable and fuse."""
    types: int = 0
    """How many fuses whose rating stood there got their type."""
