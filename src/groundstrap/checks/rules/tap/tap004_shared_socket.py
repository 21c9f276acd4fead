"""A socket that several plugs share carries what they take together.

Why
---
Each of them is within what the plug is good for, and the one spring behind them all gets the sum.

Applies to
----------
Connectors with two or more loads behind them that came with a lighter plug.

Known limits
------------
Knows the socket by the plugs that go into it.
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
from groundstrap.words import words

__all__ = ["RULE", "check"]

SHARED: Final = 2
"""Plugs from which on a socket is shared."""

RULE = Rule(
    id="TAP004",
    slug="shared-socket",
    topic="shared socket",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "plugs_behind",
        "known_through_a",
        "through_a",
        "one_socket_a",
    ),
    sources=("common-practice, a lighter socket's contact is good for about 10 A by the hour",),
    remedy=words("Give each a socket of its own with its own fuse, or wire the larger one in."),
    caution=Caution.LICENSED,
    follows=("PLU001", "GER001", "LOD003"),
)


def check(
    *,
    plugs_behind: int,
    known_through_a: float | None,
    through_a: float | None,
    one_socket_a: float,
) -> Verdict:
    """Judge one part."""
    if plugs_behind < SHARED:
        return not_applicable("fewer than two plugs share it")
    if through_a is None and surely_above(known_through_a, one_socket_a):
        through_a = known_through_a
    if through_a is None:
        return unknown(
            words(
                "what the {plugs_behind} plugs take together is not known: measure them",
                plugs_behind=plugs_behind,
            )
        )
    told = pair(through_a, one_socket_a, "A")
    if above(through_a, one_socket_a):
        text: str = told.words(
            "{plugs_behind} plugs take {value} through one socket, above its {limit}",
            plugs_behind=plugs_behind,
        )
        return failed(text, through_a, one_socket_a, "A")
    text = f"{plugs_behind} plugs take {told.value} through one socket, within its {told.limit}"
    return passed(text, through_a, one_socket_a, "A")
