"""What rules need to know about a load that starts behind a converter."""

from __future__ import annotations

from groundstrap.assess.start_results import LoadStart
from groundstrap.checks.facts import LoadSubject

__all__: list[str] = []

_RIDDEN_S = 0.01
"""Shorter starts a converter's own capacitors give; own judgement. [s]"""


def start_asks_a(subject: LoadSubject) -> float | None:
    """Current that its start would take, where the converter that alone feeds it gives less. [A]"""
    found = _start(subject)
    return found.asks_a if found is not None and found.nominal.time_s >= _RIDDEN_S else None


def start_given_a(subject: LoadSubject) -> float | None:
    """The most that the converter which feeds it gives its start. [A]"""
    found = _start(subject)
    return found.nominal.peak_a if found is not None else None


def start_limited_by(subject: LoadSubject) -> str:
    """The converter that gives its start less than it asks for; empty where none does."""
    found = _start(subject)
    return (found.limited_by if found is not None else None) or ""


def start_written(subject: LoadSubject) -> bool:
    """Whether somebody wrote how it starts."""
    found = _start(subject)
    return found is not None and found.written


def _start(subject: LoadSubject) -> LoadStart | None:
    return subject.facts.assessment.starting.loads.get(subject.load.name)
