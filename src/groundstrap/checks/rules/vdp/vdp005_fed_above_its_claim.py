"""A load of which nobody wrote what it stands is fed the volts that its claims are for, not twice as many.

Why
---
A 12 V lamp or radio on a 24 V net takes two to four times its power. It burns out, and may set fire to what
is beside it.

Applies to
----------
Loads without `works`, where a claim names its volts or nobody wrote what the converter before them gives.

Known limits
------------
Volts up to 16 V at 12 V count as borne. A claim for more volts than it gets is no matter of this rule.
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
    id="VDP005",
    slug="fed-above-its-claim",
    topic="volts of its label",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.STOP,
    needs=("goes_by_claims", "unset_converter", "claimed_v", "claim_stands_v", "runs_at_v"),
    only_where=("goes_by_claims",),
    sources=(
        "own-judgement, a claim's volts are those that a load is made for, until somebody writes `works`",
        "common-practice, 16 V as the highest stage of a charger at 12 V",
    ),
    remedy=words(
        "Feed it from a converter to its own volts, with its `setpoint` written. Where its label names more "
        "volts, such as 12 to 24 V, write them as `works`."
    ),
    caution=Caution.LICENSED,
)

_FAR = 16.0 / 12.0
"""A claim for so much more than it gets is one for another net; own judgement. [1]"""


def check(
    *,
    goes_by_claims: bool,
    unset_converter: str,
    claimed_v: float | None,
    claim_stands_v: float | None,
    runs_at_v: float | None,
) -> Verdict:
    """Judge one load."""
    if not goes_by_claims:
        return not_applicable("its voltage range is written, or no claim names its volts")
    if claimed_v is None or claim_stands_v is None:
        return unknown(_unset(unset_converter), hangs_on=("claimed_v",), level=Level.CAUTION)
    if runs_at_v is None:
        return unknown(words("the volts that it runs at are not known: write what it takes"))
    told = pair(runs_at_v, claim_stands_v, "V")
    is_other = above(runs_at_v, claim_stands_v) or above(claimed_v, _FAR * runs_at_v)
    if unset_converter and is_other:
        text = words(
            "{converter}, and its claim is for {claimed}",
            converter=_unset(unset_converter),
            claimed=quantity(claimed_v, "V"),
        )
        return unknown(text, hangs_on=("runs_at_v",))
    if above(runs_at_v, claim_stands_v):
        text = told.words(
            "it gets up to {value}, and its claim is for {claimed}: what is made for that stands {limit}",
            claimed=quantity(claimed_v, "V"),
        )
        return failed(text, runs_at_v, claim_stands_v, "V")
    return passed(
        told.words("it gets up to {value}; what is made for its claim stands {limit}"),
        runs_at_v,
        claim_stands_v,
        "V",
    )


def _unset(converter: str) -> str:
    return words("nobody wrote what volts {name} gives: write its `setpoint`", name=converter)
