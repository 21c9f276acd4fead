"""The drop from source to load and back stays within what is allowed.

Why
---
Lamps dim, pumps slow down and electronics cut out, although the battery's own voltmeter looks fine.

Applies to
----------
Circuits that end at a load, a block, a converter or a battery, and any for which `drop` is written; hot, with
all on that may run.

Known limits
------------
Where the unmeasured body decides, it stays undecided and asks for one reading. What feeds a critical load
stops where it fails, and weighs as much where it is undecided.
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
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="VDP001",
    slug="drop-above-limit",
    topic="drop",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.CAUTION,
    needs=(
        "has_drop",
        "drop_v",
        "known_drop_v",
        "drop_limit_v",
        "drop_reason",
        "drop_source",
        "drop_flips",
        "feeds_critical",
    ),
    only_where=("has_drop",),
    sources=(
        "iso-10133, clause 4.8",
        "abyc-e11, 3 % and 10 %",
        "common-practice, 3 %, 5 % and 10 % on the road",
    ),
    follows=("LOD009", "BOA001", "RET001", "RET002", "MAT001", "THM001", "RET003", "NEG001", "VDP001"),
    remedy=words("Lay thicker cable on the way out or back, or shorten it; see which piece loses most."),
    caution=Caution.LICENSED,
)


def check(
    *,
    has_drop: bool,
    drop_v: float | None,
    known_drop_v: float | None,
    drop_limit_v: float | None,
    drop_reason: str,
    drop_source: str,
    drop_flips: bool,
    feeds_critical: bool,
) -> Verdict:
    """Judge one circuit."""
    if not has_drop:
        return not_applicable("nothing counts a drop on it")
    level = Level.STOP if feeds_critical else None
    known_only = drop_v is None and surely_above(known_drop_v, drop_limit_v)
    lost_v = known_drop_v if known_only else drop_v
    if lost_v is None or drop_limit_v is None:
        text: str = words(
            "its drop is not known: give size and length of every piece, and what its loads take"
        )
        return unknown(text, level=level)
    told = pair(lost_v, drop_limit_v, "V")
    if drop_flips:
        text = told.words("about {value} of {limit}; the body decides: measure its millivolts under load")
        flips = ("drop_flips",)
        return unknown(text, lost_v, drop_limit_v, "V", level=level, source=drop_source, hangs_on=flips)
    what = (
        told.words("{value} lost by the cable of known size alone")
        if known_only
        else told.words("{value} lost out and back")
    )
    if above(lost_v, drop_limit_v):
        text = told.words(
            "{what}, above the {limit} allowed ({drop_reason})", what=what, drop_reason=drop_reason
        )
        return failed(text, lost_v, drop_limit_v, "V", level=level, source=drop_source)
    text = f"{what}, within the {told.limit} allowed ({drop_reason})"
    return passed(text, lost_v, drop_limit_v, "V", source=drop_source)
