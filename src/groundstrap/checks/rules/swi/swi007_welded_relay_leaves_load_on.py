"""A heater or motor behind a relay can be switched off by something else too.

Why
---
Relays fail by welding. Then the heater heats and the hoist pulls until somebody finds a spanner.

Applies to
----------
Relays with a heater or motor behind them.

Known limits
------------
Counts any switch, isolator or other relay in the same way, whether one can reach it or not.
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

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SWI007",
    slug="welded-relay-leaves-load-on",
    topic="welded relay",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=("switches_heat_or_motion", "welds_on"),
    sources=("own-judgement, a welded relay must not run a heater or motor on its own",),
    remedy="Fit an isolator before it, within reach of whoever works the load.",
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(*, switches_heat_or_motion: bool, welds_on: str) -> Verdict:
    """Judge one part."""
    if not switches_heat_or_motion:
        return not_applicable("it is no relay with a heater or motor behind it")
    if welds_on:
        return failed(f"if it welds, {welds_on} stays on and nothing else switches it off")
    return passed("if it welds, something else switches its load off")
