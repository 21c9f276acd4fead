"""Switches and relays: factors by class of load, coils, contacts, times, suppression, terminal numbers."""

from __future__ import annotations

from typing import Final

from groundstrap.errors import UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import NotTabled, table

__all__ = [
    "ContactDrop",
    "RelayCoil",
    "RelayContact",
    "RelayTime",
    "Suppression",
    "SwitchFactor",
    "TerminalNumber",
    "contact_drop",
    "load_class",
    "relay_coil",
    "relay_contact",
    "relay_names",
    "relay_time",
    "suppression",
    "suppression_means",
    "switch_factor",
    "terminal_number",
]

_PRINTED_V: Final = {12.0: "12", 24.0: "28"}
"""Nominal voltage of a system to the one that the table of switch factors prints."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchFactor:
    """Nominal rating of a switch over the steady current of what it switches."""

    load_class: str
    factor: float
    printed_v: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RelayCoil:
    """Coil of a relay when cold: the volts at which it surely pulls in and drops out, and its ohms."""

    relay: str
    coil_v: float
    pick_up_v: float
    drop_out_v: float | None
    low_ohm: float | None
    high_ohm: float | None
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RelayContact:
    """Rating of a relay's contact for one class of load at one voltage."""

    relay: str
    contact: str
    load_class: str
    system_v: float
    rated_a: float
    making_a: float | None
    breaking_a: float | None
    short_a: float | None
    short_s: float | None
    cycles: float | None
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RelayTime:
    """How long a relay takes to operate or to release, with nothing across its coil."""

    typical_s: float
    slow_s: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Suppression:
    """What a part across a coil does: peak volts at switching off, and time until the contact opens."""

    means: str
    low_v: float | None
    high_v: float | None
    release_s: float | None
    bounce_s: float | None
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactDrop:
    """Drop across a contact; ``at_a`` is None where it is the part's own rated current."""

    part: str
    at_a: float | None
    typical_v: float
    most_v: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TerminalNumber:
    """What hangs on a terminal by its number, and whether that is live, switched, a return or else."""

    terminal: str
    role: str
    meaning: str
    source: str
    known: str


@remembered
def load_class(kind: str) -> str:
    """Return the class of contact load that a kind of load is: lamp, motor, resistive, inductive, capacitor.

    Source: common-practice; ``unknown`` for a kind that tells nothing.

    >>> load_class("lamp"), load_class("pump"), load_class("inverter")
    ('lamp', 'motor', 'capacitor')
    """
    data = table("switch_classes")
    row = data.find("kind", kind)
    if row is None:
        raise UnknownNameError("kind of load", kind, [row.text("kind") for row in data])
    return row.text("load_class")


@remembered
def switch_factor(kind: str, system_v: float) -> SwitchFactor | NotTabled:
    """Return the nominal rating of a switch over the steady current of a load. [1]

    Source: faa-ac-43-13-1b, table 11-4, which prints 12 V and 28 V. A 24 V system takes the latter; nothing
    is printed for others or for inputs with capacitors. ``load_kind`` has a maker's factor beside it.

    Parameters
    ----------
    kind : str
        Kind of load, as ``load_kind_names()`` lists them.
    system_v : float
        Nominal voltage of the system. [V]

    Examples
    --------
    >>> switch_factor("lamp", 12).factor, switch_factor("motor", 24).factor
    (5.0, 3.0)
    >>> switch_factor("lamp", 48).why
    'no switch factor is printed for 48 V; known are 12 and 24 V'
    """
    which = load_class(kind)
    if system_v not in _PRINTED_V:
        return NotTabled(why=f"no switch factor is printed for {system_v:g} V; known are 12 and 24 V")
    data = table("switch_factors")
    for row in data:
        if (row.text("system_v"), row.text("load_class")) == (_PRINTED_V[system_v], which):
            return SwitchFactor(
                load_class=which,
                factor=row.number("factor"),
                printed_v=row.number("system_v"),
                source=data.source,
                known=data.known,
            )
    return NotTabled(why=f"no switch factor is printed for a load of class {which} ({kind})")


@remembered
def relay_names() -> tuple[str, ...]:
    """Return the relays whose coil is tabled; ``any`` is one of unknown make.

    >>> relay_names()
    ('plug-in 22 A', 'bracket 25 A', 'lamp load 30 A', 'any')
    """
    return tuple(dict.fromkeys(row.text("relay") for row in table("relay_coils")))


@remembered
def relay_coil(coil_v: float, relay: str = "any") -> RelayCoil | NotTabled:
    """Return the coil of a relay, cold. [V, ohm]

    Source: maker-relay-data; for ``any`` common-practice, from memory.

    Parameters
    ----------
    coil_v : float
        Nominal voltage of the coil. [V]
    relay : str
        As ``relay_names()`` lists them.

    Examples
    --------
    >>> relay_coil(12).pick_up_v, relay_coil(24, "plug-in 22 A").low_ohm
    (8.0, 320.0)
    >>> relay_coil(48).why
    'no coil of 48 V is known for a relay (any); its data sheet gives the pick-up voltage'
    """
    if relay not in relay_names():
        raise UnknownNameError("relay", relay, relay_names())
    data = table("relay_coils")
    for row in data:
        if row.text("relay") == relay and row.number("coil_v") == coil_v:
            return RelayCoil(
                relay=relay,
                coil_v=coil_v,
                pick_up_v=row.number("pick_up_v"),
                drop_out_v=row.maybe("drop_out_v"),
                low_ohm=row.maybe("low_ohm"),
                high_ohm=row.maybe("high_ohm"),
                source=data.source_of(row),
                known=data.known_of(row),
            )
    why = f"no coil of {coil_v:g} V is known for a relay ({relay}); its data sheet gives the pick-up voltage"
    return NotTabled(why=why)


