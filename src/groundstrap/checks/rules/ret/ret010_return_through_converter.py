"""A converter's negative takes no more current of other circuits than the converter itself gives.

Why
---
A converter that is not isolated joins the negatives of its input and its output inside. Where the two come
back to different points, it is a bridge between them, and what others send back takes it too: through
terminals and a circuit board that are made for the converter's own current.

Applies to
----------
Converters and chargers that are not isolated.

Known limits
------------
How the current divides hangs on sizes and on the body, which nobody measured: the reckoned share counts. What
the maker allows through the negative beside its own is taken as what the converter gives.
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
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="RET010",
    slug="return-through-converter",
    topic="common negative",
    status=Status.STABLE,
    since="0.1",
    about=About.SUPPLY,
    level=Level.STOP,
    needs=(
        "shares_negative",
        "foreign_a",
        "negative_limit_a",
        "foreign_loads",
        "negative_joins",
    ),
    only_where=("shares_negative", "foreign_loads"),
    sources=(
        "common-practice, input and output of a converter come back to one point",
        "own-judgement, terminals are made for what the converter gives",
    ),
    remedy=(
        words(
            "Bring the negatives of its input and its output back to one point (the same "
            "`return`), or take an isolated converter and write `isolated: yes`."
        )
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    shares_negative: bool,
    foreign_a: float,
    negative_limit_a: float | None,
    foreign_loads: str,
    negative_joins: str,
) -> Verdict:
    """Judge one supply."""
    if not shares_negative or not foreign_loads:
        return not_applicable("it is isolated or no converter, or nothing else comes back through it")
    if negative_limit_a is None:
        text = words(
            "{amps} of {loads} come back through its negative: write its `current`, as its label says",
            amps=quantity(foreign_a, "A"),
            loads=foreign_loads,
        )
        return unknown(text)
    told = pair(foreign_a, negative_limit_a, "A")
    over = above(foreign_a, negative_limit_a)
    text = told.words(
        "{value} of {loads} come back through its negative, which joins {joins}, {side} {limit} that it "
        "gives",
        loads=foreign_loads,
        joins=negative_joins or words("its input and its output"),
        side=words("above") if over else words("within"),
    )
    return (failed if over else passed)(text, foreign_a, negative_limit_a, "A")
