"""A fuse holds when what is behind it starts.

Why
---
Motors, lamps and capacitors take many times their running current for a moment. A fuse that opens on it is
made larger by the next person, and then it no longer saves the wire.

Applies to
----------
Every fuse and breaker of known rating with loads behind it that start so: what one contact switches on
together, beside everything else that may run.

Known limits
------------
A written `inrush` must lie within the least times that the gates promise. Where none is written the middle
of what such loads do is laid against the middle of the band. The fuse is taken as cold when the start begins,
and volts are taken to stand.
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
    id="STA001",
    slug="fuse-opens-on-start",
    topic="start of a load",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.CAUTION,
    needs=(
        "has_starts",
        "starts_what",
        "start_peak_a",
        "start_used_pct",
        "start_usual_pct",
        "start_most_pct",
        "start_written",
        "feeds_critical",
    ),
    only_where=("has_starts",),
    sources=(
        "iso-8820-3, least operating times",
        "handbook-motor-vehicle, starting currents of motors, from memory",
        "own-judgement, shares of the least time added up",
    ),
    follows=("PRT002", "LOD001", "LOD003", "PRT014", "THM001"),
    remedy=words(
        "Fit a slower type, or a larger rating where wires and leads allow it, or start loads one by one."
    ),
    caution=Caution.LICENSED,
)

_WHOLE_PCT = 100.0


def check(
    *,
    has_starts: bool,
    starts_what: str,
    start_peak_a: float | None,
    start_used_pct: float | None,
    start_usual_pct: float | None,
    start_most_pct: float | None,
    start_written: bool,
    feeds_critical: bool,
) -> Verdict:
    """Judge one fuse."""
    if not has_starts or start_peak_a is None:
        return not_applicable("nothing behind it takes more at its start than running")
    told = words(
        "when {starts_what} starts, {start_peak_a} flow for a moment",
        starts_what=starts_what,
        start_peak_a=quantity(start_peak_a, "A"),
    )
    if start_used_pct is None or start_usual_pct is None:
        text = words("{told}, and no gate says how long this fuse holds: its maker's `curve` does", told=told)
        return unknown(text, level=Level.NOTE)
    if start_written:
        return _written(told, start_used_pct, critical=feeds_critical)
    used = pair(start_usual_pct, _WHOLE_PCT, "%")
    text = used.words(
        "{told}, {value} of what such fuses usually hold; from {limit} on most of them open", told=told
    )
    if above(start_usual_pct, _WHOLE_PCT):
        text += words("; nobody wrote `inrush`, so the middle of what such loads do counts")
        return failed(text, start_usual_pct, _WHOLE_PCT, "%", source="own-judgement")
    most_pct = max(start_used_pct, start_most_pct or 0.0)
    if feeds_critical and above(most_pct, _WHOLE_PCT):
        most = pair(most_pct, _WHOLE_PCT, "%")
        text = most.words(
            "{told}; with a harder start or a quick fuse up to {value} of what it holds for sure, and from "
            "{limit} on it may open: read the peak with a clamp that holds it, and write `inrush`",
            told=told,
        )
        return unknown(text, most_pct, _WHOLE_PCT, "%", level=Level.NOTE)
    return passed(text, start_usual_pct, _WHOLE_PCT, "%")


def _written(told: str, used_pct: float, *, critical: bool) -> Verdict:
    """A start that somebody wrote: the fuse must hold it for sure."""
    used = pair(used_pct, _WHOLE_PCT, "%")
    text = used.words("{told}, {value} of what it holds for sure; from {limit} on it may open", told=told)
    if above(used_pct, _WHOLE_PCT):
        return failed(text, used_pct, _WHOLE_PCT, "%", level=Level.STOP if critical else None)
    return passed(text, used_pct, _WHOLE_PCT, "%")
