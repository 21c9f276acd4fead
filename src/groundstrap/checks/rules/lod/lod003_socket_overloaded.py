"""A plug or an existing fuse is not asked for more than it is good for as long as the load runs.

Why
---
A spring contact at 10 A and a tenth of an ohm turns 10 W into heat in a thimble of plastic.

Applies to
----------
Loads with a plug, and loads behind a fuse that is in the vehicle already.

Known limits
------------
What else hangs behind the same existing fuse is judged at the fuse.
"""

from __future__ import annotations

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
    unknown,
)
from groundstrap.checks.words import NOT_THE_SPOT, pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="LOD003",
    slug="socket-overloaded",
    topic="socket",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=("in_a_socket", "socket", "socket_a", "socket_limit_a"),
    only_where=("in_a_socket",),
    sources=(
        "common-practice, a lighter socket's contact is good for about 10 A by the hour",
        "own-judgement, how long a run heats a contact through",
    ),
    follows=("LOD002",),
    remedy=words("Wire it in with a connector that locks and a fuse of its own.") + NOT_THE_SPOT,
    caution=Caution.LICENSED,
)


def check(
    *,
    in_a_socket: bool,
    socket: str,
    socket_a: float | None,
    socket_limit_a: float | None,
) -> Verdict:
    """Judge one load."""
    if not in_a_socket:
        return not_applicable("it has no plug and no existing fuse before it")
    if socket_a is None or socket_limit_a is None:
        return unknown(words("what passes {socket} is not known: measure the load's current", socket=socket))
    told = pair(socket_a, socket_limit_a, "A")
    if above(socket_a, socket_limit_a):
        return failed(
            told.words("{value} through {socket}, above the {limit} that it is good for", socket=socket),
            socket_a,
            socket_limit_a,
            "A",
        )
    return passed(
        f"{told.value} through {socket}, within the {told.limit} that it is good for",
        socket_a,
        socket_limit_a,
        "A",
    )
