"""Loads of a boat that its standards hold to a small drop, known by name or kind."""

from __future__ import annotations

import re
from typing import Final

from groundstrap.model import Assumption, Basis, Installation, Load, LoadKind, State
from groundstrap.tables import allowed_drop
from groundstrap.words import words

__all__ = ["CIRCUITS", "held_to_little", "unasked_assumptions"]

_BILGE: Final = "bilge"
_LIGHTS: Final = frozenset({LoadKind.LAMP, LoadKind.LED, LoadKind.OTHER, LoadKind.ELECTRONICS})
_NAVIGATION: Final = re.compile(
    r"\b(?:nav(?:igation)?|anchor|riding|mast ?head|mast|steaming|stern|bow|port|starboard|side|running|"
    r"tri-?colou?r|all-?round)[ -](?:lights?|lamps?|leds?)\b|\btri-?colou?r\b|"
    r"\b(?:positions?|anker|topp|heck|bug|seiten)(?:licht|lichter|lampen?|leuchten?|laternen?)\b",
    re.IGNORECASE,
)
_BLOWER: Final = re.compile(
    r"\b(?:bilge|engine(?: room| space)?) (?:blowers?|fans?|extractors?)\b|\bbilgen?(?:gebläse|lüfter)\b",
    re.IGNORECASE,
)
_PUMP: Final = re.compile(r"\bbilge (?:\w+ )?pumps?\b|\b(?:bilgen?|lenz)pumpen?\b", re.IGNORECASE)
_VITAL: Final = re.compile(
    r"\balarms?\b|\b(?:gas|smoke|fire|fume|vapou?r|co) detectors?\b|"
    r"\b(?:vhf|ais|epirb|dsc|distress|steering)\b|\bfire pumps?\b|"
    r"\b(?:gas|rauch)melder\b|\b(?:see|ukw-)?funk(?:gerät)?\b",
    re.IGNORECASE,
)
_ELECTRONIC: Final = re.compile(
    r"\b(?:radios?|radar|gps|(?:chart ?)?plotters?|(?:depth |echo ?)?sounders?|auto-?pilots?|instruments?)\b",
    re.IGNORECASE,
)
CIRCUITS: Final = (
    words("navigation lights"),
    words("bilge blower"),
    words("bilge pump"),
    words("equipment vital to safety"),
    words("electronic equipment"),
)
"""Rows of table `boat_critical_circuits` that are loads; its panel feeder is held as a feeder."""


def held_to_little(basis: Basis, load: Load) -> str:
    """Return which circuit of table `boat_critical_circuits` a load seems to be; empty where it is none.

    The words of the names are common practice.
    """
    if basis is not Basis.BOAT or load.kind in {LoadKind.COIL, LoadKind.STARTER}:
        return ""
    name, kind, in_bilge = load.name.replace("_", " "), load.kind, load.zone == _BILGE
    found = (
        kind in _LIGHTS and _NAVIGATION.search(name) is not None,
        (kind is LoadKind.FAN and in_bilge) or _BLOWER.search(name) is not None,
        (kind is LoadKind.PUMP and in_bilge) or _PUMP.search(name) is not None,
        _VITAL.search(name) is not None,
        kind is LoadKind.ELECTRONICS or _ELECTRONIC.search(name) is not None,
    )
    return next((circuit for circuit, is_it in zip(CIRCUITS, found, strict=True) if is_it), "")


def unasked_assumptions(installation: Installation) -> tuple[Assumption, ...]:
    """Return that such loads are none that is dangerous to lose, where nobody wrote whether they are."""
    names = [
        load.name
        for load in installation.loads.values()
        if load.state is not State.REMOVE
        and not load.critical_written
        and held_to_little(installation.basis, load)
    ]
    if not names:
        return ()
    pct = allowed_drop(installation.basis.value, critical=True).pct
    why = words(
        "`critical` is not written, and by name or kind they are of what a boat holds to {pct} % of drop",
        pct=f"{pct:g}",
    )
    return (Assumption(", ".join(names), words("not dangerous to lose"), why),)
