"""No single joint that is lost gives a load more volts than it stands, or turns its plus and minus round.

Why
---
Loads on the middle of a bank share its negative. Without that, the volts of the whole bank drive a current
through them in a row, and the weaker one gets most of it.

Applies to
----------
Loads that a lost joint, strap or way back leaves in a row with others.

Known limits
------------
Loads count as resistances, and volts up to 16 V at 12 V as borne where nobody wrote what a load works from.
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
    id="VDP004",
    slug="wrong-volts-when-joint-lost",
    topic="lost negative",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=("astray_joint", "astray_v", "astray_most_v", "astray_certain"),
    only_where=("astray_joint",),
    sources=(
        "own-judgement, one lost joint must not destroy a load",
        "common-practice, 16 V as the highest stage of a charger at 12 V",
    ),
    remedy=(
        words(
            "Feed it from a converter in place of the middle of the bank, or bring its return "
            "straight to the bank's negative post."
        )
    ),
    caution=Caution.LICENSED,
    follows=("SUP003", "SUP004"),
)


def check(
    *,
    astray_joint: str,
    astray_v: float | None,
    astray_most_v: float | None,
    astray_certain: bool | None,
) -> Verdict:
    """Judge one load."""
    if not astray_joint:
        return not_applicable("no lost joint gives it wrong volts")
    if astray_v is None or astray_most_v is None:
        return unknown(words("what it would get is not known: give the loads and cables beside it"))
    if astray_v < 0.0:
        text = words(
            "without {astray_joint} it gets {part} with plus and minus turned round",
            astray_joint=astray_joint,
            part=quantity(-astray_v, "V"),
        )
        return failed(text) if astray_certain else unknown(words("{text}, as far as is known", text=text))
    told = pair(astray_v, astray_most_v, "V")
    text = told.words("without {astray_joint} it gets {value}; it stands {limit}", astray_joint=astray_joint)
    if not above(astray_v, astray_most_v):
        return passed(text, astray_v, astray_most_v, "V")
    if astray_certain is None:
        text += words(": the body's resistance or a size that nobody knows decides")
        return unknown(text, astray_v, astray_most_v, "V", hangs_on=("astray_certain",))
    return failed(text, astray_v, astray_most_v, "V")
