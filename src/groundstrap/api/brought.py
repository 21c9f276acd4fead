"""A job with a change in it, planned anew, and what every rule newly has against it."""

from __future__ import annotations

from functools import cached_property

from groundstrap.assess import Wiring, assess_wiring, wire_up
from groundstrap.assess.results import Assessment
from groundstrap.checks import Finding, FindingOutcome, Judgement, Level, run, run_days
from groundstrap.design.choose import settle
from groundstrap.endure.results import Brought, Changed, Endurance
from groundstrap.model import Installation
from groundstrap.records import dataclass
from groundstrap.vet import Vetting
from groundstrap.vet import vet as vet_loads

__all__ = ["Known", "changed_job"]


@dataclass(frozen=True, slots=True)
class _Key:
    """What makes a finding the same one in two jobs."""

    rule: str
    where: str
    circuit: str | None


@dataclass(frozen=True, slots=True)
class Known:
    """What stands against a job as it is, the worst of each place."""

    worst: dict[_Key, int]

    @classmethod
    def of(cls, *judgements: Judgement) -> Known:
        """Gather what some judgements say.

        Parameters
        ----------
        judgements : Judgement
            Of the wiring and of the days.
        """
        found: dict[_Key, int] = {}
        for judgement in judgements:
            for each in judgement.findings:
                found[_key(each)] = max(_weight(each), found.get(_key(each), 0))
        return cls(found)

    def new_in(self, judgement: Judgement) -> tuple[Brought, ...]:
        """Return what another judgement says that is worse than this, or anew; notes are left out.

        Parameters
        ----------
        judgement : Judgement
            Of the changed job.
        """
        found: dict[tuple[str, str, bool], list[Finding]] = {}
        for each in judgement.findings:
            if _weight(each) > 0 and _weight(each) > self.worst.get(_key(each), 0):
                found.setdefault((each.rule, _level(each), each.decides), []).append(each)
        return tuple(
            Brought(
                rule=rule,
                level=level,
                where=tuple(dict.fromkeys(each.where for each in some)),
                text=some[0].text,
                remedy=some[0].advice or some[0].remedy,
                counts=counts,
            )
            for (rule, level, counts), some in found.items()
        )


def _key(finding: Finding) -> _Key:
    return _Key(finding.rule, finding.where, finding.circuit)


def _level(finding: Finding) -> str:
    """How bad it is; a stop that is not ruled out is `undecided`, and of what is milder nothing is told."""
    if finding.outcome is FindingOutcome.UNKNOWN:
        return "undecided" if finding.level is Level.STOP else ""
    return "" if finding.level is Level.NOTE else finding.level.value


def _weight(finding: Finding) -> int:
    return ("", "caution", "undecided", "stop").index(_level(finding))


def changed_job(installation: Installation, known: Known) -> Changed:
    """Choose for a changed job what is left out; what its rules say is asked only where it may be a cure.

    Parameters
    ----------
    installation : Installation
        With the change in it.
    known : Known
        What stands against the job without it.
    """
    vetting = vet_loads(installation)
    estimates = {name: found.estimate for name, found in vetting.loads.items()}
    planned = settle(installation, estimates).design.installation
    wiring = wire_up(planned, estimates)
    return Changed(wiring=wiring, brings=_Brings(known, planned, vetting, wiring).of)


class _Brings:
    """Judges a changed job, its wiring once."""

    def __init__(self, known: Known, planned: Installation, vetting: Vetting, wiring: Wiring) -> None:
        """Judge nothing yet."""
        self._known, self._planned, self._vetting, self._wiring = known, planned, vetting, wiring

    @cached_property
    def _assessment(self) -> Assessment:
        return assess_wiring(self._wiring)

    @cached_property
    def _of_wiring(self) -> tuple[Brought, ...]:
        return self._known.new_in(run(self._planned, self._vetting, self._assessment))

    def of(self, endurance: Endurance | None) -> tuple[Brought, ...]:
        """What is new in its wiring, and in a run of its days where there is one."""
        if endurance is None:
            return self._of_wiring
        days = run_days(self._planned, self._vetting, self._assessment, endurance, "")
        return (*self._of_wiring, *self._known.new_in(days))
