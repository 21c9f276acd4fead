"""Nothing takes part of a series bank's voltage.

Why
---
The batteries of a bank share one charge: the tapped one is never full, the other is overcharged, and in the
end the weak one is reversed.

Applies to
----------
Circuits that begin or end between two batteries of a bank: out of the lower one, or from plus back to the
middle. What charges one battery alone takes nothing.

Known limits
------------
An equaliser that makes it good can't be written yet: answer for it in a waiver. What is there already is a
caution.
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
from groundstrap.checks.words import quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SUP003",
    slug="tap-on-series-bank",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=("spans_part", "is_existing", "load_a", "tap_v", "bank_v"),
    only_where=("spans_part",),
    sources=("common-practice, no load between the batteries of a bank",),
    remedy=words("Feed it from the whole bank through a converter of its own voltage."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.PASS, Outcome.UNDETERMINED}),
)


def check(
    *,
    spans_part: bool,
    is_existing: bool,
    load_a: float | None,
    tap_v: float | None,
    bank_v: float,
) -> Verdict:
    """Judge one circuit."""
    if not spans_part:
        return not_applicable("it neither begins nor ends between the batteries of a bank")
    tap = words("a part") if tap_v is None else quantity(tap_v, "V")
    amps = "" if load_a is None else words(" {load_a} at", load_a=quantity(load_a, "A"))
    level = Level.CAUTION if is_existing else None
    return failed(
        words(
            "it takes{amps} {tap} out of the middle of a {bank_v} bank",
            amps=amps,
            tap=tap,
            bank_v=quantity(bank_v, "V"),
        ),
        level=level,
    )
