"""A fuse's rating does not exceed what the thinnest piece of its loop may carry.

Why
---
Between the two values a conductor can overheat for hours while the fuse sees nothing wrong. The thinnest
piece is as often the way back or a connector as the wire that was bought for the job.

Applies to
----------
Every fuse and breaker with cable behind it, up to the next one, ways back and connectors included.

The limit is the lowest of what each piece carries for hours and of what its whole curve lets through: a slow
type may hold nearly twice its rating for minutes.

Known limits
------------
Existing cable whose insulation nobody wrote fails only where the best usual one would fail, too. Load's own
lead and the largest fuse that its maker allows have rules of their own. It does not say how fast a short is
cleared.
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
from groundstrap.checks.words import Pair, pair, quantity
from groundstrap.words import Words, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT001",
    slug="fuse-above-loop",
    topic="fuse over its loop",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.STOP,
    needs=(
        "protects_something",
        "fuse_a",
        "loop_limit_a",
        "thinnest",
        "limit_rests_on",
        "sure_limit_a",
        "sure_where",
        "limit_source",
        "opening_unknown",
    ),
    only_where=("protects_something",),
    sources=(
        "own-judgement, a fuse suits the thinnest piece of its loop",
        "iec-60364-5-54, temperatures that insulation stands",
        "vde-0298-4, ampacity of 70 degC cable",
        "cfr-33-183-425, table 5",
        "cfr-33-183-455, (c)",
    ),
    follows=(
        "LOD009",
        "RET001",
        "RET002",
        "THM001",
        "PRT014",
        "PRT007",
        "PRT009",
        "PRT003",
        "PRT004",
        "GER001",
        "PLU001",
        "EXI003",
    ),
    remedy=(
        words(
            "Fit a fuse within the limit, or thicker cable where the loop is thinnest; never a larger fuse."
        )
    ),
    caution=Caution.LICENSED,
)

_LOOP_NOT_KNOWN: Final = words(
    "what its loop may carry is not known: give size, insulation and place of every piece"
)


def check(
    *,
    protects_something: bool,
    fuse_a: float | None,
    loop_limit_a: float | None,
    thinnest: str,
    limit_rests_on: str | None,
    sure_limit_a: float | None,
    sure_where: str | None,
    limit_source: str,
    opening_unknown: str | None,
) -> Verdict:
    """Judge one fuse."""
    if not protects_something:
        return not_applicable("no cable stands behind this fuse")
    if fuse_a is None:
        return unknown(words("its rating is not known: read it off the fuse, or let plan choose one"))
    limit_a, where = (sure_limit_a, sure_where) if loop_limit_a is None else (loop_limit_a, thinnest)
    rests = words(", with {limit_rests_on} assumed", limit_rests_on=limit_rests_on) if limit_rests_on else ""
    if limit_a is not None and surely_above(fuse_a, limit_a, sure_limit_a):
        told = pair(fuse_a, limit_a, "A")
        at_best = words(" even at best") if loop_limit_a is None else ""
        more = {"where": where, "at_best": at_best, "rests": rests}
        text: str = told.words(
            "fuse {value} is above the {limit} that {where} may carry{at_best}{rests}", **more
        )
        return failed(text, fuse_a, limit_a, "A", source=limit_source)
    if opening_unknown:
        text = words("when it opens is not known: {opening_unknown}", opening_unknown=opening_unknown)
        return unknown(text, hangs_on=("opening_unknown",))
    if loop_limit_a is None:
        return unknown(_LOOP_NOT_KNOWN)
    told = pair(fuse_a, loop_limit_a, "A")
    if above(fuse_a, loop_limit_a) and sure_limit_a is not None:
        text = _if_assumed(told, thinnest, rests, quantity(sure_limit_a, "A"))
        rests_on = ("limit_rests_on",)
        return unknown(text, fuse_a, loop_limit_a, "A", source=limit_source, hangs_on=rests_on)
    text = f"fuse {told.value} is within the {told.limit} that {thinnest} may carry{rests}"
    return passed(text, fuse_a, loop_limit_a, "A", source=limit_source)


def _if_assumed(told: Pair, thinnest: str, rests: str, sure: str) -> Words:
    """What is said where the insulation that nobody wrote decides."""
    return told.words(
        "fuse {value} is above the {limit} that {thinnest} may carry{rests}; the best usual insulation would "
        "do up to {sure}: read the print on the cable",
        thinnest=thinnest,
        rests=rests,
        sure=sure,
    )
