"""Nothing new hangs on an existing circuit that is for safety, or whose purpose nobody knows.

Why
---
Airbags, brakes and lamps share fuses with harmless things; a tap can blow or wake what must not be touched.

Applies to
----------
New circuits that begin within an existing one.

Known limits
------------
Knows the purpose by the loads that are drawn on it.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="EXI001",
    slug="tap-on-doubtful-circuit",
    topic="tap",
    status=Status.STABLE,
    since="0.1",
    about=About.CIRCUIT,
    level=Level.STOP,
    needs=("taps_existing", "host_name", "host_is_critical", "load_a"),
    only_where=("taps_existing",),
    sources=("own-judgement, nothing is added to a circuit for safety or of unknown purpose",),
    remedy=(
        words("Take the feed from a circuit whose purpose is known and not for safety, or from the battery.")
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    taps_existing: bool,
    host_name: str,
    host_is_critical: bool | None,
    load_a: float | None,
) -> Verdict:
    """Judge one circuit."""
    if not taps_existing:
        return not_applicable("it begins within no existing circuit")
    said = "something" if load_a is None else quantity(load_a, "A")
    if host_is_critical is None:
        return unknown(
            words(
                "it adds {said} to {host_name}, whose purpose is not known: find out what else hangs on it",
                said=said,
                host_name=host_name,
            )
        )
    if host_is_critical:
        return failed(
            words("it adds {said} to {host_name}, whose loss is dangerous", said=said, host_name=host_name)
        )
    return passed(f"it adds {said} to {host_name}, which feeds nothing critical")
