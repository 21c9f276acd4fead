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
from groundstrap.words import words

__all__ = ["RULE", "check"]

_IN_HAND = words("Reckon with what it takes as measured: amps, and the volts at its own leads while it runs.")
"""What to do about a device that is there already: nobody can leave it in the shop."""
_TO_MEASURE = words("Measure amps, and the volts at its own leads while it runs, and reckon with that.")
"""The same where nothing that was read tells it."""

RULE = Rule(
    id="LOD002",
    slug="claim-impossible",
    status=Status.STABLE,
    since="0.1",
    about=About.CLAIM,
    level=Level.CAUTION,
    needs=("verdict", "claim", "why", "is_owned", "is_measured"),
    sources=("iso-8820-3, operating times", "own-judgement, what a plug, fuse or lead lets through"),
    remedy=words("Don't buy, or don't reckon with it; ask for a reading at its own leads."),
    caution=Caution.NONE,
    never=frozenset({Outcome.UNDETERMINED, Outcome.NOT_APPLICABLE}),
)


def check(
    *,
    verdict: str,
    claim: str,
    why: str,
    is_owned: bool | None,
    is_measured: bool,
) -> Verdict:
    """Judge one claim."""
    if verdict == "impossible":
        in_hand = _IN_HAND if is_measured else _TO_MEASURE
        return failed(
            words("{claim} cannot be: {why}", claim=claim, why=why), remedy=in_hand if is_owned else None
        )
    return passed(f"{claim} is not ruled out by what it came with: {why}")
