"""A wire carries its continuous current within its ampacity where it lies.

Why
---
Insulation above its class turns brittle in months, in hot places and bundles first.

Applies to
----------
Every cable that a load's or charger's current passes, by the loads' duty.

Known limits
------------
Existing cable whose insulation nobody wrote fails only where the best usual one would fail, too. The tables
hold for their stated conditions; physics may lower them and never raises them.
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
    surely_above,
    unknown,
)
from groundstrap.checks.words import READ_THE_PRINT, pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="THM001",
    slug="wire-over-ampacity",
    topic="ampacity",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.STOP,
    needs=(
        "carries_current",
        "heating_a",
        "known_heating_a",
        "ampacity_a",
        "ampacity_best_a",
        "insulation_suits",
        "weakest_zone",
        "ampacity_source",
    ),
    only_where=("carries_current",),
    sources=("cfr-33-183-425, table 5 and notes", "vde-0298-4, recommended ampacity"),
    follows=("LOD009", "THM003", "RET001", "RET002", "MAT001", "EXI001"),
    remedy=(
        words(
            "Lay thicker cable, take it out of the bundle or the heat, or use insulation of a higher class."
        )
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    carries_current: bool,
    heating_a: float | None,
    known_heating_a: float | None,
    ampacity_a: float | None,
    ampacity_best_a: float | None,
    insulation_suits: bool | None,
    weakest_zone: str,
    ampacity_source: str | None,
) -> Verdict:
    """Judge one wire."""
    if not carries_current:
        return not_applicable("no load's current passes it")
    amps = known_heating_a if heating_a is None else heating_a
    limit_a = ampacity_best_a if ampacity_a is None else ampacity_a
    if amps is not None and limit_a is not None and surely_above(amps, limit_a, ampacity_best_a):
        told = pair(amps, limit_a, "A")
        at_best = words(" even with the best usual insulation") if ampacity_a is None else ""
        more = {"at_best": at_best, "zone": weakest_zone}
        text: str = told.words("{value} is above the {limit} that it may carry{at_best} in {zone}", **more)
        return failed(text, amps, limit_a, "A", source=ampacity_source)
    if heating_a is None:
        return unknown(words("its current is not known: give what its loads take, and its size"))
    if ampacity_a is None and insulation_suits is False:
        return not_applicable("its insulation does not stand the place at all, which has a rule of its own")
    if ampacity_a is None:
        text = words("its ampacity in {zone} is not known: give its size and insulation", zone=weakest_zone)
        return unknown(text)
    told = pair(heating_a, ampacity_a, "A")
    if above(heating_a, ampacity_a):
        text = told.words(
            "{value} is above the {limit} that it may carry in {zone} {look}",
            zone=weakest_zone,
            look=READ_THE_PRINT,
        )
        best = ("ampacity_best_a",)
        return unknown(text, heating_a, ampacity_a, "A", source=ampacity_source, hangs_on=best)
    text = f"{told.value} is within the {told.limit} that it may carry in {weakest_zone}"
    return passed(text, heating_a, ampacity_a, "A", source=ampacity_source)
