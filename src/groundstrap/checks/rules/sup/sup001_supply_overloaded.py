"""A supply that gives only so much is not asked for more.

Why
---
A converter at its limit folds back, an alternator with no battery lets its volts fall, a battery's own
protection parts it from everything.

Applies to
----------
Converters with loads, batteries whose own protection is written, and alternators with no battery beside them:
where there is one, it gives what the alternator can't, and the rule on discharging judges that.

Known limits
------------
No diversity is reckoned: whatever may run together does.
"""

from __future__ import annotations

from typing import Final

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    above,
    failed,
    not_applicable,
    passed,
    surely_above,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import term, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP001",
    slug="supply-overloaded",
    topic="load on the supply",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.CAUTION,
    needs=("limits_itself", "kind", "asked_a", "known_asked_a", "gives_a", "gives_most_a"),
    only_where=("limits_itself",),
    sources=(
        "iso-8854, rated and idle output",
        "maker-appliance-data, converters",
        "own-judgement, everything on that may run",
    ),
    remedy=words("Run fewer loads together, name what excludes what, or fit a larger one."),
    caution=Caution.NONE,
)

_NOT_KNOWN: Final = words(
    "what it gives or what is asked of it is not known: give its rating and its loads' currents"
)


def check(
    *,
    limits_itself: bool,
    kind: str,
    asked_a: float | None,
    known_asked_a: float | None,
    gives_a: float | None,
    gives_most_a: float | None,
) -> Verdict:
    """Judge one supply."""
    if not limits_itself:
        return not_applicable("it has no limit of its own, or a battery stands beside it")
    if asked_a is None and surely_above(known_asked_a, gives_a, gives_most_a):
        asked_a = known_asked_a
    if asked_a is None or gives_a is None:
        return unknown(_NOT_KNOWN)
    told = pair(asked_a, gives_a, "A")
    if above(asked_a, gives_a) and gives_most_a is not None and not above(asked_a, gives_most_a):
        return unknown(
            told.words(
                "its loads take {value} together, above the {limit} of a usual {kind}; its own "
                "is not written: read its rating off it",
                kind=term(kind),
            ),
            asked_a,
            gives_a,
            "A",
            hangs_on=("gives_most_a",),
        )
    if above(asked_a, gives_a):
        return failed(
            told.words("its loads take {value} together; this {kind} gives {limit}", kind=term(kind)),
            asked_a,
            gives_a,
            "A",
        )
    return passed(
        f"its loads take {told.value} together; this {kind} gives {told.limit}", asked_a, gives_a, "A"
    )
