"""What rules need to know about how a load is served: its feed, its plug, its terminal, its neighbours."""

from __future__ import annotations

from typing import Final

from groundstrap.assess.vital import held_to_little
from groundstrap.checks.facts import LoadSubject
from groundstrap.checks.once import once
from groundstrap.checks.stranded import is_stranded
from groundstrap.model import GearKind, Load, LoadKind, State
from groundstrap.tables import allowed_drop, lugs_on_stud

__all__: list[str] = []

_SPRING: Final = frozenset({"lighter", "small locking", "usb-a", "usb-a charging", "usb-c", "usb-c 100 W"})
_IN_HEAT: Final = frozenset({LoadKind.INVERTER, LoadKind.CHARGER, LoadKind.ELECTRONICS})


def is_coil(subject: LoadSubject) -> bool:
    """Whether it is the coil of a relay."""
    return subject.load.kind is LoadKind.COIL


def held_as(subject: LoadSubject) -> str:
    """What of a boat's circuits of small drop it seems to be; empty where it is none, or on no boat."""
    return held_to_little(subject.facts.installation.basis, subject.load)


def held_to_pct(subject: LoadSubject) -> float:
    """Drop that is allowed where losing it is dangerous. [%]"""
    return allowed_drop(subject.facts.basis, critical=True).pct


def critical_said(subject: LoadSubject) -> bool:
    """Whether somebody wrote whether losing it is dangerous."""
    return subject.load.critical_written


def is_fed(subject: LoadSubject) -> bool:
    """Whether some circuit leads to it."""
    return bool(subject.circuits)


def is_unfed(subject: LoadSubject) -> bool:
    """Whether a way of it, out or back, leads to no source."""
    return is_stranded(subject.facts, subject.load)


def is_existing(subject: LoadSubject) -> bool:
    """Whether it is in the vehicle already and stays."""
    return subject.load.state is State.EXISTING


def spring_plug(subject: LoadSubject) -> str:
    """The plug that it came with, where only springs hold it; empty for any other."""
    plug = subject.load.fitted.plug
    return plug if plug is not None and plug in _SPRING else ""


def shares_fuse_with(subject: LoadSubject) -> str:
    """A load that is not critical behind the nearest fuse before it; empty where there is none."""
    guards = subject.facts.guards.get(subject.load.name, ())
    if not guards:
        return ""
    nearest = min(guards, key=lambda fuse: len(fuse.protects))
    others = (subject.facts.loads[name] for name in nearest.protects if name in subject.facts.loads)
    return next((o.name for o in others if not o.critical and o.kind is not LoadKind.COIL), "")


def rings_on_terminal(subject: LoadSubject) -> int:
    """Rings that come to the fuller of its terminals."""
    rings = subject.facts.rings
    return max(rings.get(post, 0) for post in (subject.load.plus, subject.load.minus))


def most_rings(subject: LoadSubject) -> int:
    """Most rings that one terminal may hold."""
    return lugs_on_stud(subject.facts.basis).most


def minds_heat(subject: LoadSubject) -> bool:
    """Whether it is an inverter, a charger or other electronics."""
    return subject.load.kind in _IN_HEAT


def place_high_c(subject: LoadSubject) -> float:
    """Hottest air of its zone. [degC]"""
    return subject.facts.installation.zones[subject.load.zone].high_c


def cranks_beside_another(subject: LoadSubject) -> bool:
    """Whether it is a starter on a boat, with a starter on another engine beside it."""
    return subject.facts.basis == "boat" and _grounds(subject) and bool(_others(subject))


def engines_bonded(subject: LoadSubject) -> bool:
    """Whether a cable joins its engine to another one."""
    return bool(_bonds(subject))


def bond_mm2(subject: LoadSubject) -> float | None:
    """Copper of that cable. [mm2]"""
    areas = _bonds(subject)
    known = [area for area in areas if area is not None]
    return max(known) if known and len(known) == len(areas) else None


def crank_mm2(subject: LoadSubject) -> float | None:
    """Copper of the heaviest cranking cable of all these engines. [mm2]"""
    if subject.load.kind is not LoadKind.STARTER:
        return None
    areas = [
        wire.area_mm2
        for starter in (subject.load, *_others(subject))
        for circuit in subject.facts.circuits.values()
        if starter.name in circuit.loads
        for wire in circuit.wires
        if not wire.returning
    ]
    known = [area for area in areas if area is not None]
    return max(known) if known and len(known) == len(areas) else None


@once
def _bonds(subject: LoadSubject) -> list[float | None]:
    """Copper of each cable straight from its engine to another one. [mm2]"""
    if subject.load.kind is not LoadKind.STARTER:
        return []
    own, facts = _engine(subject, subject.load), subject.facts
    engines = {_engine(subject, other) for other in _others(subject)}
    return [
        min((w.area_mm2 for w in circuit.wires if w.area_mm2 is not None), default=None)
        for circuit in facts.circuits.values()
        for ends in ({facts.point(circuit.start), facts.point(circuit.end)},)
        if own in ends and ends & engines
    ]


def _engine(subject: LoadSubject, load: Load) -> str:
    """The chassis of its own that a starter comes back to, as a point."""
    ends = (c.back_end for c in subject.facts.circuits.values() if load.name in c.loads)
    return subject.facts.point(next((end for end in ends if end is not None), load.minus))


def _grounds(subject: LoadSubject) -> bool:
    gear = subject.facts.installation.gear.get(_engine(subject, subject.load))
    return subject.load.kind is LoadKind.STARTER and gear is not None and gear.kind is GearKind.CHASSIS


def _others(subject: LoadSubject) -> list[Load]:
    own = _engine(subject, subject.load)
    loads = subject.facts.loads.values()
    return [each for each in loads if each.kind is LoadKind.STARTER and _engine(subject, each) != own]
