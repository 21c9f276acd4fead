"""No found wire leads from a source's plus to its negative through something that nobody knows.

Why
---
It may be a short that only waits for the next knock, or a load that nobody remembers.

Applies to
----------
Existing circuits without a known load that begin at a source's plus and end on the body or at a negative,
with a part of which nobody knows what it is.

Known limits
------------
The answer reckons as if it held off: a dead short would have burnt. What it takes is not known.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Outcome,
    Rule,
    Status,
    Verdict,
    failed,
    not_applicable,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="EXI006",
    slug="may-be-a-short",
    topic="whether it is a short",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=("may_short",),
    only_where=("may_short",),
    sources=("common-practice, a found wire is followed or made dead before its battery is joined",),
    remedy=words(
        "Find out what it is: follow it, measure ohms with its battery end off. Or cut it off at the battery "
        "and insulate both ends before any other work."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.PASS, Outcome.UNDETERMINED}),
)


def check(*, may_short: bool) -> Verdict:
    """Judge one circuit."""
    if not may_short:
        return not_applicable("it does not lead from a plus to a negative through an unknown part")
    return failed(
        words(
            "it may be a short from plus to negative: nobody knows what is in it; the rest is reckoned as if "
            "nothing flowed in it"
        )
    )
