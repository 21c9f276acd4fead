"""What is claimed of a load agrees with what was measured.

Why
---
Wire and fuse that are chosen for a claim suit a load that nobody has.

Applies to
----------
Every claim.

Known limits
------------
Without a reading it stays undecided; what can't be at all has a rule of its own.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="LOD001",
    slug="claim-not-met",
    status=Status.STABLE,
    since="0.1",
    about=About.CLAIM,
    level=Level.CAUTION,
    needs=("verdict", "claim", "why", "was_read", "draws_more"),
    sources=("jcgm-100, combined evidence", "own-judgement, what counts as met"),
    follows=("LOD002",),
    remedy=words("Reckon with what was measured, and take the claim up with whoever made it."),
    caution=Caution.NONE,
)


def check(
    *,
    verdict: str,
    claim: str,
    why: str,
    was_read: bool,
    draws_more: bool,
) -> Verdict:
    """Judge one claim."""
    if verdict == "impossible":
        return not_applicable(f"{claim}: another rule says that it cannot be")
    if verdict == "unproven" and was_read:
        text = words("{claim} is not settled by what was measured: {why}", claim=claim, why=why)
        return unknown(text, level=Level.NOTE)
    if verdict == "unproven":
        return unknown(words("{claim} is unproven: {why}", claim=claim, why=why), level=Level.NOTE)
    if draws_more:
        return failed(words("{claim} is less than it draws: {why}", claim=claim, why=why))
    if verdict == "conflicting":
        return unknown(
            words("{claim} can't be judged, the evidence disagrees with itself: {why}", claim=claim, why=why)
        )
    if verdict == "short":
        return failed(words("{claim} is not met: {why}", claim=claim, why=why))
    return passed(f"{claim} is met: {why}")
