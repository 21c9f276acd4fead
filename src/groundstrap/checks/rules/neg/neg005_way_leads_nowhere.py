"""Both ways of a circuit, out and back, lead to a source.

Why
---
A bus that is drawn and joined to nothing closes no circuit: the load does not run, its current is missing in
every sum, and what is chosen for it is chosen for no current. Built like this, it works through whatever
metal it happens to touch.

Applies to
----------
New circuits that lead to a load or to a converter's input, or begin at a charger's or converter's output,
all switches taken as closed.

Known limits
------------
Circuits that end at one such point are one finding, at the first of them. What leads on to parts that are in
the vehicle already counts as fed, for nobody draws all of those.
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
from groundstrap.words import Words, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="NEG005",
    slug="way-leads-nowhere",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=(
        "serves_something",
        "as_found",
        "charges_nothing",
        "unfed",
        "unfed_told_at",
        "way_that_ends",
        "starts_at",
        "comes_back_to",
    ),
    only_where=("serves_something",),
    sources=("own-judgement, what is listed is drawn",),
    remedy=words(
        "Draw the cable that joins this point to the battery, or bring the circuit to one that is joined."
    ),
    caution=Caution.DISCONNECT,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    serves_something: bool,
    as_found: bool,
    charges_nothing: bool,
    unfed: str,
    unfed_told_at: str,
    way_that_ends: str,
    starts_at: str,
    comes_back_to: str,
) -> Verdict:
    """Judge one circuit."""
    if not serves_something:
        return not_applicable("it leads to no load and no converter, and begins at none")
    if as_found:
        return not_applicable("it is there already, or a way of it is not known: nobody draws all of that")
    if not unfed:
        return passed("its ways out and back lead to a source")
    if unfed_told_at:
        return not_applicable("the point where it ends is told of at another circuit")
    if charges_nothing:
        return failed(_charges_nothing(starts_at, comes_back_to, unfed))
    return failed(_feeds_nothing(way_that_ends, starts_at, comes_back_to, unfed))


def _charges_nothing(starts_at: str, comes_back_to: str, unfed: str) -> Words:
    return words(
        "no way leads from {starts_at} through anything that takes current and back to {comes_back_to}: "
        "{unfed} charges nothing",
        starts_at=starts_at,
        comes_back_to=comes_back_to,
        unfed=unfed,
    )


def _feeds_nothing(way_that_ends: str, starts_at: str, comes_back_to: str, unfed: str) -> Words:
    if way_that_ends == "back":
        return words(
            "{comes_back_to} leads to no battery's minus: nothing feeds {unfed}",
            comes_back_to=comes_back_to,
            unfed=unfed,
        )
    if way_that_ends == "out":
        return words(
            "{starts_at} leads to no battery's plus: nothing feeds {unfed}",
            starts_at=starts_at,
            unfed=unfed,
        )
    return words(
        "{starts_at} and {comes_back_to} do not lead to plus and minus of one source for {unfed}",
        starts_at=starts_at,
        comes_back_to=comes_back_to,
        unfed=unfed,
    )
