"""What rules need to know about the record of a job as a whole."""

from __future__ import annotations

from groundstrap.checks.facts import RecordSubject

__all__: list[str] = []


def readings(subject: RecordSubject) -> int:
    """How many readings on the job are written."""
    return sum(len(taken.values) for taken in subject.facts.installation.readings)


def says_when(subject: RecordSubject) -> bool:
    """Whether a date is written about the job, or beside all its readings."""
    things = subject.facts.installation
    return any("date" in key.lower() for key in things.about) or all(each.date for each in things.readings)


def says_by_whom(subject: RecordSubject) -> bool:
    """Whether somebody's name is written as the one who did it, of the job or of all its readings."""
    things = subject.facts.installation
    named = any(key.lower().split()[-1:] == ["by"] for key in things.about)
    return named or all(each.by for each in things.readings)


def without_meter(subject: RecordSubject) -> int:
    """How many of them name no meter."""
    return sum(
        each.meter is None
        for taken in subject.facts.installation.readings
        if taken.meter is None
        for each in taken.values
    )
