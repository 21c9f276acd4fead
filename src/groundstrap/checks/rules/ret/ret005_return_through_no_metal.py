"""No current returns through a body that is of no metal.

Why
---
There is no way back: the load does not run, or its current finds one through an antenna, a pump's water or
a brake line.

Applies to
----------
Circuits on the road with an end on the body.

Known limits
------------
Retired: a job file with such a return is refused before any rule is asked. Metal frames under a fibreglass
body are gear of kind chassis, drawn as such.
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
from groundstrap.words import term, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="RET005",
    slug="return-through-no-metal",
    status=Status.RETIRED,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=("carries_on_body", "on_boat", "body", "body_conducts"),
    only_where=("carries_on_body",),
    sources=("own-judgement, fibreglass and wood carry no current",),
    follows=("BOA001",),
    remedy=words("Draw the way back as cable."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    carries_on_body: bool,
    on_boat: bool,
    body: str,
    body_conducts: bool,
) -> Verdict:
    """Judge one circuit."""
    if not carries_on_body or on_boat:
        return not_applicable("it uses no body, or the job is a boat")
    if body_conducts:
        return passed(f"the body is of {body}")
    return failed(words("its current returns through a body of {body}", body=term(body)))
