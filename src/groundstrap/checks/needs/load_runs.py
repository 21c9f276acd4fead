"""What rules need to know about a load over a run of days."""

from __future__ import annotations

from typing import TYPE_CHECKING

from groundstrap.checks.facts import LoadRunSubject

if TYPE_CHECKING:
    from groundstrap.endure.results import Cranked

__all__: list[str] = []

_HOUR_S = 3600.0


def is_critical(subject: LoadRunSubject) -> bool:
    """Whether it is critical."""
    return subject.load.critical


def is_reckoned(subject: LoadRunSubject) -> bool:
    """Whether what it takes is known, so that it was reckoned with."""
    return subject.load.name not in subject.days.unknown


def cut_off_h(subject: LoadRunSubject) -> float | None:
    """Hours from the beginning of the run until it first cuts off, else None. [h]"""
    return None if subject.cut is None else subject.cut.at_s / _HOUR_S


def cut_off_v(subject: LoadRunSubject) -> float | None:
    """Volts at it then. [V]"""
    return None if subject.cut is None else subject.cut.volts_v


def cycles_an_hour(subject: LoadRunSubject) -> float | None:
    """How often it then comes and goes in an hour; None where it stays off. [1/h]"""
    return None if subject.cut is None else subject.cut.cycles_per_h


def on_pct(subject: LoadRunSubject) -> float | None:
    """Share of the time that it runs while it does. [%]"""
    cut = subject.cut
    return None if cut is None or cut.share is None else 100.0 * cut.share


def run_days_d(subject: LoadRunSubject) -> float:
    """How many days were run. [d]"""
    return float(subject.days.days)


def cure(subject: LoadRunSubject) -> str:
    """What cures what fails in the run, where a change was found."""
    return subject.facts.cure


def is_on_at_start(subject: LoadRunSubject) -> bool:
    """Whether it is on, and fed, while the engine is started, and says what volts it works from."""
    return _cranked(subject) is not None


def left_at_start_v(subject: LoadRunSubject) -> float | None:
    """Volts at it while the engine turns, in the start that leaves it least. [V]"""
    found = _cranked(subject)
    return None if found is None else found.volts_v


def left_at_start_known(subject: LoadRunSubject) -> bool:
    """Whether these are reckoned from what somebody wrote, and not taken from a standard's profile."""
    found = _cranked(subject)
    return found is not None and found.known


def works_low_v(subject: LoadRunSubject) -> float | None:
    """Lowest volts that somebody wrote that it works from. [V]"""
    return None if subject.load.works is None else subject.load.works.low


def _cranked(subject: LoadRunSubject) -> Cranked | None:
    return next((each for each in subject.days.cranked if each.load == subject.load.name), None)
