"""What rules need to know about a battery over a run of days."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from groundstrap.checks.facts import BatteryRunSubject
from groundstrap.words import words

if TYPE_CHECKING:
    from groundstrap.endure.results import Start

__all__: list[str] = []

_LITHIUM: Final = "lfp"
_LEAST_LEAD_PCT: Final = 50.0
"""Charge that a lead battery is not taken below day by day; common practice. [%]"""
_LEAST_LITHIUM_PCT: Final = 20.0
"""The same of lithium iron phosphate; common practice. [%]"""


def has_start(subject: BatteryRunSubject) -> bool:
    """Whether an engine is started from it."""
    return subject.run.start is not None


def start_holds_a(subject: BatteryRunSubject) -> float | None:
    """Current that it still holds in the start that goes worst; none where it has frozen. [A]"""
    start = _worst_start(subject)
    if start is None:
        return None
    return 0.0 if start.frozen else max(start.holds_a, 0.0)


def start_asks_a(subject: BatteryRunSubject) -> float | None:
    """Current that the engine asks there, as somebody wrote it or as engines usually do. [A]"""
    start = _worst_start(subject)
    return None if start is None else start.asks_a


def start_asks_known(subject: BatteryRunSubject) -> bool:
    """Whether somebody wrote what the engine asks, or an empty or frozen battery turns none at all."""
    start = _worst_start(subject)
    return start is not None and start.certain


def start_c(subject: BatteryRunSubject) -> float | None:
    """Temperature at that start. [degC]"""
    start = _worst_start(subject)
    return None if start is None else start.temp_c


def start_when(subject: BatteryRunSubject) -> str:
    """When that start is: on which day, or on which morning after the last one."""
    start = _worst_start(subject)
    if start is None:
        return ""
    if start.morning_after:
        return words("on morning {number}", number=start.day - 1)
    return words("on day {number}", number=start.day)


def _worst_start(subject: BatteryRunSubject) -> Start | None:
    """One with the battery frozen, whatever it would hold otherwise; else that with the least margin."""
    frozen = (each for each in subject.run.starts if each.frozen)
    return next(frozen, subject.run.start)


def is_charged_daily(subject: BatteryRunSubject) -> bool:
    """Whether something of the last day charges it."""
    spans = (each for each in subject.days.spans if each.day == subject.days.days)
    return any(each.change_ah.get(subject.run.name, 0.0) > 0.0 for each in spans)


def sinks_pct(subject: BatteryRunSubject) -> float:
    """Share of its capacity that the last day took more than it brought. [%]"""
    return max(0.0, -100.0 * subject.run.balance_ah_per_day / subject.run.capacity_ah)


def sinks_ah(subject: BatteryRunSubject) -> float:
    """What that is. [Ah]"""
    return max(0.0, -subject.run.balance_ah_per_day)


def cure(subject: BatteryRunSubject) -> str:
    """What cures what fails in the run, where a change was found."""
    return subject.facts.cure


def is_lfp(subject: BatteryRunSubject) -> bool:
    """Whether it is of lithium iron phosphate."""
    return subject.run.chemistry == _LITHIUM


def is_lead(subject: BatteryRunSubject) -> bool:
    """Whether it is a lead battery."""
    return subject.run.chemistry != _LITHIUM


def coldest_charge_c(subject: BatteryRunSubject) -> float | None:
    """Temperature of the coldest span in which something charges it, or would. [degC]"""
    run, name = subject.days, subject.run.name
    found = [each.temperature_c for each in run.spans if each.change_ah.get(name, 0.0) > 0.0]
    if subject.run.cold_charge_span is not None:
        found.append(run.spans[subject.run.cold_charge_span - 1].temperature_c)
    return min(found, default=None)


def coldest_c(subject: BatteryRunSubject) -> float:
    """Temperature of the coldest span. [degC]"""
    return min(each.temperature_c for each in subject.days.spans)


def freezes_below_c(subject: BatteryRunSubject) -> float | None:
    """Temperature at which its electrolyte freezes in its lowest state of the run. [degC]"""
    return subject.run.freezes_below_c


def lowest_state_pct(subject: BatteryRunSubject) -> float:
    """Lowest charge of the run; empty is empty, though a small current gets out more than is rated. [%]"""
    return max(subject.run.lowest_state_pct, 0.0)


def least_state_pct(subject: BatteryRunSubject) -> float:
    """Charge that its kind is not taken below day by day if it is to live long. [%]"""
    return _LEAST_LITHIUM_PCT if is_lfp(subject) else _LEAST_LEAD_PCT
