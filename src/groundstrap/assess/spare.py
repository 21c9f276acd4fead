"""Of which existing circuits it may be told what they could carry more."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from groundstrap.model import FUSES, Circuit, Installation, Load, State

__all__ = ["SAFETY", "current_was_read", "loads_were_read", "may_be_told"]

SAFETY: Final = re.compile(
    r"\b(air ?bags?|restraints?|seat ?belts?|abs|anti-?lock|brak(?:e|es|ing)|stop (?:lamps?|lights?)|"
    r"steering|stability|engine (?:control|management|computer)|ecu|ecm|injectors?|injection|ignition coils?|"
    r"fuel pumps?|t[iy]re pressure|immobili[sz]er|hazard (?:lamps?|lights?|warning))\b",
    re.IGNORECASE,
)
"""Names that tell of what lives hang on; the words are common practice."""


def current_was_read(installation: Installation, circuit: Circuit) -> bool:
    """Whether somebody read a current in the circuit, or millivolts over one of its fuses."""
    own = {circuit.name, *(part.name for part in circuit.parts), *(part.gear for part in circuit.parts)}
    over = {frozenset((part.start, part.end)) for part in circuit.parts if part.kind in FUSES}
    values = [value for taken in installation.readings for value in taken.values]
    return any(
        value.through in own if value.kind == "current" else {value.red, value.black} in over
        for value in values
        if value.kind != "temperature"
    )


def loads_were_read(installation: Installation, loads: Sequence[Load]) -> bool:
    """Whether of each of these loads, and there are some, somebody measured what it takes."""
    values = (value for taken in installation.readings for value in taken.values)
    read = {value.through for value in values if value.kind == "current"}
    return bool(loads) and all(load.measured or load.name in read for load in loads)


def may_be_told(installation: Installation, circuit: Circuit, loads: Sequence[Load]) -> bool:
    """Whether what a circuit carries is known by measuring, and nothing about it is for safety.

    Somebody wrote it as `carries`, read it, or measured each load that is there already. Loads that are new
    count by their estimates: nobody can measure them yet.
    """
    names = {circuit.name, *(part.name for part in circuit.parts), *(load.name for load in loads)}
    if any(load.critical for load in loads) or any(map(SAFETY.search, names)):
        return False
    if circuit.carries_a is not None or current_was_read(installation, circuit):
        return True
    return loads_were_read(installation, [load for load in loads if load.state is State.EXISTING])
