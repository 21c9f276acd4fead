"""A wire's insulation class is not below the hottest air that it lies in.

Why
---
Such insulation ages without any current at all.

Applies to
----------
Every cable.

Known limits
------------
The tops of built-in zones are own judgement; measured ones can be written. Where no insulation is written
the usual one of the basis is assumed, and too low a class of it is no failure of the cable in hand.
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
    below,
    failed,
    passed,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="THM003",
    slug="insulation-below-zone",
    topic="insulation",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.STOP,
    needs=("hottest_zone", "zone_top_c", "insulation_c", "insulation_written"),
    sources=("iso-6722, temperature classes", "own-judgement, a class below the air around it is unsuitable"),
    remedy=words("Use insulation of a higher class there, or lay it another way."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.NOT_APPLICABLE}),
)


def check(
    *,
    hottest_zone: str,
    zone_top_c: float | None,
    insulation_c: float | None,
    insulation_written: bool,
) -> Verdict:
    """Judge one wire."""
    if zone_top_c is None or insulation_c is None:
        return unknown(words("its insulation class or zone is not known: read the print on the cable"))
    told = pair(insulation_c, zone_top_c, "degC")
    if below(insulation_c, zone_top_c) and not insulation_written:
        return unknown(
            told.words(
                "the usual insulation for {value} won't do in {hottest_zone}, which reaches "
                "{limit}: write the class of the cable",
                hottest_zone=hottest_zone,
            ),
            insulation_c,
            zone_top_c,
            "degC",
        )
    if below(insulation_c, zone_top_c):
        return failed(
            told.words(
                "insulation for {value} lies in {hottest_zone}, which reaches {limit}",
                hottest_zone=hottest_zone,
            ),
            insulation_c,
            zone_top_c,
            "degC",
        )
    return passed(
        f"insulation for {told.value} lies in {hottest_zone}, which reaches {told.limit}",
        insulation_c,
        zone_top_c,
        "degC",
    )
