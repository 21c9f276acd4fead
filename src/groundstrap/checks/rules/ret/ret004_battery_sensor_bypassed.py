"""Nothing is joined to a battery's negative post past the sensor that stands there.

Why
---
What the sensor does not see it takes for a fault: the vehicle believes the battery is empty, stores
charging faults and switches start-stop off.

Applies to
----------
Circuits that meet a battery's negative post with a sensor or shunt at it.

Known limits
------------
A sensor that nobody drew is not known.
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
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="RET004",
    slug="battery-sensor-bypassed",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.CAUTION,
    needs=("beside_sensor", "passes_sensor", "sensor_post"),
    only_where=("beside_sensor",),
    sources=("common-practice, grounds go to the body side of a battery sensor",),
    remedy=words("Move the connection to the body side of the sensor."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    beside_sensor: bool,
    passes_sensor: bool,
    sensor_post: str,
) -> Verdict:
    """Judge one circuit."""
    if not beside_sensor:
        return not_applicable("it meets no negative post that a sensor stands at")
    if passes_sensor:
        return passed(f"its way to {sensor_post} leads through the sensor")
    return failed(
        words(
            "it is joined to {sensor_post} itself, past the sensor that stands there", sensor_post=sensor_post
        )
    )
