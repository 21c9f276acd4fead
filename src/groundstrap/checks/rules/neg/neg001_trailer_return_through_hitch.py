"""What a load on a trailer takes comes back by cable, through a pin of its socket.

Why
---
A hitch is greased steel on a pivot: the current comes back through other lamps instead, and a brake pedal
puts the tail lamps out.

Applies to
----------
Circuits that feed a load on a trailer or caravan, or through a trailer socket.

Known limits
------------
Knows a trailer by its socket, or by trailer or caravan in the name of a place.
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
    id="NEG001",
    slug="trailer-return-through-hitch",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.CAUTION,
    needs=(
        "goes_to_trailer",
        "comes_back_by_cable",
    ),
    only_where=("goes_to_trailer",),
    sources=(
        "common-practice, each trailer lamp has a return by cable",
        "iso-1724, pin for the return",
    ),
    remedy=words(
        "Draw its return to the pin that is kept for it, and from there by cable to the battery side."
    ),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    goes_to_trailer: bool,
    comes_back_by_cable: bool,
) -> Verdict:
    """Judge one circuit."""
    if not goes_to_trailer:
        return not_applicable("it feeds nothing on a trailer")
    if comes_back_by_cable:
        return passed("it comes back by cable")
    return failed(
        words("its return has no cable over the hitch: it leads through the coupling or other lamps")
    )
