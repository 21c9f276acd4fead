"""A cable brings no more heat to a fuse, relay or stud than the part stands.

Why
---
Insulation for 125 degC is sold to run hot; the holder, relay or block at its end is made for 80 to 90,
and the heat comes in through the copper.

Applies to
----------
Loaded cable that ends at a fuse, breaker, switch, relay or stud.

Known limits
------------
A part of unknown limit. Where the air alone is warmer than such parts stand, the place is the matter and not
the cable. The steady temperature of the cable some way from the part, which takes some heat away or adds
its own.
"""

from __future__ import annotations

from functools import partial

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    above,
    below,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="TRM006",
    slug="conductor-hot-at-part",
    topic="heat at the part",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.CAUTION,
    needs=(
        "ends_at_part",
        "part_end",
        "part_end_c",
        "part_air_c",
        "part_least_limit_c",
        "part_most_limit_c",
    ),
    only_where=("ends_at_part",),
    sources=("own-judgement, 80 to 90 degC for a part of unknown limit",),
    follows=("RET001", "MAT001", "THM001", "THM002", "PRT002"),
    remedy=words(
        "Lay thicker cable on the last metre before the part, or fit a part whose data "
        "sheet allows that temperature."
    ),
    caution=Caution.LICENSED,
)


asked = partial(unknown, hangs_on=("part_air_c",))
"""What is not known is the limit of the part."""


def check(
    *,
    ends_at_part: bool,
    part_end: str,
    part_end_c: float | None,
    part_air_c: float | None,
    part_least_limit_c: float | None,
    part_most_limit_c: float | None,
) -> Verdict:
    """Judge one piece of cable."""
    if not ends_at_part or part_least_limit_c is None or part_most_limit_c is None:
        return not_applicable("it brings no current to a part")
    if part_end_c is None or part_air_c is None:
        return unknown(
            words("how warm it gets is not known: its size or its current is missing"), level=Level.NOTE
        )
    told = pair(part_end_c, part_most_limit_c, "degC")
    text = told.words("it brings {value} to {part_end}", part_end=part_end)
    outcome, level = passed, Level.CAUTION
    hot_place = not below(part_air_c, part_least_limit_c)
    if above(part_end_c, part_most_limit_c) and hot_place:
        text += told.words(
            ", with {part_air_c} in the air alone: usual parts end at {limit}, this "
            "one must be made for its place",
            part_air_c=quantity(part_air_c, "degC"),
        )
        outcome, level = asked, Level.NOTE
    elif above(part_end_c, part_most_limit_c):
        text += told.words(", above the {limit} that such a part stands at best")
        outcome = failed
    elif above(part_end_c, part_least_limit_c) and part_end_c < part_most_limit_c and not hot_place:
        text += told.words(
            ", which stands {part_least_limit_c} or {limit}: its data sheet says",
            part_least_limit_c=quantity(part_least_limit_c, "degC"),
        )
        outcome, level = asked, Level.NOTE
    else:
        text += told.words(", within {limit}")
    return outcome(text, part_end_c, part_most_limit_c, "degC", level=level)
