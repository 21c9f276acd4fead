"""What is claimed of a load agrees with what was measured.

Why
---
Wire and fuse that are chosen for a claim suit a load that nobody has.

Applies to
----------
Every claim.

Known limits
------------
Without a reading it stays undecided; what can't be at all has a rule of its own. A load that takes three
quarters of its claim or more is a note: labels are rounded up, and it is that much weaker and no more. Below
that, and from 1.3 times the claim, it is a caution: somebody counts on light, heat or thrust that is not
there, or on a cable and a fuse that were chosen for less. Both limits are own judgement.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    below,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

_LITTLE_PCT = 75.0
"""Of a claim, from where a load that falls short of it is a note; own judgement. [%]"""

RULE = Rule(
    id="LOD001",
    slug="claim-not-met",
    status=Status.STABLE,
    since="0.1",
    about=About.CLAIM,
    level=Level.CAUTION,
    needs=("verdict", "claim", "why", "was_read", "draws_more", "takes_pct"),
    sources=("jcgm-100, combined evidence", "own-judgement, what counts as met, and from where it matters"),
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
    takes_pct: float | None,
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
        little = takes_pct is not None and not below(takes_pct, _LITTLE_PCT)
        text = words("{claim} is not met: {why}", claim=claim, why=why)
        return failed(text, level=Level.NOTE if little else None)
    return passed(f"{claim} is met: {why}")
