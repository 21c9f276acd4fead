"""No isolator opens the negative of a bank that something taps.

Why
---
With it open, any load of the whole bank that is left on puts its voltage backwards across what hangs on the
tap.

Applies to
----------
Isolators and switches in a battery's negative.

Known limits
------------
Knows taps that are drawn.
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
from groundstrap.checks.words import quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP004",
    slug="isolator-in-tapped-negative",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.STOP,
    needs=("opens_negative", "opens_tapped_negative", "bank_v"),
    only_where=("opens_negative",),
    sources=("own-judgement, an open negative puts the rest of the bank backwards across the tap",),
    remedy=words(
        "Isolate the plus of the bank and of the tap together, or feed the load through a converter."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    opens_negative: bool,
    opens_tapped_negative: bool,
    bank_v: float,
) -> Verdict:
    """Judge one part."""
    if not opens_negative:
        return not_applicable("it opens no battery's negative")
    if opens_tapped_negative:
        return failed(
            words(
                "it opens the negative of a {bank_v} bank that something taps", bank_v=quantity(bank_v, "V")
            )
        )
    return passed("nothing taps the bank whose negative it opens")
