"""The size of existing cable is known.

Why
---
What hangs on it can't be judged: ampacity, fuse and drop stay undecided.

Applies to
----------
Cable that is in the vehicle already.

Known limits
------------
The print on the cable may be an outside diameter.
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
    not_applicable,
    passed,
    unknown,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="EXI002",
    slug="existing-size-unknown",
    topic="size",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.NOTE,
    needs=("is_existing", "size_known"),
    only_where=("is_existing",),
    sources=("own-judgement, what nobody measured is not guessed",),
    remedy=(
        words("Count the strands and measure one, or measure millivolts over a known length at known amps.")
    ),
    caution=Caution.NONE,
    never=frozenset({Outcome.FAIL}),
)


def check(
    *,
    is_existing: bool,
    size_known: bool | None,
) -> Verdict:
    """Judge one wire."""
    if not is_existing:
        return not_applicable("it is new")
    if size_known is None:
        return unknown(words("its size is not known: count the strands and measure one"))
    return passed("its size is known")
