"""What rules need to know about a piece of cable that some single failure sends another current through."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.assess.failure_results import FailureAssessment, FailureKind, VictimKind
from groundstrap.checks.facts import WireSubject
from groundstrap.checks.once import once
from groundstrap.model import Situation
from groundstrap.words import words

__all__: list[str] = []


def lost_part(subject: WireSubject) -> str:
    """What fails and how, at the failure that is worst for it; empty where none makes it carry too much."""
    return _words(_worst(subject, cranking=False))


def lost_a(subject: WireSubject) -> float | None:
    """Current through it then, before anything has warmed. [A]"""
    found = _worst(subject, cranking=False)
    return found.current_a if found is not None else None


def lost_overheats(subject: WireSubject) -> bool:
    """Whether it passes class + 50 K or its short-circuit limit, and no fuse is sure to open before."""
    found = _worst(subject, cranking=False)
    return found is not None and found.overheats


def lost_after_s(subject: WireSubject) -> float | None:
    """Time until then. [s]"""
    found = _worst(subject, cranking=False)
    return found.after_s if found is not None else None


def lost_limit_c(subject: WireSubject) -> float | None:
    """The temperature that it passes. [degC]"""
    found = _worst(subject, cranking=False)
    return found.limit_c if found is not None else None


def lost_saved_by(subject: WireSubject) -> str:
    """The fuse that is sure to open before; empty where none is."""
    found = _worst(subject, cranking=False)
    return (found.opened_by if found is not None else None) or ""


def lost_certain(subject: WireSubject) -> bool | None:
    """True where neither an unmeasured body nor a size that nobody knows decides, else None."""
    return _certain(_worst(subject, cranking=False))


def cranking_part(subject: WireSubject) -> str:
    """What fails and how while cranking, where that sends it more than it stands; empty where none does."""
    return _words(_worst(subject, cranking=True))


def cranking_a(subject: WireSubject) -> float | None:
    """Current through it then, before anything has warmed. [A]"""
    found = _worst(subject, cranking=True)
    return found.current_a if found is not None else None


def cranking_after_s(subject: WireSubject) -> float | None:
    """Time until it passes its limit. [s]"""
    found = _worst(subject, cranking=True)
    return found.after_s if found is not None else None


def cranking_limit_c(subject: WireSubject) -> float | None:
    """The temperature that it passes while cranking. [degC]"""
    found = _worst(subject, cranking=True)
    return found.limit_c if found is not None else None


def cranking_saved_by(subject: WireSubject) -> str:
    """The fuse that is sure to open in time while cranking; empty where none is."""
    found = _worst(subject, cranking=True)
    return (found.opened_by if found is not None else None) or ""


def cranking_certain(subject: WireSubject) -> bool | None:
    """True where no unmeasured body and no size that nobody knows decides while cranking, else None."""
    return _certain(_worst(subject, cranking=True))


def _worst(subject: WireSubject, *, cranking: bool) -> FailureAssessment | None:
    """The failure that harms it soonest with no fuse to end it."""
    found = _cranking(subject) if cranking else _running(subject)
    key = lambda one: (one.opened_by is not None, one.after_s or 0.0, -(one.current_a or 0.0))  # noqa: E731
    return min(found, key=key, default=None)


@once
def _cranking(subject: WireSubject) -> tuple[FailureAssessment, ...]:
    return tuple(one for one in _failures(subject) if one.situation is Situation.CRANKING)


@once
def _running(subject: WireSubject) -> tuple[FailureAssessment, ...]:
    return tuple(one for one in _failures(subject) if one.situation is not Situation.CRANKING)


def _failures(subject: WireSubject) -> Iterator[FailureAssessment]:
    for failure in subject.facts.assessment.failures:
        mine = failure.victim == subject.wire.name and failure.victim_kind is VictimKind.WIRE
        if mine and failure.kind is FailureKind.OPENS:
            yield failure


def _certain(found: FailureAssessment | None) -> bool | None:
    return True if found is None or (found.sure and not found.rests_on) else None


def _words(found: FailureAssessment | None) -> str:
    return words("{place} opens", place=found.place) if found is not None else ""
