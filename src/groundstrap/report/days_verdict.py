"""What stands against the days as a part of the one verdict on a job; a plan alone loads nothing of it."""

from __future__ import annotations

from groundstrap.checks import Worst, together
from groundstrap.records import replace
from groundstrap.report.endurance import DaysNotRun, EnduranceAnswer
from groundstrap.report.plan import Plan
from groundstrap.report.verdict import worst_words
from groundstrap.words import words

__all__ = ["days_sign", "days_verdict", "judged_with"]


def judged_with(plan: Plan, days: EnduranceAnswer | DaysNotRun | None) -> Plan:
    """Return a plan with what its days have against it among its findings, or why they could not be run.

    Parameters
    ----------
    plan : Plan
        What `plan` said to the job.
    days : EnduranceAnswer, DaysNotRun or None
        The run of its days; None where there is none, and the plan stays as it is.
    """
    if isinstance(days, DaysNotRun):
        return replace(plan, days_not_run=days.why)
    if days is None:
        return plan
    return replace(plan, judgement=together(plan.judgement, days.judgement), days_judged=True)


def days_verdict(answer: EnduranceAnswer) -> str:
    """Return what the findings of the days amount to; where the job itself is stopped, that first.

    Parameters
    ----------
    answer : EnduranceAnswer
        The run, on the wiring of its plan.
    """
    if answer.plan.worst is Worst.STOP:
        return words("The job itself must not be built as it stands, its plan says why; of the days alone")
    if answer.worst is Worst.STOP:
        return worst_words(Worst.STOP)
    if any(not start.can and start.certain for start in answer.run.starts):
        return words("A start fails in these days")
    if answer.run.cut_offs and not answer.run.starts_all:
        return words("Not all that runs in these days lasts, and a usual engine may not start")
    if answer.run.cut_offs:
        return words("Not all that runs in these days lasts")
    if answer.worst is Worst.UNDECIDED:
        return worst_words(Worst.UNDECIDED)
    if answer.plan.worst is Worst.UNDECIDED:
        return words("Nothing stops these days; of the job itself something that could stop it is not known")
    return words("Nothing stops these days")


def days_sign(answer: EnduranceAnswer) -> str:
    """Return the sign beside that verdict: `stop`, `caution`, `undecided` or `clear`.

    Parameters
    ----------
    answer : EnduranceAnswer
        The run, on the wiring of its plan.
    """
    worsts = {answer.plan.worst, answer.worst}
    if Worst.STOP in worsts:
        return Worst.STOP.value
    failed = any(not start.can and start.certain for start in answer.run.starts)
    if failed or answer.run.cut_offs:
        return "caution"
    return (Worst.UNDECIDED if Worst.UNDECIDED in worsts else Worst.CLEAR).value
