"""What rules need to know about a connector: its plug, its pin, its place."""

from __future__ import annotations

from groundstrap.assess.parting import SWITCH_OFF
from groundstrap.assess.passing import contact_limit_a
from groundstrap.checks.facts import PartSubject
from groundstrap.model import LoadKind, PartKind
from groundstrap.tables import TrailerPin, plug_names, trailer_pin, trailer_standards
from groundstrap.words import words

__all__: list[str] = []

_LAMPS = frozenset({LoadKind.LAMP, LoadKind.LED})
_SUPPLIES = frozenset({"30", "15"})


def has_plug(subject: PartSubject) -> bool:
    """Whether its plug is written; of trailer pins those that feed something, or whose fuse is stated."""
    pin = _pin(subject)
    if subject.part.plug in trailer_standards():
        return pin is not None and ("supply" in pin.purpose or pin.fuse_a is not None)
    return subject.part.plug is not None


def plug_name(subject: PartSubject) -> str:
    """Its plug or trailer socket, with the pin."""
    plug, way = subject.part.plug or "connector", subject.part.way
    return (
        words("pin {way} of {plug}", way=way, plug=plug)
        if way is not None and plug in trailer_standards()
        else plug
    )


def plug_contact_a(subject: PartSubject) -> float | None:
    """What its contact is good for by the hour, or the fuse that is stated for its pin. [A]"""
    return contact_limit_a(subject.part)


def is_trailer_pin(subject: PartSubject) -> bool:
    """Whether it is a pin of a trailer socket."""
    return subject.part.plug in trailer_standards() and subject.part.way is not None


def pin_purpose(subject: PartSubject) -> str | None:
    """What the standard keeps its pin for; None where the standard has no such pin."""
    pin = _pin(subject)
    return pin.purpose if pin is not None else None


def pin_misused(subject: PartSubject) -> str:
    """What goes over the pin that it is not for; empty where its use suits it."""
    pin = _pin(subject)
    if pin is None:
        return ""
    if pin.system_v != subject.facts.system_v:
        return words(
            "a {system_v} V system, where the socket is for {socket_v} V",
            system_v=f"{subject.facts.system_v:g}",
            socket_v=f"{pin.system_v:g}",
        )
    back = pin.terminal == "31" or pin.purpose.startswith("return")
    if back != subject.part.returning:
        return words("the way back of a load") if subject.part.returning else words("the way out to a load")
    strayed = "" if back else _strayed_return(subject, pin)
    if strayed or back or pin.terminal in _SUPPLIES or "supply" in pin.purpose:
        return strayed
    return ", ".join(
        name
        for name in subject.facts.circuits[subject.part.circuit].loads
        if name in subject.facts.loads and subject.facts.loads[name].kind not in _LAMPS
    )


def is_connector(subject: PartSubject) -> bool:
    """Whether it is a connector."""
    return subject.part.kind is PartKind.CONNECTOR


def wet(subject: PartSubject) -> str:
    """How wet its zone gets: dry, splash, spray or submerged."""
    zone = subject.facts.installation.zones.get(subject.part.zone)
    return zone.wet if zone is not None else "dry"


def sealed(subject: PartSubject) -> bool | None:
    """Whether its plug keeps water out; None where no plug is written."""
    plug = subject.part.plug
    if plug is None:
        return None
    return plug.startswith("sealed") or plug not in plug_names()


def dead_before_unplugging(subject: PartSubject) -> bool:
    """Whether a switch, isolator, relay or breaker on its way can take the current off first."""
    found = subject.facts.assessment.circuits.get(subject.part.circuit)
    names = (subject.part.circuit, *(found.feeders if found is not None else ()))
    circuits = [subject.facts.circuits[name] for name in names if name in subject.facts.circuits]
    return any(part.kind in SWITCH_OFF for circuit in circuits for part in circuit.parts)


def _strayed_return(subject: PartSubject, pin: TrailerPin) -> str:
    """The pin that brings its current back, where the standard has another one for that; else empty."""
    circuit = subject.facts.circuits[subject.part.circuit]
    back = [p.way for p in circuit.parts if p.returning and p.gear == subject.part.gear and p.way is not None]
    if not back or not pin.return_pin or pin.return_pin in back:
        return ""
    return words(
        "a current that comes back over pin {back}, where pin {return_pin} is for it",
        back=back[0],
        return_pin=pin.return_pin,
    )


def _pin(subject: PartSubject) -> TrailerPin | None:
    part = subject.part
    if part.plug is None or part.way is None or part.plug not in trailer_standards():
        return None
    found = trailer_pin(part.plug, part.way)
    return found if isinstance(found, TrailerPin) else None
