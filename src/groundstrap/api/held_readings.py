"""Readings of a job held against its plan, and what stands against it by them.

Only a job that has readings loads this: most have none, and their plan is to begin at once.
"""

from __future__ import annotations

from groundstrap.checks import run_readings, together
from groundstrap.locate.sheet import judge
from groundstrap.model import Installation
from groundstrap.records import replace
from groundstrap.report.network_bands import wiring_read
from groundstrap.report.plan import Plan

__all__ = ["with_readings"]


def with_readings(plan: Plan, fitted: Installation) -> Plan:
    """Return a plan with its readings held against it, and what they prove among its findings.

    What they say of a load is looked at here, so it is no evidence of what that load takes.

    Parameters
    ----------
    plan : Plan
        What was planned, or only checked.
    fitted : Installation
        The same with a size for everything, to hold the readings against.
    """
    judged = judge(wiring_read(fitted))
    if judged is None:
        return plan
    found = run_readings(plan.installation, plan.vetting, plan.assessment, judged)
    return replace(plan, judged=judged, judgement=together(plan.judgement, found))
