"""The one verdict on a job: whatever shows one, on paper, on a screen, in a terminal, takes it from here."""

from __future__ import annotations

from groundstrap.checks import Worst, together
from groundstrap.records import replace
from groundstrap.report.endurance import DaysNotRun, EnduranceAnswer
from groundstrap.report.plan import Plan
from groundstrap.vet import Verdict
from groundstrap.words import term, words

__all__ = [
    "claim_verdict_words",
    "days_sign",
    "days_verdict",
    "judged_with",
    "not_run_words",
    "verdict_words",
]

_VERDICTS = {
    Worst.CLEAR: words("Nothing stops this job"),
    Worst.STOP: words("Do not build it like this"),
    Worst.UNDECIDED: words("Not decided, for something that could stop it is not known"),
}
_SHORT = words("less than claimed")
_WIRING_ALONE = words("Nothing stops the wiring of this job, whose days are not run here")


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


def verdict_words(plan: Plan) -> str:
    """Return the verdict on a job as a clause; of one whose day nobody has run, on its wiring alone.

    Parameters
    ----------
    plan : Plan
        What `plan` said, with the findings of its days in where they were run.
    """
    if plan.worst is Worst.CLEAR and plan.days_open:
        return _WIRING_ALONE
    return _VERDICTS[plan.worst]


def not_run_words(plan: Plan) -> str:
    """Return why the days could not be run, as a sentence; empty where they were, or where nobody asked.

    Parameters
    ----------
    plan : Plan
        What `plan` said, with its days.
    """
    return words("Its days could not be run: {why}.", why=plan.days_not_run) if plan.days_not_run else ""


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
        return _VERDICTS[Worst.STOP]
    if any(not start.can and start.asks_known for start in answer.run.starts):
        return words("A start fails in these days")
    if answer.run.cut_offs:
        return words("Not all that runs in these days lasts")
    if answer.worst is Worst.UNDECIDED:
        return _VERDICTS[Worst.UNDECIDED]
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
    failed = any(not start.can and start.asks_known for start in answer.run.starts)
    if failed or answer.run.cut_offs:
        return "caution"
    return (Worst.UNDECIDED if Worst.UNDECIDED in worsts else Worst.CLEAR).value


def claim_verdict_words(verdict: Verdict) -> str:
    """Return what becomes of a claim, for a screen: `short` beside amps would read as a short circuit.

    >>> str(claim_verdict_words(Verdict.SHORT)), str(claim_verdict_words(Verdict.MET))
    ('less than claimed', 'met')
    """
    return _SHORT if verdict is Verdict.SHORT else term(verdict.value)
