"""A bilge pump or alarm hangs ahead of the isolator, with a fuse of its own.

Why
---
The boat that was left with the isolator open is the one that sinks.

Applies to
----------
On boats: pumps in the bilge, and loads with bilge or alarm in their name.

Known limits
------------
It knows them by kind, place and name.
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
    id="BOA002",
    slug="bilge-behind-isolator",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.STOP,
    needs=("guards_a_boat", "ahead_of_isolator"),
    only_where=("guards_a_boat",),
    sources=(
        "iso-10133, what may stay live with the isolator open, clause from memory",
        "own-judgement, a bilge pump has its own fuse ahead of the isolator",
    ),
    remedy=words("Feed it from the battery side of the isolator through a fuse of its own."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    guards_a_boat: bool,
    ahead_of_isolator: bool,
) -> Verdict:
    """Judge one load."""
    if not guards_a_boat:
        return not_applicable("it is no bilge pump and no alarm of a boat")
    if ahead_of_isolator:
        return passed("it hangs ahead of the isolator with a fuse of its own")
    return failed(words("no circuit of it reaches the battery ahead of the isolator with a fuse of its own"))
