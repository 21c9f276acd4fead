"""What is claimed of a load could pass its own plug, fuse and lead, and the fuse where it plugs in.

Why
---
A 500 W claim on a plug behind 15 A can't be true for longer than the fuse takes.

Applies to
----------
Every claim.

Known limits
------------
Impossible only where the fuse would surely open or the lead melt within the time that it runs.
"""

from __future__ import annotations

from groundstrap.checks.rule import About, Caution, Level, Outcome, Rule, Status, Verdict, failed, passed

__all__ = ["RULE", "check"]

RULE = Rule(
    id="LOD002",
    slug="claim-impossible",
    status=Status.STABLE,
    since="0.1",
    about=About.CLAIM,
    level=Level.CAUTION,
    needs=("verdict", "claim", "why"),
    sources=("iso-8820-3, operating times", "own-judgement, what a plug, fuse or lead lets through"),
    remedy="Don't buy, or don't reckon with it; ask for a reading at its own leads.",
    caution=Caution.NONE,
    never=frozenset({Outcome.UNDETERMINED, Outcome.NOT_APPLICABLE}),
)


def check(
    *,
    verdict: str,
    claim: str,
    why: str,
) -> Verdict:
    """Judge one claim."""
    if verdict == "impossible":
        return failed(f"{claim} cannot be: {why}")
    return passed(f"{claim} is not ruled out by what it came with: {why}")
