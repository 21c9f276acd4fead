"""What rules need to know about the volts that a load gets when one joint is lost."""

from __future__ import annotations

from groundstrap.assess.failure_results import FailureAssessment, VictimKind
from groundstrap.checks.facts import LoadSubject

__all__: list[str] = []


def astray_joint(subject: LoadSubject) -> str:
    """The joint, strap or cable whose loss gives it wrong volts; empty where none does."""
    found = _worst(subject)
    return found.place if found is not None else ""


def astray_v(subject: LoadSubject) -> float | None:
    """Volts that it gets then, negative where plus and minus have changed places. [V]"""
    found = _worst(subject)
    return found.voltage_v if found is not None else None


def astray_most_v(subject: LoadSubject) -> float | None:
    """Volts that it stands at most. [V]"""
    found = _worst(subject)
    return found.limit_v if found is not None else None


def astray_certain(subject: LoadSubject) -> bool | None:
    """True where neither an unmeasured body nor a size that nobody knows decides, else None."""
    found = _worst(subject)
    return True if found is None or (found.sure and not found.rests_on) else None


def _worst(subject: LoadSubject) -> FailureAssessment | None:
    """Too many volts, or volts the wrong way round; too few are no harm to the load itself."""
    found = [
        one
        for one in subject.facts.assessment.failures
        if one.victim == subject.load.name
        and one.victim_kind is VictimKind.LOAD
        and one.voltage_v is not None
        and (one.voltage_v < 0.0 or one.voltage_v > (one.limit_v or 0.0))
    ]
    return max(found, key=lambda one: abs(one.voltage_v or 0.0), default=None)
