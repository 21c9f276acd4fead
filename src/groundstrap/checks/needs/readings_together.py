"""What rules need to know about all readings of a job together."""

from __future__ import annotations

from groundstrap.checks.facts import SheetSubject

__all__: list[str] = []


def readings_held(subject: SheetSubject) -> int:
    """How many readings were held against the plan."""
    return len(subject.judged.readings)


def proves_something(subject: SheetSubject) -> bool:
    """Whether they prove that something is off."""
    return bool(subject.judged.proven)


def fit_pct(subject: SheetSubject) -> float:
    """Chance that sound vehicles fit less, with what they prove set apart. [%]"""
    return 100.0 * subject.judged.explained.p


def says_nothing(subject: SheetSubject) -> int:
    """How many readings are of something that no current of the job reaches."""
    return len(subject.judged.left_out)


def first_silent(subject: SheetSubject) -> str:
    """Name of the first of them."""
    return next(iter(subject.judged.left_out), "")
