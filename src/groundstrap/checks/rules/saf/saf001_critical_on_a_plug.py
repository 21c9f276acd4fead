"""What must not fail hangs on no plug that only springs hold.

Why
---
A plug in a lighter socket works loose by itself on the first rough road or in the first chop.

Applies to
----------
Loads whose loss is dangerous.

Known limits
------------
Knows the plug that the load came with.
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
    passed,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SAF001",
    slug="critical-on-a-plug",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=(
        "is_critical",
        "spring_plug",
    ),
    only_where=("is_critical",),
    sources=(
        "common-practice, safety equipment is wired in",
        "own-judgement, which plugs only springs hold",
    ),
    remedy=words("Cut the plug off and wire it in with a connector that locks and a fuse of its own."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    is_critical: bool,
    spring_plug: str,
) -> Verdict:
    """Judge one load."""
    if not is_critical:
        return not_applicable("its loss is not dangerous")
    if spring_plug:
        return failed(
            words(
                "its loss is dangerous, and only the springs of a {spring_plug} plug hold it",
                spring_plug=spring_plug,
            )
        )
    return passed("no spring plug of its own holds it")