@remembered
def relay_contact(
    relay: str, load_class: str, system_v: float, *, contact: str = "make"
) -> RelayContact | NotTabled:
    """Return the rating of a relay's contact, an example from a data sheet. [A]

    Source: maker-relay-data. A rating counts for its own class of load and voltage only; nothing was read at
    24 or 48 V.

    Parameters
    ----------
    relay : str
        Relay of the data sheet: ``plug-in 22 A``, ``bracket 25 A``, ``lamp load 30 A``, ``micro``, ``board``.
    load_class : str
        resistive, lamp or motor.
    system_v : float
        Nominal voltage of the system. [V]
    contact : str
        ``make`` or ``break``.

    Examples
    --------
    >>> relay_contact("micro", "motor", 12).rated_a, relay_contact("micro", "resistive", 12).rated_a
    (17.0, 30.0)
    >>> relay_contact("micro", "motor", 24).why
    "no rating of relay 'micro' is known for motor at 24 V, make contact"
    """
    data = table("relay_contacts")
    names = list(dict.fromkeys(row.text("relay") for row in data))
    if relay not in names:
        raise UnknownNameError("relay", relay, names)
    for row in data:
        found = (row.text("relay"), row.text("contact"), row.text("load_class"))
        if found == (relay, contact, load_class) and row.number("system_v") == system_v:
            return RelayContact(
                relay=relay,
                contact=contact,
                load_class=load_class,
                system_v=system_v,
                rated_a=row.number("rated_a"),
                making_a=row.maybe("making_a"),
                breaking_a=row.maybe("breaking_a"),
                short_a=row.maybe("short_a"),
                short_s=row.maybe("short_s"),
                cycles=row.maybe("cycles"),
                source=data.source,
                known=data.known,
            )
    return NotTabled(
        why=f"no rating of relay {relay!r} is known for {load_class} at {system_v:g} V, {contact} contact"
    )


@remembered
def relay_time(step: str) -> RelayTime:
    """Return how long a relay takes to ``operate`` or ``release``. [s]

    Source: maker-relay-data.

    >>> relay_time("operate").typical_s, relay_time("release").slow_s
    (0.003, 0.01)
    """
    data = table("relay_times")
    row = data.find("step", step)
    if row is None:
        raise UnknownNameError("step of a relay", step, [row.text("step") for row in data])
    return RelayTime(
        typical_s=row.number("typical_ms") / 1000,
        slow_s=row.number("slow_ms") / 1000,
        source=data.source,
        known=data.known,
    )


@remembered
def suppression_means(series: str = "measured") -> tuple[str, ...]:
    """Return what may stand across a coil, by series: ``measured`` or ``recalled``.

    >>> suppression_means()
    ('nothing', 'resistor 680 ohm', 'diode')
    """
    return tuple(row.text("means") for row in table("relay_suppression") if row.text("series") == series)


@remembered
def suppression(means: str, series: str = "measured") -> Suppression:
    """Return what a part across a coil does to the peak and to the release. [V, s]

    Source: maker-relay-data and relay-release-bench; the series ``recalled`` is from memory.

    >>> suppression("diode").release_s, suppression("nothing").high_v
    (0.008, 1500.0)
    """
    data = table("relay_suppression")
    for row in data:
        if (row.text("series"), row.text("means")) == (series, means):
            release_ms, bounce_ms = row.maybe("release_ms"), row.maybe("bounce_ms")
            return Suppression(
                means=means,
                low_v=row.maybe("low_v"),
                high_v=row.maybe("high_v"),
                release_s=None if release_ms is None else release_ms / 1000,
                bounce_s=None if bounce_ms is None else bounce_ms / 1000,
                source=data.source_of(row),
                known=data.known_of(row),
            )
    raise UnknownNameError("part across a coil", means, suppression_means(series))


@remembered
def contact_drop(part: str) -> ContactDrop:
    """Return the drop across a contact that is in order, and the most allowed. [V]

    Source: maker-relay-data; for crimps common-practice, from memory.

    >>> contact_drop("relay contact").typical_v, contact_drop("relay contact").most_v
    (0.05, 0.3)
    """
    data = table("contact_drops")
    row = data.find("part", part)
    if row is None:
        raise UnknownNameError("part", part, [row.text("part") for row in data])
    return ContactDrop(
        part=part,
        at_a=row.maybe("at_a"),
        typical_v=row.number("typical_mv") / 1000,
        most_v=row.number("most_mv") / 1000,
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def terminal_number(terminal: str) -> TerminalNumber | NotTabled:
    """Return what hangs on a terminal by its number.

    Source: din-72552.

    >>> terminal_number("30").role, terminal_number("15").role, terminal_number("87a").meaning
    ('live', 'switched', 'break contact of a relay')
    >>> terminal_number("99").why
    "the meaning of terminal '99' is not known"
    """
    data = table("terminal_numbers")
    row = data.find("terminal", terminal)
    if row is None:
        return NotTabled(why=f"the meaning of terminal {terminal!r} is not known")
    return TerminalNumber(
        terminal=terminal,
        role=row.text("role"),
        meaning=row.text("meaning"),
        source=data.source,
        known=data.known_of(row),
    )
