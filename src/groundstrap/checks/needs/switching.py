"""What rules need to know about a switch, relay or isolator and its coil."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from groundstrap.assess.part_results import CoilAssessment, SwitchAssessment
from groundstrap.assess.switching import SWITCHING
from groundstrap.checks.facts import PartSubject
from groundstrap.model import LoadKind, PartKind, State
from groundstrap.tables import rested_voltage_v
from groundstrap.words import joined, term, words

__all__: list[str] = []

_ELECTRONIC: Final = frozenset({LoadKind.ELECTRONICS, LoadKind.INVERTER, LoadKind.CHARGER})
"""Loads with transistors at their input."""

_FULL_PCT = {"lfp": 98.33}
"""Lithium iron phosphate: its last hundredth stands at charging volts, which it does not hold at rest. [%]"""


def is_rated_contact(subject: PartSubject) -> bool:
    """Whether a contact makes and breaks its loads' current, and a rating of it is written."""
    switch = _switch(subject)
    contact = subject.part.kind in {PartKind.SWITCH, PartKind.RELAY} and not subject.part.solid_state
    found = subject.facts.assessment.parts.get(subject.part.name)
    return contact and switch is not None and found is not None and found.rating_a is not None


def contact_a(subject: PartSubject) -> float | None:
    """Rating of a switch, relay or isolator that has a contact, where it is written. [A]"""
    part, found = subject.part, subject.facts.assessment.parts.get(subject.part.name)
    metal = part.kind in SWITCHING and not part.solid_state and part.state is not State.REMOVE
    return found.rating_a if metal and found is not None else None


def fuse_before_a(subject: PartSubject) -> float | None:
    """Rating of the largest fuse that bounds what passes it; None where one is not known. [A]"""
    part, circuit = subject.part, subject.facts.circuits.get(subject.part.circuit)
    wires = circuit.wires if circuit is not None else ()
    beside = [wire.name for wire in wires if part.start == wire.end or part.end == wire.start]
    fuses = {fuse.name: fuse for name in beside for fuse in subject.facts.guards.get(name, ())}
    known = [fuse.rating_a for fuse in fuses.values() if fuse.rating_a is not None]
    return max(known) if known and len(known) == len(fuses) else None


def is_solid_state(subject: PartSubject) -> bool:
    """Whether a transistor switches its loads."""
    return subject.part.solid_state


def surge_a(subject: PartSubject) -> float | None:
    """Current with the largest switch-on current of one load on top. [A]"""
    found = subject.facts.assessment.parts.get(subject.part.name)
    return found.peak_a if found is not None else None


def contact_needed_a(subject: PartSubject) -> float | None:
    """Rating for loads without surge that its loads ask for by their class and voltage. [A]"""
    switch = _switch(subject)
    return switch.needed_a if switch is not None else None


def contact_loads(subject: PartSubject) -> str:
    """Classes of load that ask for more than their current, with the voltage."""
    switch = _switch(subject)
    if switch is None:
        return words("its loads")
    classes = dict.fromkeys(x.load_class for x in switch.loads if x.factor is not None and x.factor > 1.0)
    unknown = [x.load for x in switch.loads if x.load_class == "unknown"]
    named = _and(classes) or ", ".join(unknown) or term("resistive")
    return words("{named} at {nominal_v} V", named=named, nominal_v=f"{switch.nominal_v:g}")


def _and(classes: Iterable[str]) -> str:
    return joined(words(" and "), map(term, classes)) if classes else ""


def spares_a_switch(subject: PartSubject) -> bool:
    """Whether it is a new relay that one switch works by hand, for loads whose surge is known by class."""
    switch = _switch(subject)
    if switch is None or subject.part.kind is not PartKind.RELAY or subject.part.state is not State.NEW:
        return False
    known = all(load.factor is not None for load in switch.loads)
    return switch.control == "coil" and switch.relieves is not None and bool(switch.loads) and known


def spared_switch(subject: PartSubject) -> str:
    """The switch that works its coil."""
    switch = _switch(subject)
    return (switch.relieves if switch is not None else None) or words("its switch")


def spared_switch_a(subject: PartSubject) -> float | None:
    """Rating of the switch that works its coil. [A]"""
    switch = _switch(subject)
    return switch.relieves_a if switch is not None else None


