"""Loads, batteries, sources and meters are by the readings what the plan says.

Why
---
What was chosen rests on them: a load that takes twice as much has a fuse and a cable that were chosen for
another one, and a meter that shows a tenth too much makes every joint look bad.

Applies to
----------
Things that the readings prove to be off, with everything else as planned.

Known limits
------------
A battery's volts say how full it is no better than its rest was long. What draws without a name is known by
the point that it hangs at alone.
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
)
from groundstrap.checks.words import borne_out, number, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

_WHATS = {
    "load off its rating": words("by the readings it draws, as times of what the plan says,"),
    "battery resistance off": words("by the readings its resistance is, as times of what the plan says,"),
    "meter off": words("by the readings it shows, as times of what is there,"),
    "battery volts off": words("by the readings its rested volts are off the plan's by"),
    "source off its setpoint": words("by the readings its setpoint is off the plan's by"),
    "unknown draw": words("by the readings something draws here that nobody wrote:"),
}
_UNITS = {"battery volts off": "V", "source off its setpoint": "V", "unknown draw": "A"}
_REMEDIES = {
    "load off its rating": words(
        "Read its amps and volts together, write what it takes as `measured`, and plan again before it is "
        "used."
    ),
    "battery volts off": words("Charge it fully, let it rest for some hours, and read again."),
    "battery resistance off": words("Charge it fully, let it rest, and load it: a weak one is changed."),
    "source off its setpoint": words("Read at its own terminals, and write its setpoint into the job."),
    "unknown draw": words("Find what draws there: clamp one cable after another, then write it as a load."),
    "meter off": words("Change its battery, zero the clamp, and read one known voltage before all else."),
}

RULE = Rule(
    id="TST005",
    slug="thing-off-its-plan",
    topic="load or source by the readings",
    status=Status.STABLE,
    since="0.1",
    about=About.PROOF,
    level=Level.CAUTION,
    needs=(
        "is_thing",
        "proven_kind",
        "size_times",
        "least_times",
        "most_times",
        "as_well",
        "one_reading",
    ),
    only_where=("is_thing",),
    sources=(
        "own-computation, least squares on the network with what is known of each part before",
        "own-judgement, what the readings prove is told",
    ),
    remedy=words("Read at its own terminals, and write what was found into the job."),
    caution=Caution.DISCONNECT,
    never=frozenset({Outcome.UNDETERMINED, Outcome.PASS}),
)


def check(
    *,
    is_thing: bool,
    proven_kind: str,
    size_times: float,
    least_times: float,
    most_times: float,
    as_well: str,
    one_reading: str,
) -> Verdict:
    """Judge one thing."""
    if not is_thing:
        return not_applicable("it is a place, or a reading itself")
    ends = (size_times, least_times, most_times)
    unit = _UNITS.get(proven_kind)
    size, low, high = (number(each) if unit is None else quantity(each, unit) for each in ends)
    what = _WHATS[proven_kind]
    text = words("{what} {size} ({low} to {high})", what=what, size=size, low=low, high=high)
    text = borne_out(text, as_well=as_well, one_reading=one_reading)
    return failed(text, remedy=_REMEDIES[proven_kind])
