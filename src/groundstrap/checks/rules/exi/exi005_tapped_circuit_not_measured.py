"""What an existing circuit carries is measured before something is added to it.

Why
---
A fuse says what a circuit may carry and not what it does; millivolts over the fuse tell it, without waking
a module.

Applies to
----------
New circuits that begin within an existing one.

Known limits
------------
One reading in one situation is taken as enough.
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
    id="EXI005",
    slug="tapped-circuit-not-measured",
    topic="tapped circuit",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.NOTE,
    needs=(
        "taps_existing",
        "host_name",
        "host_measured",
    ),
    only_where=("taps_existing",),
    sources=("own-judgement, what nobody measured has no spare",),
    remedy=words("Measure the millivolts over its fuse with everything on that it feeds."),
    caution=Caution.NONE,
    never=frozenset({Outcome.FAIL}),
)


def check(
    *,
    taps_existing: bool,
    host_name: str,
    host_measured: bool | None,
) -> Verdict:
    """Judge one circuit."""
    if not taps_existing:
        return not_applicable("it begins within no existing circuit")
    if host_measured is None:
        return unknown(
            words(
                "what {host_name} carries already was not measured: take the millivolts over "
                "its fuse, all on",
                host_name=host_name,
            )
        )
    return passed(f"what {host_name} carries was measured")
