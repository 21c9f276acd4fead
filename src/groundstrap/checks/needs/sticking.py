"""What rules need to know about a relay or link that stays closed."""

from __future__ import annotations

from groundstrap.assess.failure_results import FailureAssessment, FailureKind, VictimKind
from groundstrap.checks.facts import PartSubject
from groundstrap.model import LoadKind, PartKind
from groundstrap.words import words

__all__: list[str] = []

_HEATS = frozenset({LoadKind.HEATER, LoadKind.PTC_HEATER})
_MOVES_OR_BURNS = _HEATS | {LoadKind.MOTOR}


def switches_heat_or_motion(subject: PartSubject) -> bool:
    """Whether it is a relay with a heater or motor behind it, which starts without anybody if it welds."""
    switch = _contacts(subject)
    loads = subject.facts.loads
    return subject.part.kind is PartKind.RELAY and any(
        name in loads and loads[name].kind in _MOVES_OR_BURNS for name in switch
    )


def welds_on(subject: PartSubject) -> str:
    """The heater or motor that nothing else switches off; empty where something does."""
    loads = subject.facts.loads
    found = [
        failure.victim
        for failure in _failures(subject, FailureKind.WELDED)
        if failure.victim_kind is VictimKind.LOAD
        and failure.victim in loads
        and loads[failure.victim].kind in _MOVES_OR_BURNS
    ]
    return found[0] if found else ""


def welds_motion(subject: PartSubject) -> bool:
    """Whether that is a motor, which pulls or lifts without anybody."""
    name = welds_on(subject)
    return bool(name) and subject.facts.loads[name].kind not in _HEATS


def weld_after_s(subject: PartSubject) -> float | None:
    """Time until cable that is sized for its load's pauses is beyond its limit without them. [s]"""
    found = _worst_weld(subject)
    return found.after_s if found is not None else None


def weld_limit_c(subject: PartSubject) -> float | None:
    """The temperature that it passes then. [degC]"""
    found = _worst_weld(subject)
    return found.limit_c if found is not None else None


def link_cranking_a(subject: PartSubject) -> float | None:
    """Current through it if it stays closed while cranking, where that harms something. [A]"""
    amps = [failure.current_a for failure in _failures(subject, FailureKind.CLOSED_IN_CRANKING)]
    return max((value for value in amps if value is not None), default=None)


def link_harms(subject: PartSubject) -> str:
    """What suffers then: a cable, a fuse that opens, its own contact; empty where nothing does."""
    found = _worst_link(subject)
    if found is None:
        return ""
    if found.victim_kind is VictimKind.WIRE:
        wire = subject.facts.wires[found.victim]
        return words("the cable from {start} to {end}", start=wire.start, end=wire.end)
    return words("its own contact") if found.victim == subject.part.name else found.victim


def link_limit_a(subject: PartSubject) -> float | None:
    """What that may carry. [A]"""
    found = _worst_link(subject)
    return found.limit_a if found is not None else None


def link_overheats(subject: PartSubject) -> bool:
    """Whether a cable passes its limit in 30 s of cranking with no fuse sure to open before."""
    found = _worst_link(subject)
    return found is not None and found.overheats


def link_certain(subject: PartSubject) -> bool | None:
    """True where neither an unmeasured body nor a size that nobody knows decides, else None."""
    found = _worst_link(subject)
    return True if found is None or (found.sure and not found.rests_on) else None


def _worst_weld(subject: PartSubject) -> FailureAssessment | None:
    """The cable that is beyond its limit first, with no fuse sure to open before."""
    found = [one for one in _failures(subject, FailureKind.WELDED) if one.overheats]
    return min(found, key=lambda one: one.after_s or 0.0, default=None)


def _worst_link(subject: PartSubject) -> FailureAssessment | None:
    """The cable that overheats before the fuse that opens, that before its own contact."""
    found = _failures(subject, FailureKind.CLOSED_IN_CRANKING)
    left = [one for one in found if one.victim_kind is not VictimKind.WIRE or one.overheats]
    return min(left, key=lambda one: (not one.overheats, one.victim == subject.part.name), default=None)


def _failures(subject: PartSubject, kind: FailureKind) -> list[FailureAssessment]:
    name = subject.part.name
    return [one for one in subject.facts.assessment.failures if one.element == name and one.kind is kind]


def _contacts(subject: PartSubject) -> tuple[str, ...]:
    """Loads that it alone, or with others, switches on and off."""
    found = subject.facts.assessment.parts.get(subject.part.name)
    if found is None or found.switch is None:
        return ()
    return tuple(each.load for each in found.switch.loads if not each.fed_anyway)
