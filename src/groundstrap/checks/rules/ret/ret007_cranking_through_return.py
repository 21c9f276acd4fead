"""No strap that is lost sends the starter's current through the return of an accessory.

Why
---
A starter takes hundreds of amperes whatever the way, and the thin return is red-hot before the key is let go.

Applies to
----------
Cable that some single failure brings more current while cranking.

Known limits
------------
The starter is taken as a resistance of its running current; at standstill it takes more. A start lasts 30 s
at most.
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
from groundstrap.checks.words import duration, pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="RET007",
    slug="cranking-through-return",
    topic="lost strap while cranking",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.STOP,
    needs=(
        "cranking_part",
        "cranking_a",
        "cranking_after_s",
        "cranking_limit_c",
        "cranking_saved_by",
        "cranking_certain",
        "ampacity_a",
    ),
    only_where=("cranking_part",),
    sources=(
        "own-judgement, one lost strap must not overheat another cable",
        "iec-60364-5-54, limits of a short circuit",
        "iso-6722, class + 50 K for six hours",
    ),
    remedy=(
        words(
            "Bring accessories on the engine back to the engine alone, or fit a second strap "
            "from engine to body that carries the starter."
        )
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    cranking_part: str,
    cranking_a: float | None,
    cranking_after_s: float | None,
    cranking_limit_c: float | None,
    cranking_saved_by: str,
    cranking_certain: bool | None,
    ampacity_a: float | None,
) -> Verdict:
    """Judge one wire."""
    if not cranking_part:
        return not_applicable("no single failure sends it more than it stands while cranking")
    if cranking_a is None or ampacity_a is None:
        return unknown(words("what it would carry is not known: give size, insulation and place"))
    told = pair(cranking_a, ampacity_a, "A")
    text = told.words(
        "if {cranking_part} while cranking, it takes {value}; it carries {limit}", cranking_part=cranking_part
    )
    if cranking_saved_by or not above(cranking_a, ampacity_a):
        saved = (
            words(", and {cranking_saved_by} opens in time", cranking_saved_by=cranking_saved_by)
            if cranking_saved_by
            else ""
        )
        return passed(f"{text}{saved}", cranking_a, ampacity_a, "A")
    if cranking_after_s is not None and cranking_limit_c is not None:
        text += words(
            " and is past {cranking_limit_c} in {cranking_after_s}",
            cranking_limit_c=quantity(cranking_limit_c, "degC"),
            cranking_after_s=duration(cranking_after_s),
        )
    if cranking_certain is None:
        text += words(": the body's resistance or a size that nobody knows decides")
        return unknown(text, cranking_a, ampacity_a, "A", level=Level.CAUTION, hangs_on=("cranking_certain",))
    return failed(text, cranking_a, ampacity_a, "A")
