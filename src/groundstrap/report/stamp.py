"""What stands on every sheet of a job that must not be built as it is."""

from __future__ import annotations

from groundstrap.checks import Level, Worst, trees
from groundstrap.report.plan import Plan
from groundstrap.words import plural

__all__ = ["stamp_words"]


def stamp_words(plan: Plan) -> str:
    """Return how many stops stand against a job; empty where there are none."""
    causes = trees(plan.judgement.findings)
    stops = sum(tree.root.decides and tree.level is Level.STOP for tree in causes)
    if plan.worst is not Worst.STOP or not stops:
        return ""
    return plural(
        "Do not build it like this: {count} stop, see the findings.",
        "Do not build it like this: {count} stops, see the findings.",
        stops,
    )
