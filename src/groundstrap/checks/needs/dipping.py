"""What rules need to know about a load that dips, stalls or is starved while another one starts."""

from __future__ import annotations

from groundstrap.checks.facts import LoadSubject

__all__: list[str] = []


def dips(subject: LoadSubject) -> bool:
    """Whether the volts it works at are written and something starts beside it."""
    return subject.load.name in subject.facts.assessment.starting.dips


def dip_v(subject: LoadSubject) -> float | None:
    """Volts at it while the load starts that takes most from it. [V]"""
    found = subject.facts.assessment.starting.dips.get(subject.load.name)
    return None if found is None else found.volts_v


def before_dip_v(subject: LoadSubject) -> float | None:
    """Volts at it with everything running and nothing starting. [V]"""
    found = subject.facts.assessment.starting.dips.get(subject.load.name)
    return None if found is None else found.before_v


def dip_by(subject: LoadSubject) -> str:
    """The load whose start takes most from it."""
    found = subject.facts.assessment.starting.dips.get(subject.load.name)
    return "" if found is None else found.by


def dip_written(subject: LoadSubject) -> bool:
    """Whether somebody wrote how that one starts."""
    found = subject.facts.assessment.starting.dips.get(subject.load.name)
    return found is not None and found.written


def stall_cleared_s(subject: LoadSubject) -> float | None:
    """Longest time in which its fuse ends the current of the blocked motor; inf where never. [s]"""
    return subject.facts.assessment.starting.stall_clears_s.get(subject.load.name)


def stall_opens(subject: LoadSubject) -> bool:
    """Whether its fuse opens on that in the cold of its place as well, as far as anybody knows."""
    cleared_s = stall_cleared_s(subject)
    return cleared_s is None or cleared_s != float("inf")
