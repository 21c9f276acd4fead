"""A heater or motor behind a relay can be switched off by something else, and its cable stands it till then.

Why
---
Relays fail by welding. Then the heater heats and the hoist pulls until somebody finds a spanner, and cable
that was sized for short runs gets no pause.

Applies to
----------
Relays with a heater or motor behind them.

Known limits
------------
Counts any switch, isolator, breaker or other relay in the same way, whether one can reach it or not.
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
    failed,
    not_applicable,
    passed,
)
from groundstrap.checks.words import duration, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SWI007",
    slug="welded-relay-leaves-load-on",
    topic="welded relay",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=("switches_heat_or_motion", "welds_on", "welds_motion", "weld_after_s", "weld_limit_c"),
    only_where=("switches_heat_or_motion",),
    sources=(
        "own-judgement, a welded relay must not run a heater or motor on its own",
        "iec-60364-5-54, limits of a short circuit",
        "iso-6722, class + 50 K for six hours",
    ),
    remedy=words("Fit an isolator before it, within reach of whoever works the load."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    switches_heat_or_motion: bool,
    welds_on: str,
    welds_motion: bool,
    weld_after_s: float | None,
    weld_limit_c: float | None,
) -> Verdict:
    """Judge one part."""
    if not switches_heat_or_motion:
        return not_applicable("it is no relay with a heater or motor behind it")
    hot = ""
    if weld_after_s is not None and weld_limit_c is not None:
        reached = quantity(weld_limit_c, "degC")
        hot = words(
            "its cable is past {reached} in {weld_after_s} with no fuse to open",
            reached=reached,
            weld_after_s=duration(weld_after_s),
        )
    if welds_on:
        text = words("if it welds, {welds_on} stays on and nothing else switches it off", welds_on=welds_on)
        level = Level.STOP if hot else Level.CAUTION if welds_motion else Level.NOTE
        return failed(words("{text}; {hot}", text=text, hot=hot) if hot else text, level=level)
    if hot:
        return failed(words("if it welds, {hot}: open what is before it at once", hot=hot))
    return passed("if it welds, something else switches its load off")
