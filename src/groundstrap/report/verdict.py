"""The one verdict on a job: whatever shows one, on paper, on a screen, in a terminal, takes it from here."""

from __future__ import annotations

from groundstrap.checks import Worst
from groundstrap.report.plan import Plan
from groundstrap.vet import Verdict
from groundstrap.words import term, words

__all__ = ["claim_verdict_words", "not_run_words", "verdict_words", "worst_words"]

_VERDICTS = {
    Worst.CLEAR: words("Nothing stops this job"),
    Worst.STOP: words("Do not build it like this"),
    Worst.UNDECIDED: words("Not decided, for something that could stop it is not known"),
}
_SHORT = words("less than claimed")
_MORE = words("draws more than claimed")
_WIRING_ALONE = words("Nothing stops the wiring of this job, whose days are not run here")


def worst_words(worst: Worst) -> str:
    """Return what findings amount to as a clause.

    Parameters
    ----------
    worst : Worst
        What they amount to.
    """
    return _VERDICTS[worst]


def verdict_words(plan: Plan) -> str:
    """Return the verdict on a job as a clause; of one whose day nobody has run, on its wiring alone.

    Parameters
    ----------
    plan : Plan
        What `plan` said, with the findings of its days in where they were run.
    """
    if plan.worst is Worst.CLEAR and plan.days_open:
        return _WIRING_ALONE
    return worst_words(plan.worst)


def not_run_words(plan: Plan) -> str:
    """Return why the days could not be run, as a sentence; empty where they were, or where nobody asked.

    Parameters
    ----------
    plan : Plan
        What `plan` said, with its days.
    """
    return words("Its days could not be run: {why}.", why=plan.days_not_run) if plan.days_not_run else ""


def claim_verdict_words(verdict: Verdict, *, draws_more: bool = False) -> str:
    """Return what becomes of a claim, for a screen: `short` beside amps would read as a short circuit.

    >>> str(claim_verdict_words(Verdict.SHORT)), str(claim_verdict_words(Verdict.MET))
    ('less than claimed', 'met')
    """
    if draws_more:
        return _MORE
    return _SHORT if verdict is Verdict.SHORT else term(verdict.value)