def has_coil(subject: PartSubject) -> bool:
    """Whether it is a relay whose coil is drawn."""
    return _coil(subject) is not None


def pick_up_hot_v(subject: PartSubject) -> float | None:
    """Volts at which its coil surely pulls in at its hottest. [V]"""
    coil = _coil(subject)
    return coil.pick_up_v if coil is not None else None


def coil_least_v(subject: PartSubject) -> float | None:
    """Least volts at which it has to pull in: while cranking where something behind it runs then. [V]"""
    coil = _coil(subject)
    if coil is None:
        return None
    return coil.cranking_v if _cranks(coil) else coil.lowest_v


def coil_when(subject: PartSubject) -> str:
    """When it has those volts."""
    coil = _coil(subject)
    return (
        words("while cranking")
        if coil is not None and _cranks(coil)
        else words("with its supply at the low end")
    )


def coil_c(subject: PartSubject) -> float:
    """Hottest air at its coil. [degC]"""
    coil = _coil(subject)
    return coil.coil_c if coil is not None else 0.0


def switches_critical(subject: PartSubject) -> bool:
    """Whether a load that must not be lost hangs on it."""
    switch = _switch(subject)
    loads = subject.facts.loads
    return switch is not None and any(loads[x.load].critical for x in switch.loads if x.load in loads)


def coil_beside_electronics(subject: PartSubject) -> bool:
    """Whether it is a new relay with its coil on a supply that electronics or converters hang on."""
    coil = _coil(subject)
    if coil is None or subject.part.state is not State.NEW:
        return False
    found = subject.facts.assessment.loads
    source = found[coil.load].source if coil.load in found else None
    if source is None:
        return False
    loads = any(
        load.kind in _ELECTRONIC and name in found and found[name].source == source
        for name, load in subject.facts.loads.items()
    )
    return loads or any(
        circuit.converter is not None and each.source == source
        for name, each in subject.facts.assessment.circuits.items()
        if (circuit := subject.facts.circuits.get(name)) is not None
    )


def suppressor(subject: PartSubject) -> str | None:
    """What lies across its coil; None where nobody says."""
    return subject.part.suppressor


def is_new_relay(subject: PartSubject) -> bool:
    """Whether it is a relay that is to be fitted."""
    return subject.part.kind is PartKind.RELAY and subject.part.state is State.NEW


def worked_by(subject: PartSubject) -> str | None:
    """What works it: its coil, a voltage, a signal; None where nobody drew it."""
    switch = _switch(subject)
    return switch.control if switch is not None else None


def links_by_volts(subject: PartSubject) -> bool:
    """Whether it joins two batteries and works by itself at a voltage."""
    facts, part = subject.facts, subject.part
    if part.closes_v is None and part.opens_v is None:
        return False
    circuit = facts.circuits[part.circuit]
    return facts.battery_at(circuit.start) is not None and facts.battery_at(circuit.end) is not None


def opens_v(subject: PartSubject) -> float | None:
    """Volts at which it opens. [V]"""
    return subject.part.opens_v


def closes_v(subject: PartSubject) -> float | None:
    """Volts at which it closes. [V]"""
    return subject.part.closes_v


def rested_full_v(subject: PartSubject) -> float | None:
    """Volts of the battery at its start, full and at rest. [V]"""
    circuit = subject.facts.circuits[subject.part.circuit]
    battery = subject.facts.battery_at(circuit.start)
    if battery is None or battery.chemistry is None:
        return None
    return (
        rested_voltage_v(battery.chemistry, _FULL_PCT.get(battery.chemistry, 100.0))
        * battery.nominal_v
        / 12.0
    )


def rated_at_v(subject: PartSubject) -> float | None:
    """Direct voltage that its rating is given for. [V]"""
    if subject.part.rated_at_v is not None:
        return subject.part.rated_at_v
    return subject.gear.rated_at_v if subject.gear is not None else None


def _switch(subject: PartSubject) -> SwitchAssessment | None:
    found = subject.facts.assessment.parts.get(subject.part.name)
    return found.switch if found is not None else None


def _coil(subject: PartSubject) -> CoilAssessment | None:
    switch = _switch(subject)
    return switch.coil if switch is not None else None


def _cranks(coil: CoilAssessment) -> bool:
    return coil.holds_while_cranking and coil.cranking_v is not None
