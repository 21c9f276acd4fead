"""What is on while the engine cranks keeps enough volts to go on.

Why
---
The starter pulls the battery down for seconds. Routers, displays and controllers on it begin again at each
start, or hang; refrigerators and heaters report a fault, and it is looked for in them.

Applies to
----------
Loads whose `works` is written and that are on through a start: they run before and after it, draw asleep, or
are critical. What a relay, the key or a written `runs` parts while cranking is not asked.

Known limits
------------
Of the starts that go the one that leaves least counts, at the current that the turning engine asks: the first
50 ms, in which the starter stands still, pull lower. Where the starter's current or the battery's `cranking`
is not written, the volts that ISO 16750-2 holds in its starting profile II count, 6.5 V at 12 V and 15 V at
24 V; its fall to 4.5 V or 8 V for 15 ms does not. What a device stores is not known, and a converter is taken
to hold its output.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    below,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="END010",
    slug="resets-while-cranking",
    topic="volts while cranking",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD_RUN,
    level=Level.NOTE,
    needs=(
        "is_on_at_start",
        "is_critical",
        "is_reckoned",
        "left_at_start_v",
        "left_at_start_known",
        "works_low_v",
    ),
    only_where=("is_on_at_start",),
    sources=(
        "own-computation, volts at the load at the starts of the days that were run",
        "iso-16750-2, volts held in starting profile II",
        "own-judgement, profile II and the volts it holds where the start's own are a guess",
    ),
    remedy=words(
        "Feed it from a second battery that is parted while cranking, or through a buffer or dc-dc converter "
        "that holds; or accept it."
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_on_at_start: bool,
    is_critical: bool,
    is_reckoned: bool,
    left_at_start_v: float | None,
    left_at_start_known: bool,
    works_low_v: float | None,
) -> Verdict:
    """Judge one load."""
    if not is_on_at_start or works_low_v is None:
        return not_applicable("it is off at every start, or the volts it works at are not written")
    level = Level.CAUTION if is_critical else Level.NOTE
    if left_at_start_v is None or not is_reckoned:
        return unknown(words("what is left at it while the engine cranks is not known"), level=level)
    told = pair(left_at_start_v, works_low_v, "V")
    compared = (left_at_start_v, works_low_v, "V")
    if not below(left_at_start_v, works_low_v):
        return passed(f"while the engine cranks {told.value} are left; it works from {told.limit}", *compared)
    if left_at_start_known:
        text = told.words(
            "it resets or drops out at a start: {value} are left while the engine cranks; it works from "
            "{limit}"
        )
        return failed(text, *compared, level=level)
    text = told.words(
        "if the battery falls as in profile II of ISO 16750-2 while the engine cranks, {value} are left; it "
        "works from {limit}: write the starter with the current it takes, and the battery's `cranking`"
    )
    return unknown(text, *compared, level=level)
